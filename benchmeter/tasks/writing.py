"""Write what goes out of the record: the report of a session, the tags of its parts."""

from collections.abc import Callable
from dataclasses import dataclass

from benchmeter.files.output_file import OutputFile
from benchmeter.record.store import Store
from benchmeter.reports.label_stock import LabelStock
from benchmeter.reports.report_file import write_report
from benchmeter.reports.tag import Tag
from benchmeter.reports.tag_file import write_tags
from benchmeter.words.presentation import PLAIN, Presentation

__all__ = ["Draw", "Report", "Tags", "Writing"]

Draw = Callable[[Store, str, Presentation], bytes | None]
"""Draws the temperatures of a session over time, as PNG; None where none were recorded."""


@dataclass(frozen=True, slots=True)
class Report:
    """The report of a session, to be written to a file whose ending says how.

    Attributes:
        letter: US Letter instead of A4.
    """

    session: str
    to: OutputFile
    letter: bool = False
    presentation: Presentation = PLAIN

    def write(self, store: Store, draw: Draw) -> None:
        """Write it; a Qt application must exist.

        Raises:
            InputError: another ending than a report has, or the file is there.
            NoSuchRecord: no such session.
            WorldError: the file cannot be written.
        """
        write_report(
            store,
            self.session,
            self.to,
            presentation=self.presentation,
            letter=self.letter,
            picture=draw(store, self.session, self.presentation),
        )


@dataclass(frozen=True, slots=True)
class Tags:
    """The tags of a session, to be written as PDF.

    Attributes:
        stock: what they are printed on.
        check: number of the only check that is wanted; None: each that was judged.
        start: place of the first tag on a sheet that was begun, from 1.
    """

    session: str
    to: OutputFile
    stock: LabelStock
    check: int | None = None
    start: int = 1
    presentation: Presentation = PLAIN

    def write(self, store: Store, _draw: Draw) -> tuple[Tag, ...]:
        """Write them; a Qt application must exist.

        Raises:
            InputError: another ending, the file is there, no such place, or nothing was judged.
            NoSuchRecord: no such session.
            WorldError: the file cannot be written.
        """
        session = store.session(self.session).id
        return write_tags(
            store,
            session,
            self.to,
            stock=self.stock,
            check=self.check,
            start=self.start,
            presentation=self.presentation,
        )


Writing = Report | Tags
