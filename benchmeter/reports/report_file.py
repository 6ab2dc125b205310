"""Writing the report of a session: one page, in the form that the file's ending asks for."""

from datetime import datetime
from zoneinfo import ZoneInfo

from benchmeter.errors import InputError
from benchmeter.files.output_file import OutputFile
from benchmeter.record.store import Store
from benchmeter.reports.not_tested import unjudged_parts
from benchmeter.reports.page_html import page_html
from benchmeter.reports.page_json import page_json
from benchmeter.reports.page_text import page_text
from benchmeter.reports.recovery_again import with_recovery_at_end
from benchmeter.reports.session_page import page_of
from benchmeter.reports.session_record import read_record
from benchmeter.words.presentation import PLAIN, Presentation

__all__ = ["ENDINGS", "write_report"]

ENDINGS = (".pdf", ".html", ".txt", ".json")


def write_report(
    store: Store,
    session_id: str,
    to: OutputFile,
    *,
    presentation: Presentation = PLAIN,
    letter: bool = False,
    picture: bytes | None = None,
) -> None:
    """Write the report of a session; the file's ending (one of `ENDINGS`) decides the form.

    Args:
        letter: US Letter instead of A4.
        picture: the temperatures over time, PNG.

    Raises:
        InputError: another ending, or the file is there.
        NoSuchRecord: no such session.
        WorldError: the file cannot be written.
    """
    ending = to.path.suffix.lower()
    if ending not in ENDINGS:
        raise InputError("report.ending", file=to.path.name, endings=list(ENDINGS))
    to.check()
    record = with_recovery_at_end(store, read_record(store, session_id))
    unjudged = unjudged_parts(store, record, presentation)
    issued = datetime.now(ZoneInfo(record.summary.zone)).date()
    page = page_of(
        record, presentation=presentation, picture=picture, unjudged=unjudged, issued=issued
    )
    with to.writing() as file:
        match ending:
            case ".html":
                file.write(page_html(page).encode())
            case ".txt":
                file.write(page_text(page).encode())
            case ".json":
                file.write(page_json(page))
            case _:
                from benchmeter.reports.pdf import page_pdf

                file.write(page_pdf(page, letter=letter))
