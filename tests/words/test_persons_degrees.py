"""The temperatures of a part in the degrees that a person prefers: words change, verdicts do not."""

from dataclasses import replace
from decimal import Decimal

import pytest

from benchmeter.checking.check import begin_check, typed
from benchmeter.checking.commands import BeginCheck
from benchmeter.checking.part_check import PartCheck, Step
from benchmeter.parts.part_kind import (
    Between,
    DifferenceRule,
    MeasurementSpec,
    NameplateField,
    PartKind,
)
from benchmeter.quantities.quantity import Quantity
from benchmeter.words.conclusion_words import conclusion_value
from benchmeter.words.presentation import PLAIN, Presentation
from benchmeter.words.steps import step_text
from benchmeter.words.verdicts import limits_text, reading_words
from tests.fakes.concluded import CONCLUDED, OF_PART

FAHRENHEIT = Presentation(temperature_unit="°F")


def point(name: str, low: str, high: str, unit: str) -> MeasurementSpec:
    return MeasurementSpec(
        name=name, title=name, quantity=Quantity.TEMPERATURE, unit=unit, leads=("probe", "switch"),
        limits=Between(low=low, high=high), typed=True, **OF_PART,
    )  # fmt: skip


def switch(unit: str) -> PartKind:
    """Invented: opens at 70 to 80 °C, closes at 55 to 65 °C, 5 to 20 K apart."""
    return PartKind(
        title="Switch", about="Invented.", example="24 V", hazards=(),
        givens=(NameplateField(name="volts", title="Volts", unit="V", needed=False),),
        measures=(
            point("opens", "70 °C", "80 °C", unit),
            point("closes", "55 °C", "65 °C", unit),
        ),
        conclusions=(
            DifferenceRule(
                name="differential", of="opens", less="closes", unit=f"Δ{unit}",
                limits=Between(low="5 K", high="20 K"), **CONCLUDED,
            ),
        ),
    )  # fmt: skip


def check_of(unit: str, *readings: str) -> PartCheck:
    command = BeginCheck(time_ns=0, part="switch", label="", kind=switch(unit))
    check = begin_check(1, command, Decimal(0))
    for reading in readings:
        check = typed(check, 1, reading)
    return check


def test_limits_readings_and_differences_are_written_in_fahrenheit():
    """70, 75, 80 and 60 °C are 158, 167, 176 and 140 °F; 15 K are 27 °F (definition of the scale)."""
    check = check_of("°C", "167 °F", "140 °F")
    assert check.verdict is not None
    opens, closes = check.verdict.sections
    assert limits_text(opens.section, FAHRENHEIT) == "158 to 176 °F"
    assert limits_text(opens.section) == "70 to 80 °C"
    read = (reading_words(opens, FAHRENHEIT), reading_words(closes, FAHRENHEIT))
    assert read == ("167 °F", "140 °F")
    (differential,) = check.verdict.conclusions
    assert conclusion_value(differential, FAHRENHEIT) == "27.0 °F"
    assert conclusion_value(differential) == "15.0 °C"


def test_the_step_asks_for_the_persons_degrees():
    check = replace(check_of("°C"), step=Step.TYPE_IT)
    said = "Type the reading in °F: opens. Space takes the probe's."
    assert step_text(check, FAHRENHEIT) == said


@pytest.mark.parametrize("presentation", [PLAIN, FAHRENHEIT])
def test_what_is_marked_in_fahrenheit_stays_as_it_stands_on_the_part(presentation):
    check = check_of("°F", "75 °C")
    assert limits_text(check.sections[0].section, presentation) == "158 to 176 °F"
