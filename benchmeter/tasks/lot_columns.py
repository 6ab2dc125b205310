"""Which column of a lot holds what."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from benchmeter.checking.terms import label_measure, section_words
from benchmeter.checking.typed_reading import TypedReading
from benchmeter.conformity.verdict import (
    Measurement,
)
from benchmeter.errors import InputError
from benchmeter.files.table_file import Row, TableFile, no_column
from benchmeter.parts.rated_part import CapacitorKind, Rating
from benchmeter.quantities.units import find_unit
from benchmeter.tasks.table_cells import split_name, typed_cell

if TYPE_CHECKING:
    from benchmeter.parts.part_kind import PartKind

__all__ = ["ColumnNames", "Columns", "column_names", "find_columns"]

_OF_A_CAPACITOR = {"HERM": "HERM", "FAN": "FAN", "READING": "single", "SINGLE": "single"}
_COLUMN_OF = {"single": "reading"}


@dataclass(frozen=True, slots=True)
class ColumnNames:
    """What the columns of readings are called.

    Attributes:
        by_label: whether HERM, FAN and reading are among them: sections of a capacitor's label.
        of_label: what a kind calls these together; the column of a part with one section.
        measures: kind of unit by the name of a measurement.
        only: the one measurement whose column may be called "reading"; "" for none.
    """

    by_label: bool
    of_label: str = ""
    measures: Mapping[str, str] = field(default_factory=dict)
    only: str = ""

    def section(self, cell: str) -> tuple[str, str] | None:
        """Section and unit of a column like FAN, C-HERM, coil (Ω); None if it is another one."""
        words, written = split_name(cell)
        name, kind = self._found(words)
        if name is None:
            return None
        try:
            return name, find_unit(written, kind).symbol if written is not None else ""
        except InputError:
            return None

    def is_known(self, cell: str) -> bool:
        """Whether a column of this name means something here."""
        return cell.strip().lower() in ("part", "label") or self.section(cell) is not None

    def column_of(self, section: str) -> str:
        """What the column of a section is best called."""
        return _COLUMN_OF.get(section, section)

    @property
    def example(self) -> str:
        """A first line as it should be."""
        own = ["HERM", "FAN"] if self.by_label else []
        return ",".join(["part", *own, *self.measures])

    def _found(self, words: str) -> tuple[str | None, str]:
        folded = " ".join(words.split()).casefold()
        if self.only and folded == "reading":
            return self.only, self.measures[self.only]
        for name, kind in self.measures.items():
            if folded == name.casefold():
                return name, kind
        if self.of_label and folded == self.of_label.casefold():
            return "single", "capacitance"
        found = _OF_A_CAPACITOR.get(section_words(words)) if self.by_label else None
        return found, "capacitance"


def column_names(kind: "PartKind | CapacitorKind") -> ColumnNames:
    """The columns of a lot of capacitors, or of a lot of that kind."""
    if isinstance(kind, CapacitorKind):
        return ColumnNames(by_label=True)
    of_label = label_measure(kind)
    own = {m.name: m.quantity.kind for m in kind.measures if m.name != of_label}
    only = next(iter(own)) if len(own) == 1 and not of_label else ""
    return ColumnNames(bool(of_label), of_label, own, only)


@dataclass(frozen=True, slots=True)
class Columns:
    """Where things stand.

    Attributes:
        part, label: column, or None.
        sections: column and unit ("" for none) by the name of the section.
        extra: what is kept and has no meaning here.
    """

    file: TableFile
    names: ColumnNames
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
                named = [self.names.column_of(s.name) for s in rating.sections]
                raise no_column(
                    self.file, self.names.column_of(section.name), ",".join(["part", *named])
                )

    def readings(self, row: Row, rating: Rating) -> dict[str, list[TypedReading]]:
        """What was read of each section, by its name; an empty cell is no reading.

        Raises:
            InputError: a cell is no reading, or is filled for a section that the part has not.
        """
        names = {s.name for s in rating.sections}
        for name, (column, _) in self.sections.items():
            if name not in names and self.cell(row, column):
                raise InputError(
                    "tasks.filled_part_no_such", header=self.file.header[column], text=rating.text
                )
        return {s.name: self._reading(row, s) for s in rating.sections}

    def _reading(self, row: Row, section: Measurement) -> list[TypedReading]:
        if section.name not in self.sections:
            column_name = self.names.column_of(section.name)
            raise InputError("tasks.file_no_column_part", column_name=column_name)
        column, unit = self.sections[section.name]
        if not self.cell(row, column):
            return []
        return [typed_cell(self.file, row, column, unit, section)]


def find_columns(file: TableFile, names: ColumnNames) -> Columns:
    """The columns of the file, in whatever order.

    Raises:
        InputError: a name that means something stands twice.
    """
    named: dict[str, int] = {}
    sections: dict[str, tuple[int, str]] = {}
    extra: list[int] = []
    for column, cell in enumerate(file.header):
        found = names.section(cell)
        name = found[0] if found else cell.lower()
        if not names.is_known(cell):
            extra.append(column)
            continue
        if name in named or name in sections:
            raise InputError("tasks.two_columns", name=file.name, cell=cell)
        if found:
            sections[name] = column, found[1]
        else:
            named[name] = column
    return Columns(file, names, named.get("part"), named.get("label"), sections, tuple(extra))
