"""Writing the report of a session, as PDF or HTML."""

from pathlib import Path

from benchmeter.errors import InputError, WorldError
from benchmeter.record.store import Store
from benchmeter.reports.not_tested import unjudged_parts
from benchmeter.reports.page import STYLE, blocks, footer, page, page_title
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
        raise InputError(f"“{path.name}” ends in neither .pdf nor .html.", "Choose one of these.")
    record = read_record(store, session_id)
    unjudged = unjudged_parts(store, record)
    try:
        if path.suffix.lower() == ".html":
            html = page(
                record,
                presentation=presentation,
                picture=picture,
                unjudged=unjudged,
            )
            path.write_text(html, encoding="utf-8")
        else:
            from benchmeter.reports.pdf import write_pdf

            pieces = blocks(
                record,
                presentation=presentation,
                picture=picture,
                unjudged=unjudged,
            )
            write_pdf(
                pieces,
                path,
                title=page_title(record),
                style=STYLE,
                footer=footer(record),
                letter=letter,
            )
    except OSError as error:
        raise WorldError(
            f"“{path}” cannot be written: {error.strerror}.", "Choose another folder."
        ) from error
