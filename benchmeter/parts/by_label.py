"""The kind of a capacitor of which the label alone is told.

A label names no kind, and yet it is that of a run or of a start capacitor. The two kinds are made
here without reading a file, so that a check of years ago is judged as it was, whatever the user's
own files say today. They rule as those of the same name in `resources/parts`; they say nothing
beyond the label, so the sentences that a file has for people are empty.
"""

from functools import cache

from benchmeter.parts.nameplate.label import parse_label
from benchmeter.parts.part_kind import (
    EvidenceNeeded,
    Hazard,
    InLabel,
    MeasurementSpec,
    PartKind,
    Subject,
)
from benchmeter.parts.rated_part import (
    CapacitorKind,
    Rating,
)
from benchmeter.quantities.quantity import Quantity

__all__ = ["kind_by_label", "rate_label", "said_by_label", "told_by_label"]


def rate_label(label: str, tolerance: str = "") -> tuple[PartKind, Rating]:
    """What a capacitor is by its label alone, and its limits.

    Raises:
        ToleranceMissing, InputError: as `parse_label`.
    """
    rating = parse_label(label, tolerance)
    return kind_by_label(CapacitorKind(rating.kind)), rating


@cache
def kind_by_label(capacitor: CapacitorKind) -> PartKind:
    """The kind that a label alone stands for: only what is on the label is measured."""
    started = capacitor is CapacitorKind.START
    return PartKind(
        name="start-capacitor" if started else "run-capacitor",
        title="Start capacitor" if started else "Run capacitor",
        about="",
        label="capacitor",
        hazards=(Hazard.LIVE, Hazard.STORED_CHARGE),
        example="88-108 µF 250 V" if started else "45/5 µF ±6 % 440 V",
        measures=(
            MeasurementSpec(
                name="capacitance",
                title="Capacitance" if started else "Capacitance of each section",
                subject=Subject.PART,
                quantity=Quantity.CAPACITANCE,
                unit="µF",
                leads=("terminal", "terminal") if started else ("C", "section"),
                hazards=(Hazard.STORED_CHARGE,),
                evidence=(EvidenceNeeded.ISOLATED,),
                limits=InLabel(),
                source="",
            ),
        ),
    )


def told_by_label(kind: PartKind) -> bool:
    """Whether a label alone told this kind, and nobody named it: it is one of `kind_by_label`."""
    return any(kind == kind_by_label(capacitor) for capacitor in CapacitorKind)


def said_by_label(kind: PartKind) -> bool:
    """Whether the label says all of this kind: its sections are measured, and nothing else."""
    return (
        kind.label == "capacitor"
        and not kind.givens
        and not kind.conclusions
        and all(isinstance(m.limits, InLabel) for m in kind.measures)
    )
