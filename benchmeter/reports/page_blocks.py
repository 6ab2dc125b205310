"""The pieces of a page that a page break should not cut."""

from dataclasses import dataclass

from benchmeter.conformity.verdict import Verdict

__all__ = [
    "Block",
    "Figures",
    "Head",
    "Listing",
    "Note",
    "PartBlock",
    "Picture",
    "Sentences",
    "VerdictRow",
    "VerdictTable",
]


@dataclass(frozen=True, slots=True)
class Head:
    """What it is, title, when; `notice` stands out; what a person remarked, in lines."""

    what: str
    title: str
    line: str
    notice: str
    remark: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class VerdictRow:
    """Cells, then shape and word of a verdict."""

    cells: tuple[str, ...]
    verdict: Verdict
    word: str


@dataclass(frozen=True, slots=True)
class VerdictTable:
    """`heads`: each with its part of the width in percent."""

    heads: tuple[tuple[str, int], ...]
    rows: tuple[VerdictRow, ...]


@dataclass(frozen=True, slots=True)
class Note:
    """Sentences on one matter, in small type."""

    title: str
    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PartBlock:
    """A judged part: its plate, the figures, what the verdict rests on, what can hurt.

    Attributes:
        heading: of the section that begins here; "" none.
        kind: title of its kind; "" for a capacitor by its label.
        origin: its maker, serial number and date code.
    """

    heading: str
    part: str
    kind: str
    origin: str
    verdict: Verdict
    word: str
    sentence: str
    tables: tuple[VerdictTable, ...]
    notes: tuple[Note, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Figures:
    """A sentence, or "", then names and values, then sentences in small type."""

    heading: str
    sentence: str
    rows: tuple[tuple[str, str], ...]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Picture:
    """`about`: what it shows, for those who do not see it."""

    png: bytes
    about: str


@dataclass(frozen=True, slots=True)
class Sentences:
    """A paragraph each; `small`: one more, in small type."""

    heading: str
    sentences: tuple[str, ...]
    small: str = ""


@dataclass(frozen=True, slots=True)
class Listing:
    """A table that may go on over pages. `widths`: of the columns, None as it comes."""

    heading: str
    heads: tuple[str, ...]
    widths: tuple[int | None, ...]
    rows: tuple[tuple[str, ...], ...]
    none: str


Block = Head | PartBlock | Figures | Picture | Sentences | Listing
