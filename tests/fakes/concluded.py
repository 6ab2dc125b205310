"""Conclusions on a part whose readings are typed, all the way from its label."""

from benchmeter.checking.typed_reading import parse_typed
from benchmeter.conformity.accuracy import parse_accuracy
from benchmeter.conformity.judgement import judge_measurement, without_value
from benchmeter.conformity.verdict import (
    Measurement,
    MeasurementVerdict,
    Reason,
    Rule,
)
from benchmeter.parts.combined.conclusions import conclude
from benchmeter.parts.conclusion import (
    Conclusion,
)
from benchmeter.parts.part_kind import MeasurementSpec, PartKind, Subject
from benchmeter.parts.rating import rate
from benchmeter.quantities.quantity import Quantity
from benchmeter.words.conclusion_words import conclusion_value, conclusion_why

OF_PART = {"subject": Subject.PART, "hazards": (), "evidence": (), "source": "invented"}
"""What a measurement must say of itself, where a test is about something else."""

CONCLUDED = {"subject": Subject.PART, "source": "invented", "pass_leaves": "More may be wrong."}
"""Likewise a conclusion."""


def measure(name: str, quantity: Quantity, unit: str, **more) -> MeasurementSpec:
    return MeasurementSpec(
        name=name, title=name, quantity=quantity, unit=unit, leads=("1", "2"), **OF_PART | more
    )


def kind_of_part(rule, measures, givens=(), label="givens") -> PartKind:
    return PartKind(
        name="part", title="Part", about="A part.", label=label, example="as typed",
        hazards=(),
        givens=tuple(givens), measures=tuple(measures), conclusions=(rule,),
    )  # fmt: skip


def read(
    section: Measurement, text: str, accuracy, rule: Rule, offset=0, digits=True
) -> MeasurementVerdict:
    """The verdict on one section from what is typed; several readings are parted by "|"."""
    if not text:
        return without_value(section, Reason.NOT_MEASURED)
    typed = [parse_typed(t, section) for t in text.split("|")]
    if typed[0].reason is not None:
        return without_value(section, typed[0].reason)
    return judge_measurement(
        section,
        [t.value_si for t in typed],
        resolution_si=typed[0].resolution_si if digits else None,
        accuracy=accuracy,
        rule=rule,
        lead_offset_si=offset,
    )


def all_concluded(
    kind: PartKind, label: str, shown: dict[str, str], line="", rule=Rule.GUARDED, offset=0,
    digits=True,
) -> tuple[Conclusion, ...]:  # fmt: skip
    """Every conclusion; their sentences are made as well, and must be some.

    Args:
        line: the meter's accuracy.
        offset: of the leads.
        digits: the worth of the last digit is known.
    """
    rating = rate(kind, label)
    accuracy = parse_accuracy(line, "") if line else None
    sections = [
        read(section, shown.get(section.name, ""), accuracy, rule, offset, digits)
        for section in rating.sections
    ]
    found = conclude(kind, label, rating, sections, accuracy, rule=rule)
    for conclusion, drawn in zip(found, kind.conclusions, strict=True):
        assert conclusion.name == drawn.name
        why = conclusion_why(conclusion, drawn)
        assert why.endswith(".") and "None" not in why and "Δ" not in why
        assert bool(conclusion_value(conclusion)) == (conclusion.value_si is not None)
    return found


def concluded(
    kind: PartKind, label: str, shown: dict[str, str], line="", rule=Rule.GUARDED, **more
) -> Conclusion:
    """The first of `all_concluded`."""
    return all_concluded(kind, label, shown, line, rule, **more)[0]
