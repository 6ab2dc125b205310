"""Which column of a lot holds what."""

from dataclasses import dataclass

from benchmeter.cli.judged import section_words
from benchmeter.cli.table_cells import name_and_unit, typed_cell
from benchmeter.conformity.typed import TypedReading
from benchmeter.conformity.verdict import Rating, Section
from benchmeter.conformity.writing import clip
from benchmeter.errors import InputError
from benchmeter.storage.table_file import Row, TableFile, no_column

__all__ = ["Columns", "find_columns", "is_known"]

_SECTIONS = {"HERM": "HERM", "FAN": "FAN", "READING": "single", "SINGLE": "single"}
_COLUMN_OF = {"HERM": "HERM", "FAN": "FAN", "single": "reading"}


@dataclass(frozen=True, slots=True)
class Columns:
    """Where things stand.

    Attributes:
        part, label: column, or None.
        sections: column and unit ("" for none) by the name of the section.
        extra: what is kept and has no meaning here.
    """

    file: TableFile
    part: int | None
    label: int | None
    sections: dict[str, tuple[int, str]]
    extra: tuple[int, ...]

    @property
    def used(self) -> tuple[int, ...]:
        """All but the extra ones."""
        return tuple(i for i in range(len(self.file.header)) if i not in self.extra)

    def cell(self, row: Row, column: int | None) -> str:
        """The text of a cell without spaces around; "" where there is no such column."""
        return "" if column is None else row.cells[column].strip()

    def require(self, rating: Rating) -> None:
        """Raise InputError if a section of the part has no column."""
        for section in rating.sections:
            if section.name not in self.sections:
                needed = ",".join(["part", *(_COLUMN_OF[s.name] for s in rating.sections)])
                raise no_column(self.file, _COLUMN_OF[section.name], needed)

    def readings(self, row: Row, rating: Rating) -> list[tuple[Section, list[TypedReading]]]:
        """What was read of each section; an empty cell is no reading.

        Raises:
            InputError: a cell is no reading, or is filled for a section that the part has not.
        """
        names = {s.name for s in rating.sections}
        for name, (column, _) in self.sections.items():
            if name not in names and self.cell(row, column):
                raise InputError(
                    f"“{self.file.header[column]}” is filled, and a part of "
                    f"“{clip(rating.text)}” has no such section."
                )
        return [(s, self._reading(row, s)) for s in rating.sections]

    def _reading(self, row: Row, section: Section) -> list[TypedReading]:
        if section.name not in self.sections:
            raise InputError(f"The file has no column “{_COLUMN_OF[section.name]}” for this part.")
        column, unit = self.sections[section.name]
        return [typed_cell(self.file, row, column, unit)] if self.cell(row, column) else []


def is_known(cell: str) -> bool:
    """Whether a column of this name means something here."""
    return cell.strip().lower() in ("part", "label") or _section(cell) is not None


def find_columns(file: TableFile) -> Columns:
    """The columns of the file, in whatever order.

    Raises:
        InputError: a name that means something stands twice.
    """
    named: dict[str, int] = {}
    sections: dict[str, tuple[int, str]] = {}
    extra: list[int] = []
    for column, cell in enumerate(file.header):
        found = _section(cell)
        name = found[0] if found else cell.lower()
        if not is_known(cell):
            extra.append(column)
            continue
        if name in named or name in sections:
            raise InputError(f"{file.name} has two columns “{cell}”.", "Rename one of them.")
        if found:
            sections[name] = column, found[1]
        else:
            named[name] = column
    return Columns(file, named.get("part"), named.get("label"), sections, tuple(extra))


def _section(cell: str) -> tuple[str, str] | None:
    """Section and unit of a column like FAN, C-HERM, reading (µF)."""
    try:
        words, unit = name_and_unit(cell)
    except InputError:
        return None
    name = _SECTIONS.get(section_words(words))
    return None if name is None else (name, unit)
