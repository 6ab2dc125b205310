"""By what a part is judged without a session, and the verdict on what was typed of it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from benchmeter.checking.typed_reading import TypedReading
from benchmeter.conformity.accuracy import parse_accuracy
from benchmeter.conformity.lead_offset import LeadOffsets
from benchmeter.conformity.uncertainty import resolution_uncertainty
from benchmeter.conformity.verdict import (
    Accuracy,
    Rule,
)
from benchmeter.errors import InputError
from benchmeter.parts.conclusion import (
    PartVerdict,
)
from benchmeter.parts.nameplate.label import parse_label
from benchmeter.parts.part_verdict import judge_shown
from benchmeter.parts.rated_part import (
    CapacitorKind,
    Rating,
)
from benchmeter.parts.seen import SeenFault
from benchmeter.quantities.label_text import EXACTLY
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.units import find_unit, split_value
from benchmeter.readings.gate import admit_written

if TYPE_CHECKING:  # not for a capacitor by its label: that must start fast
    from benchmeter.parts.part_kind import PartKind

__all__ = [
    "Terms",
    "judge_typed",
    "label_measure",
    "lead_offsets",
    "section_words",
    "terms_of",
]

_ASIDE = {"C", "COM", "COMMON"}
_OFFSETS = {"capacitance": Quantity.CAPACITANCE, "resistance": Quantity.RESISTANCE}


@dataclass(frozen=True, slots=True)
class Terms:
    """By what a part is judged.

    Attributes:
        kind: of the part; as a capacitor that of `kind_by_label`, which a label alone told.
        tolerance: as typed, for labels that give none.
    """

    kind: "PartKind | CapacitorKind"
    rating: Rating
    tolerance: str
    accuracy: Accuracy | None
    rule: Rule
    offsets: LeadOffsets

    def rate(self, label: str, tolerance: str) -> Rating:
        """What another label says of a part of the same kind.

        Raises:
            ToleranceMissing: neither gives one.
            InputError: the label is not understood.
        """
        return _rate(None if isinstance(self.kind, CapacitorKind) else self.kind, label, tolerance)


def terms_of(
    kind: "PartKind | None",
    label: str,
    *,
    tolerance: str = "",
    accuracy: str | None = None,
    rule: Rule = Rule.GUARDED,
    offsets: Sequence[str] = (),
) -> Terms:
    """The terms, from what was typed.

    Args:
        kind: as it was named; None: the label tells it.
        accuracy: the meter's lines; None if not known.
        offsets: readings of the leads alone, with their units.

    Raises:
        InputError: one of them is not understood.
    """
    rating = _rate(kind, label, tolerance)
    lines = None if accuracy is None else parse_accuracy(accuracy, "" if kind else "capacitance")
    told = kind or CapacitorKind(rating.kind)
    return Terms(told, rating, tolerance, lines, rule, lead_offsets(offsets, rating))


def _rate(kind: "PartKind | None", label: str, tolerance: str) -> Rating:
    if kind is None:
        return parse_label(label, tolerance)
    from benchmeter.parts.rating import rate

    return rate(kind, label, tolerance)


def lead_offsets(texts: Sequence[str], rating: Rating) -> LeadOffsets:
    """What was typed as the reading of the leads alone; a number without a unit is in µF.

    Raises:
        InputError: of a unit that this part is not measured in, twice, or no reading of leads.
    """
    found: dict[str, Decimal] = {}
    u: dict[str, float] = {}
    for text in texts:
        kind = find_unit(split_value(text)[1] or "µF").kind
        measured = {s.quantity.kind for s in rating.sections}
        if kind not in _OFFSETS or kind not in measured:
            raise InputError("checking.no_such_lead_offset", text=text, quantity=kind)
        if kind in found:
            raise InputError("checking.lead_offset_twice")
        number, unit = admit_written(text, _OFFSETS[kind], find_unit("µF"))
        found[kind] = EXACTLY.multiply(number, unit.scale)
        digit = EXACTLY.multiply(Decimal(1).scaleb(int(number.as_tuple().exponent)), unit.scale)
        u[kind] = resolution_uncertainty(digit)
    offsets = LeadOffsets(
        found.get("capacitance", Decimal(0)),
        found.get("resistance", Decimal(0)),
        u.get("capacitance", 0.0),
        u.get("resistance", 0.0),
    )
    if found:
        from benchmeter.conformity.lead_offset import refuse_lead_offset, refuse_ohm_offset

        refuse_lead_offset(rating.sections, offsets.farad)
        refuse_ohm_offset(offsets.ohm)
    return offsets


def judge_typed(
    terms: Terms,
    rating: Rating,
    typed: Mapping[str, Sequence[TypedReading]],
    seen: SeenFault | None = None,
) -> PartVerdict:
    """The verdict on a part.

    Args:
        rating: of this part: `terms.rating`, or that of its own label.
        typed: by the name of the measurement; none: not measured.
        seen: on the part.
    """
    shown = [(s, typed.get(s.name, ())) for s in rating.sections]
    return judge_shown(
        terms.kind,
        rating,
        shown,
        terms.accuracy,
        rule=terms.rule,
        offsets=terms.offsets,
        seen=seen,
    )


def section_words(text: str) -> str:
    """The name of a section in capitals, without the common terminal: C-Herm is HERM."""
    words = text.upper().replace("-", " ").replace("/", " ").split()
    return " ".join(w for w in words if w not in _ASIDE)


def label_measure(kind: "PartKind") -> str:
    """The name of the measurement whose sections the label of a capacitor gives; "" for none."""
    from benchmeter.parts.part_kind import InLabel

    return next((m.name for m in kind.measures if isinstance(m.limits, InLabel)), "")
