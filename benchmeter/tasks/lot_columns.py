"""Which column of a lot holds what."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from benchmeter.checking.terms import label_measure, section_words
from benchmeter.errors import InputError
from benchmeter.files.table_file import TableFile, no_column, one_line
from benchmeter.parts.rated_part import CapacitorKind, Rating
from benchmeter.quantities.units import find_unit
from benchmeter.tasks.table_cells import split_name

if TYPE_CHECKING:
    from benchmeter.parts.part_kind import PartKind

__all__ = ["ColumnNames", "Columns", "column_names", "find_columns"]

_OF_A_CAPACITOR = {"HERM": "HERM", "FAN": "FAN", "READING": "single", "SINGLE": "single"}
_COLUMN_OF = {"single": "reading"}
_OF_THE_ROW = ("part", "label")
_OF_READINGS = {"unit": "unit", "units": "unit", "function": "function", "status": "status"}


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

    def about(self, cell: str) -> tuple[str, str] | None:
        """What "FAN status" is, and of which section; "" of all. None: nothing of the kind."""
        *words, last = cell.split() or [""]
        what = _OF_READINGS.get(last.lower())
        if what is None:
            return None
        name = self._found(" ".join(words))[0] if words else ""
        return None if name is None else (what, name)

    def is_known(self, cell: str) -> bool:
        """Whether a column of this name means something here."""
        own = cell.strip().lower() in _OF_THE_ROW or self.section(cell) is not None
        return own or self.about(cell) is not None

    def column_of(self, section: str) -> str:
        """What the column of a section is best called."""
        return _COLUMN_OF.get(section, section)

    @property
    def known(self) -> list[str]:
        """The names that mean something."""
        own = ["HERM", "FAN", "reading"] if self.by_label else []
        return [*_OF_THE_ROW, *own, *self.measures, "unit", "function", "status"]

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
        about: column of "unit", "function" or "status" by that and the name of the section, ""
            for all.
        kept: what has no meaning here and is only carried along.
        unknown: what has no meaning here otherwise.
    """

    file: TableFile
    names: ColumnNames
    part: int | None
    label: int | None
    sections: Mapping[str, tuple[int, str]]
    about: Mapping[tuple[str, str], int]
    kept: tuple[int, ...]
    unknown: tuple[int, ...]

    @property
    def used(self) -> tuple[int, ...]:
        """All but the kept ones."""
        return tuple(i for i in range(len(self.file.header)) if i not in self.kept)

    @property
    def of_a_kind(self) -> tuple[int, ...]:
        """Rows that are alike in these columns are judged together."""
        label = () if self.label is None else (self.label,)
        return (*label, *self.about.values())

    def refuse_unknown(self) -> None:
        """Raise InputError if a column means nothing: it may say what its readings are."""
        if self.unknown:
            header = self.file.header
            told = [one_line(header[i]) or f"#{i + 1}" for i in self.unknown]
            known = self.names.known
            raise InputError(
                "tasks.unknown_columns", file=self.file.name, columns=told, known=known
            )

    def require(self, rating: Rating) -> None:
        """Raise InputError if a section of the part has no column."""
        for section in rating.sections:
            if section.name not in self.sections:
                named = [self.names.column_of(s.name) for s in rating.sections]
                raise no_column(
                    self.file, self.names.column_of(section.name), ",".join(["part", *named])
                )


def find_columns(file: TableFile, names: ColumnNames, keep: Sequence[str] = ()) -> Columns:
    """The columns of the file, in whatever order.

    Args:
        keep: names of columns that are only carried along.

    Raises:
        InputError: a name that means something stands twice; one that is to be kept means
            something, or is not there.
    """
    wanted = {" ".join(name.split()).casefold(): name for name in keep}
    named: dict[str, int] = {}
    sections: dict[str, tuple[int, str]] = {}
    about: dict[tuple[str, str], int] = {}
    kept: list[int] = []
    unknown: list[int] = []
    for column, cell in enumerate(file.header):
        folded = " ".join(cell.split()).casefold()
        section, of_readings = names.section(cell), names.about(cell)
        if not names.is_known(cell):
            (kept if folded in wanted else unknown).append(column)
            continue
        if folded in wanted:
            raise InputError("tasks.keeps_known_column", column=cell)
        if (section and section[0] in sections) or of_readings in about or folded in named:
            raise InputError("tasks.two_columns", name=file.name, cell=cell)
        if section:
            sections[section[0]] = column, section[1]
        elif of_readings:
            about[of_readings] = column
        else:
            named[folded] = column
    there = {" ".join(file.header[i].split()).casefold() for i in kept}
    for name in wanted.keys() - there:
        raise no_column(file, wanted[name], names.example)
    columns = named.get("part"), named.get("label")
    return Columns(file, names, *columns, sections, about, tuple(kept), tuple(unknown))
