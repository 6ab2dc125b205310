"""Writing the report of a session, as PDF or HTML."""

from pathlib import Path

from benchmeter.errors import InputError, WorldError
from benchmeter.record.store import Store
from benchmeter.reports.not_tested import unjudged_parts
from benchmeter.reports.page import page_of
from benchmeter.reports.page_html import page_html
from benchmeter.reports.session_record import read_record
from benchmeter.words.presentation import PLAIN, Presentation

__all__ = ["write_report"]


def write_report(
    store: Store,
    session_id: str,
    path: Path,
    *,
    presentation: Presentation = PLAIN,
    letter: bool = False,
    picture: bytes | None = None,
) -> None:
    """Write the report to `path`; its ending (.pdf or .html) decides the form.

    Args:
        letter: US Letter instead of A4.
        picture: the temperatures over time, PNG.

    Raises:
        InputError: another ending.
        NoSuchRecord: no such session.
        WorldError: the file cannot be written.
    """
    if path.suffix.lower() not in (".pdf", ".html"):
        raise InputError("report.ending", file=path.name)
    record = read_record(store, session_id)
    unjudged = unjudged_parts(store, record, presentation)
    page = page_of(record, presentation=presentation, picture=picture, unjudged=unjudged)
    try:
        if path.suffix.lower() == ".html":
            path.write_text(page_html(page), encoding="utf-8")
        else:
            from benchmeter.reports.pdf import write_pdf

            write_pdf(page, path, letter=letter)
    except OSError as error:
        raise WorldError("report.not_written", file=path, why=error.strerror or "") from error
