"""Writing the tags of a session as PDF."""

from benchmeter.errors import InputError
from benchmeter.files.output_file import OutputFile
from benchmeter.record.store import Store
from benchmeter.reports.label_stock import LabelStock
from benchmeter.reports.session_record import read_record
from benchmeter.reports.tag import Tag, tags_of
from benchmeter.words.presentation import PLAIN, Presentation

__all__ = ["write_tags"]


def write_tags(
    store: Store,
    session_id: str,
    to: OutputFile,
    *,
    stock: LabelStock,
    check: int | None = None,
    start: int = 1,
    presentation: Presentation = PLAIN,
) -> tuple[Tag, ...]:
    """Write the tags of a session as PDF; a Qt application must exist.

    Args:
        stock: what they are printed on.
        check: number of the only check that is wanted.
        start: place of the first tag on a sheet that was begun; 1 is the first of the first row.

    Raises:
        InputError: the file does not end in .pdf or is there, no such place, or nothing was judged.
        NoSuchRecord: no such session.
        WorldError: the file cannot be written.
    """
    if to.path.suffix.lower() != ".pdf":
        raise InputError("tag.ending", file=to.path.name)
    to.check()
    if not 1 <= start <= stock.places:
        if stock.sheet is None:
            raise InputError("tag.no_place_on_label", start=start, stock=stock.name)
        raise InputError(
            "tag.no_place_on_sheet", start=start, stock=stock.name, places=stock.places
        )
    tags = tags_of(read_record(store, session_id), check=check, presentation=presentation)
    from benchmeter.reports.tag_pdf import tags_pdf  # Qt: only where tags are drawn

    with to.writing() as file:
        file.write(tags_pdf(tags, stock, start=start))
    return tags
