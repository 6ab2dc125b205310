"""The form for the next part: what it asks for, and what of it cannot be understood."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from benchmeter.checking.commands import BeginCheck
from benchmeter.checking.lot_progress import counted_on
from benchmeter.conformity.accuracy import parse_accuracy
from benchmeter.errors import InputError, Message, WorldError
from benchmeter.parts.by_label import rate_label, told_by_label
from benchmeter.parts.nameplate.label import ToleranceMissing
from benchmeter.parts.part_kind import NameplateField, PartKind
from benchmeter.parts.rating import rate
from benchmeter.parts.seen import seen_in
from benchmeter.words.presentation import Presentation

__all__ = [
    "FormFault",
    "FormField",
    "TypedPart",
    "begun_part",
    "fitting_labels",
    "kind_needs",
    "next_number",
]


class FormField(StrEnum):
    """Where something is to be mended."""

    KIND = "kind"
    LABEL = "label"
    TOLERANCE = "tolerance"
    NUMBER = "number"
    SEEN = "seen"
    ACCURACY = "accuracy"


@dataclass(frozen=True, slots=True)
class TypedPart:
    """What stands in the form.

    Attributes:
        kind: as named; one of `kind_by_label`: the label tells it.
        unknown_kind: what was typed for a kind and is none; None: it is understood.
        number: own number within the carton; "" the one that is counted on to.
        lot: the carton; "" a part by itself.
        seen: on the part, and decides; "" nothing.
    """

    kind: PartKind
    label: str
    unknown_kind: str | None = None
    tolerance: str = ""
    accuracy: str = ""
    part: str = ""
    number: str = ""
    lot: str = ""
    seen: str = ""


@dataclass(frozen=True, slots=True)
class FormFault:
    """What cannot be understood, and at which field it is asked for.

    Attributes:
        asks_tolerance: the label gives none, so that one is to be typed.
        repeated: the number that was tested before; typed again it is meant.
    """

    field: FormField
    told: Message | WorldError
    asks_tolerance: bool = False
    repeated: str = ""


def begun_part(
    typed: TypedPart,
    tested: Mapping[str, Sequence[str]],
    tell: Presentation,
    *,
    meant: str = "",
) -> BeginCheck | FormFault:
    """The check that the form begins, or the first thing in it that is not understood.

    Args:
        tested: own numbers of the parts that were tested, by carton.
        meant: a number of which it was said that it was tested before.
    """
    fault = _fault(typed)
    if fault is not None:
        return fault
    part = typed.part.strip() or tell.text("page_bench.part_2")
    if typed.lot:
        part = typed.number or next_number(typed.lot, tested)
        if part in tested.get(typed.lot, ()) and part != meant:
            told = Message("page_bench.number_carton_was_tested", {"number": part})
            return FormFault(FormField.NUMBER, told, repeated=part)
    return BeginCheck(
        time_ns=0,
        part=part,
        label=typed.label.strip(),
        kind=None if told_by_label(typed.kind) else typed.kind,
        lot=typed.lot,
        tolerance=typed.tolerance.strip(),
        accuracy=typed.accuracy.strip(),
        seen=typed.seen.strip(),
    )


def next_number(lot: str, tested: Mapping[str, Sequence[str]]) -> str:
    """The own number that a carton is counted on to."""
    numbers = tested.get(lot, ())
    return counted_on(numbers[-1]) if numbers else "1"


def fitting_labels(labels: Sequence[str], kind: PartKind) -> tuple[str, ...]:
    """The labels typed before that this kind understands."""
    return tuple(text for text in labels if told_by_label(kind) or _fits(kind, text))


def kind_needs(kind: PartKind, tell: Presentation) -> str:
    """What its label must give, what it may give, and what is taken where it does not."""
    free = [given for given in kind.givens if not given.default]
    needed = ", ".join(_title(given) for given in free if given.needed)
    useful = ", ".join(_title(given) for given in free if not given.needed)
    taken = ", ".join(f"{_lower(g.title)} {g.default}" for g in kind.givens if g.default)
    lines = []
    if needed:
        lines.append(tell.text("page_bench.needed_givens", givens=needed))
    if useful:
        lines.append(tell.text("page_bench.may_given_givens", givens=useful))
    if taken:
        lines.append(tell.text("page_bench.taken_unless_typed_givens", givens=taken))
    return " ".join(lines)


def _fault(typed: TypedPart) -> FormFault | None:
    kind, text, tolerance = typed.kind, typed.label.strip(), typed.tolerance.strip()
    if typed.unknown_kind is not None:
        told = Message("page_bench.kind_no_kind_part", {"kind": typed.unknown_kind})
        return FormFault(FormField.KIND, told)
    needed = told_by_label(kind) or any(g.needed and not g.default for g in kind.givens)
    if needed and not text:
        told = Message("page_bench.type_what_label_says_3", {"example": kind.example})
        return FormFault(FormField.LABEL, told)
    try:
        _read(kind, text, tolerance)
    except ToleranceMissing as fault:
        return FormFault(FormField.TOLERANCE, fault, asks_tolerance=True)
    except InputError as fault:
        return FormFault(FormField.TOLERANCE if tolerance else FormField.LABEL, fault)
    try:
        if typed.accuracy.strip():
            parse_accuracy(typed.accuracy.strip())
    except InputError as fault:
        return FormFault(FormField.ACCURACY, fault)
    try:
        seen_in(typed.seen)
    except InputError as fault:
        return FormFault(FormField.SEEN, fault)
    return None


def _read(kind: PartKind, text: str, tolerance: str) -> None:
    """Raises ToleranceMissing or InputError where the label cannot be read."""
    if told_by_label(kind):
        rate_label(text, tolerance)
    else:
        rate(kind, text, tolerance)


def _fits(kind: PartKind, text: str) -> bool:
    try:
        _read(kind, text, "")
    except InputError:
        return False
    return True


def _title(given: NameplateField) -> str:
    if given.choices:
        return f"{_lower(given.title)} ({', '.join(given.choices)})"
    unit = given.unit if not given.range else f"{given.unit}, low-high"
    return f"{_lower(given.title)} ({unit})" if unit else _lower(given.title)


def _lower(title: str) -> str:
    """As within a sentence; RLA stays as it is."""
    return title[:1].lower() + title[1:] if title[1:2].islower() else title
