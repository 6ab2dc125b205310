"""The temperatures of a part in the degrees that a person prefers: words change, verdicts do not."""

from dataclasses import replace
from decimal import Decimal

import pytest

from benchmeter.checking.check import begin_check, typed
from benchmeter.checking.part_check import PartCheck, Step
from benchmeter.parts.catalogue import kind_text
from benchmeter.parts.part_kind import (
    Between,
    DifferenceRule,
    MeasurementSpec,
    NameplateField,
    PartKind,
)
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.inputs import BeginCheck
from benchmeter.words.conclusions import conclusion_value
from benchmeter.words.persons_degrees import in_degrees
from benchmeter.words.steps import step_text
from benchmeter.words.verdicts import limits_text, reading_words


def point(name: str, low: str, high: str, unit: str) -> MeasurementSpec:
    return MeasurementSpec(
        name=name, title=name, quantity=Quantity.TEMPERATURE, unit=unit, leads=("probe", "switch"),
        limits=Between(low=low, high=high), typed=True, failure="Late.", source="invented",
    )  # fmt: skip


def switch(unit: str) -> PartKind:
    """Invented: opens at 70 to 80 °C, closes at 55 to 65 °C, 5 to 20 K apart."""
    return PartKind(
        title="Switch", about="Invented.", example="24 V",
        givens=(NameplateField(name="volts", title="Volts", unit="V", needed=False),),
        measures=(
            point("opens", "70 °C", "80 °C", unit),
            point("closes", "55 °C", "65 °C", unit),
        ),
        conclusions=(
            DifferenceRule(
                name="differential", of="opens", less="closes", unit=f"Δ{unit}",
                limits=Between(low="5 K", high="20 K"), failure="Early.", source="invented",
            ),
        ),
    )  # fmt: skip


def check_of(unit: str, *readings: str) -> PartCheck:
    command = BeginCheck(time_ns=0, part="switch", label="", kind=kind_text(switch(unit)))
    check = begin_check(1, command, Decimal(0))
    for reading in readings:
        check = typed(check, 1, reading)
    return check


def test_limits_readings_and_differences_are_written_in_fahrenheit():
    """70, 75, 80 and 60 °C are 158, 167, 176 and 140 °F; 15 K are 27 °F (definition of the scale)."""
    check = in_degrees(check_of("°C", "167 °F", "140 °F"), "°F")
    assert check.verdict is not None
    opens, closes = check.verdict.sections
    assert limits_text(opens.section) == "158 to 176 °F"
    assert (reading_words(opens), reading_words(closes)) == ("167 °F", "140 °F")
    (differential,) = check.verdict.conclusions
    assert conclusion_value(differential).startswith("27")
    assert limits_text(check.sections[0].section) == "158 to 176 °F"


def test_what_was_found_is_the_same():
    """Every value, word and reason; and a second time nothing changes."""
    before = check_of("°C", "85.0 °C", "60.0 °C")
    after = in_degrees(before, "°F")
    assert before.verdict is not None and after.verdict is not None
    assert after.verdict.verdict is before.verdict.verdict
    for one, other in zip(before.verdict.sections, after.verdict.sections, strict=True):
        assert replace(other, section=one.section) == one
        assert replace(other.section, unit=one.section.unit) == one.section
    assert in_degrees(after, "°F") is after


def test_the_step_asks_for_the_persons_degrees():
    check = replace(check_of("°C"), step=Step.TYPE_IT)
    assert (
        step_text(in_degrees(check, "°F"))
        == "Type the reading in °F: opens. Space takes the probe's."
    )


@pytest.mark.parametrize(("written", "wanted"), [("°C", "°C"), ("°F", "°F"), ("°F", "°C")])
def test_what_is_marked_in_fahrenheit_stays_as_it_stands_on_the_part(written, wanted):
    check = check_of(written, "75 °C")
    assert in_degrees(check, wanted) is check
