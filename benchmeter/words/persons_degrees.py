"""A part's temperatures in the degrees that a person prefers; what was found stays as it is."""

from dataclasses import replace

from benchmeter.checking.part_check import MeasurementCheck, PartCheck
from benchmeter.conformity.verdict import Measurement, MeasurementVerdict, PartVerdict, Rating

__all__ = ["in_degrees"]

_FAHRENHEIT = {"°C": "°F", "Δ°C": "Δ°F"}


def in_degrees(check: PartCheck, temperature_unit: str) -> PartCheck:
    """The same check, to be shown: only the units differ in which its temperatures are written.

    Decimals of °C end in °F, too; those of °F do not in °C, and what is marked in °F stays as it
    stands on the part.

    Args:
        temperature_unit: "°C" or "°F".

    Returns:
        The same object where nothing is to be written in another unit.
    """
    units = {s.section.unit for s in check.sections}
    units |= {c.unit for c in check.verdict.conclusions} if check.verdict is not None else set()
    if temperature_unit != "°F" or not units & set(_FAHRENHEIT):
        return check
    return replace(
        check,
        rating=_rating(check.rating),
        sections=tuple(_taken(section) for section in check.sections),
        verdict=None if check.verdict is None else _verdict(check.verdict),
    )


def _section(section: Measurement) -> Measurement:
    return replace(section, unit=_FAHRENHEIT.get(section.unit, section.unit))


def _rating(rating: Rating) -> Rating:
    return replace(rating, sections=tuple(map(_section, rating.sections)))


def _found(found: MeasurementVerdict) -> MeasurementVerdict:
    return replace(found, section=_section(found.section))


def _taken(check: MeasurementCheck) -> MeasurementCheck:
    taken = tuple(replace(each, verdict=_found(each.verdict)) for each in check.taken)
    return MeasurementCheck(_section(check.section), taken)


def _verdict(verdict: PartVerdict) -> PartVerdict:
    return replace(
        verdict,
        rating=_rating(verdict.rating),
        sections=tuple(map(_found, verdict.sections)),
        conclusions=tuple(
            replace(c, unit=_FAHRENHEIT.get(c.unit, c.unit)) for c in verdict.conclusions
        ),
    )
