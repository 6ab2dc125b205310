"""Writing the report of a session, as PDF or HTML."""

from pathlib import Path

from benchmeter.errors import InputError, WorldError
from benchmeter.reporting.page import page
from benchmeter.reporting.record import read_record
from benchmeter.storage.store import Store

__all__ = ["write_report"]


def write_report(
    store: Store,
    session_id: str,
    path: Path,
    *,
    temperature_unit: str = "°C",
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
    html = page(record, temperature_unit=temperature_unit, picture=picture)
    try:
        if path.suffix.lower() == ".html":
            path.write_text(html, encoding="utf-8")
        else:
            from benchmeter.reporting.pdf import write_pdf

            write_pdf(html, path, title=record.summary.name, letter=letter)
    except OSError as error:
        raise WorldError(
            f"“{path}” cannot be written: {error.strerror}.", "Choose another folder."
        ) from error
