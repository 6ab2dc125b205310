"""Writing the tags of a session as PDF."""

from pathlib import Path

from benchmeter.errors import InputError, WorldError
from benchmeter.record.store import Store
from benchmeter.reports.label_stock import LabelStock
from benchmeter.reports.session_record import read_record
from benchmeter.reports.tag import Tag, tags_of

__all__ = ["write_tags"]


def write_tags(
    store: Store,
    session_id: str,
    path: Path,
    *,
    stock: LabelStock,
    check: int | None = None,
    start: int = 1,
) -> tuple[Tag, ...]:
    """Write the tags of a session as PDF; a Qt application must exist.

    Args:
        stock: what they are printed on.
        check: number of the only check that is wanted.
        start: place of the first tag on a sheet that was begun; 1 is the first of the first row.

    Raises:
        InputError: the file does not end in .pdf, no such place, or nothing was judged.
        NoSuchRecord: no such session.
        WorldError: the file cannot be written.
    """
    if path.suffix.lower() != ".pdf":
        raise InputError(f"“{path.name}” does not end in .pdf.", "Tags are written as PDF.")
    if not 1 <= start <= stock.places:
        has = f"has places 1 to {stock.places}" if stock.sheet else "is a single label"
        raise InputError(
            f"There is no place {start} to start at: {stock.name} {has}.",
            "Count the places of a sheet from 1, along the rows.",
        )
    tags = tags_of(read_record(store, session_id), check=check)
    from benchmeter.reports.tag_pdf import tags_pdf  # Qt: only where tags are drawn

    try:
        path.write_bytes(tags_pdf(tags, stock, start=start))
    except OSError as error:
        raise WorldError(
            f"“{path}” cannot be written: {error.strerror}.", "Choose another folder."
        ) from error
    return tags
