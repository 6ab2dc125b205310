"""The check of a reference part: its rating, its record, and what it says about the meter."""

from datetime import date
from decimal import Decimal

from benchmeter.checking.commands import BeginCheck
from benchmeter.checking.part_check import PartCheck
from benchmeter.conformity.reference_part import (
    Compatibility,
    MeterVerdict,
    ReferencePart,
    compatibility,
)
from benchmeter.conformity.verdict import (
    Measurement,
    MeasurementVerdict,
    Verdict,
)
from benchmeter.errors import InputError
from benchmeter.parts.part_kind import EvidenceNeeded, Hazard, MeasurementSpec, PartKind, Subject
from benchmeter.parts.rated_part import (
    Rating,
)

__all__ = [
    "REFERENCE_PART",
    "compatibility_of",
    "measured_section",
    "rate_reference",
    "reference_command",
    "reference_kind",
    "word_of",
]

REFERENCE_PART = "reference part"
"""`Rating.kind` of a reference part."""


def reference_kind(part: ReferencePart) -> PartKind:
    """The kind of what is measured there: one value between two terminals, and no limits.

    It may be charged, as any capacitor may.
    """
    return PartKind(
        name="reference-part",
        title=part.name,
        about="",
        hazards=(Hazard.STORED_CHARGE,),
        example=part.name,
        measures=(
            MeasurementSpec(
                name="single",
                title=part.name,
                subject=Subject.PART,
                quantity=part.quantity,
                unit=part.unit,
                leads=("terminal", "terminal"),
                hazards=(Hazard.STORED_CHARGE,),
                evidence=(EvidenceNeeded.ISOLATED,),
                source="",
            ),
        ),
    )


def rate_reference(part: ReferencePart) -> Rating:
    """A single section with a value and no limits: it is not the part that is judged."""
    section = Measurement(
        "single", part.value_si, None, None, quantity=part.quantity, unit=part.unit
    )
    return Rating(
        text=part.name,
        kind=REFERENCE_PART,
        sections=(section,),
        tolerance="",
        tolerance_from="user",
        voltages_v=(),
        frequencies_hz=(),
    )


def reference_command(
    part: ReferencePart, today: date, *, accuracy: str, channel: str
) -> BeginCheck:
    """What begins the check of a reference part.

    Args:
        accuracy: the meter's lines, as they are typed; "" if not known.

    Raises:
        InputError: its value lies in the future.
    """
    if part.valued_on is not None and today < part.valued_on:
        raise InputError(
            "checking.reference_of_the_future", part=part.name, valued=part.valued_on, today=today
        )
    return BeginCheck(
        time_ns=0,
        part=part.name,
        label=part.name,
        reference=part,
        accuracy=accuracy,
        channel=channel,
    )


def measured_section(check: PartCheck) -> MeasurementVerdict | None:
    """The last reading of a reference part; None where the meter showed no value."""
    if check.reference is None or check.verdict is None:
        return None
    last = check.verdict.sections[-1]
    return last if last.verdict is Verdict.MEASURED and last.reading_si is not None else None


def word_of(check: PartCheck) -> MeterVerdict | None:
    """The verdict on the meter; None without a value."""
    found = compatibility_of(check, date.min)
    return None if found is None else found.verdict


def compatibility_of(check: PartCheck, read_on: date) -> Compatibility | None:
    """What the check of a reference part says about the meter; None without a value.

    No bias is taken off: it is what is asked about.
    """
    last = measured_section(check)
    if last is None or check.reference is None:
        return None
    shown_si = sum(last.readings_si, Decimal(0)) / len(last.readings_si)
    reading_si = shown_si - last.lead_offset_si
    return compatibility(check.reference, reading_si, last.expanded_uncertainty_si, read_on)
