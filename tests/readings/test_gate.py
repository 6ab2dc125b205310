"""One gate for values: metered, typed, in a table and on the command line they fare alike.

The rule is our own; what a unit and a function mean is SI and SCPI-1999.
"""

from dataclasses import dataclass

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmeter.checking.typed_reading import parse_typed
from benchmeter.conformity.verdict import Measurement, Reason
from benchmeter.errors import InputError
from benchmeter.links.decoders.scpi import ScpiDecoder
from benchmeter.links.decoders.text_lines import TextDecoder
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.units import UNITS, span_to_si
from benchmeter.readings.gate import ShownField, quantity_named, status_named
from benchmeter.readings.reading import Garbled, Indication
from benchmeter.readings.resolution import DisplayResolution
from benchmeter.readings.status import Status
from tests.fakes.refusals import refused

VALUE_UNIT = r"(?P<value>\S+) ?(?P<value_unit>.*)"
ONE_AT_LEAST = {
    Quantity.CAPACITANCE: "µF",
    Quantity.RESISTANCE: "Ω",
    Quantity.VOLTAGE_DC: "V",
    Quantity.VOLTAGE_AC: "V",
    Quantity.CURRENT_AC: "A",
    Quantity.FREQUENCY: "Hz",
    Quantity.TEMPERATURE: "°C",
    Quantity.GAUGE_PRESSURE: "psig",
    Quantity.HUMIDITY: "%RH",
}


@dataclass(frozen=True)
class Fate:
    """What became of a value: SI and the worth of its last digit, or why it is none."""

    value_si: float | None = None
    digit_si: float | None = None
    why: str = ""


WHY = {
    Reason.WRONG_FUNCTION: Status.WRONG_FUNCTION,
    Reason.OVERLOAD: Status.OVERLOAD,
    Reason.NO_VALUE: Status.NO_VALUE,
    Reason.NO_CONTACT: Status.NO_CONTACT,
}


def section(quantity: Quantity) -> Measurement:
    return Measurement("one", None, None, None, quantity, ONE_AT_LEAST[quantity])


def typed(number: str, unit: str, quantity: Quantity, **beside: str) -> Fate:
    """Typed for a section, or in a table with a function and a status beside it."""
    try:
        found = parse_typed(
            f"{number} {unit}",
            section(quantity),
            told=quantity_named(beside.get("function", "")),
            status=status_named(beside.get("status", "")),
        )
    except InputError as error:
        return Fate(why=error.message.code)
    if found.reason is not None:
        return Fate(why=WHY[found.reason].value)
    assert found.value_si is not None
    digit_si = found.resolution_si
    return Fate(float(found.value_si), None if digit_si is None else float(digit_si))


def metered(found: Indication | Garbled) -> Fate:
    if isinstance(found, Garbled):
        return Fate(why=found.reason.code)
    if found.status is not Status.OK:
        return Fate(why=found.status.value)
    assert found.number is not None and found.step is not None and found.unit is not None
    step = DisplayResolution().of(found.number, found.step, found.unit).step
    return Fate(found.value, None if step is None else span_to_si(step, found.unit))


def as_text(number: str, unit: str, quantity: Quantity | None) -> Fate:
    field = ShownField(quantity=quantity, unit=quantity and UNITS[ONE_AT_LEAST[quantity]])
    decoder = TextDecoder(VALUE_UNIT, [field], overload=["OL"], no_value=["HOLD"])
    decoder.sent(b"?")
    (found,) = decoder.feed(f"{number} {unit}".strip().encode() + b"\n")
    return metered(found)


def as_scpi(number: str, unit: str, quantity: Quantity | None, function: str = "") -> Fate:
    field = ShownField(quantity=quantity, unit=quantity and UNITS[ONE_AT_LEAST[quantity]])
    decoder = ScpiDecoder([field], ask_function="FUNC?")
    if function:
        decoder.sent(b"FUNC?\n")
        decoder.feed(function.encode() + b"\n")
    decoder.sent(b"READ?\n")
    (found,) = decoder.feed(f"{number}{unit}".encode() + b"\n")
    return metered(found)


@pytest.mark.parametrize("unit", ["VAC", "V AC"])
def test_a_unit_that_contradicts_the_function_is_the_wrong_function(unit: str) -> None:
    of_the_channel = as_scpi("2.77", unit.replace(" ", ""), Quantity.VOLTAGE_DC)
    of_the_meter = as_scpi("2.77", "VAC", None, "VOLT:DC")
    expected = Fate(why=Status.WRONG_FUNCTION.value)
    assert [
        of_the_channel,
        of_the_meter,
        as_text("2.77", unit, Quantity.VOLTAGE_DC),
        typed("2.77", unit, Quantity.VOLTAGE_DC),
        typed("2.77", "V", Quantity.VOLTAGE_DC, function="AC voltage"),
    ] == [expected] * 5


@pytest.mark.parametrize("quantity", [None, Quantity.RESISTANCE, Quantity.TEMPERATURE])
def test_a_k_alone_is_neither_kilohm_nor_kelvin(quantity: Quantity | None) -> None:
    found = [as_text("12.0", "k", quantity)]
    found += [] if quantity is None else [typed("12.0", "k", quantity)]
    assert {fate.why for fate in found} == {"readings.kilohm_or_kelvin"}


@pytest.mark.parametrize(
    ("number", "quantity", "code"),
    [
        ("1e37", Quantity.RESISTANCE, "readings.more_than_meters_show"),
        ("1e7", Quantity.VOLTAGE_DC, "readings.more_than_meters_show"),
        ("-300", Quantity.TEMPERATURE, "readings.below_absolute_zero"),
        ("-1e4", Quantity.GAUGE_PRESSURE, "readings.less_than_can_be"),
    ],
)
def test_what_cannot_be_is_refused_from_whoever_it_comes(
    number: str, quantity: Quantity, code: str
) -> None:
    unit = ONE_AT_LEAST[quantity]
    assert typed(number, unit, quantity) == Fate(why=code)
    assert as_text(number, unit, quantity) == Fate(why=code)
    assert as_scpi(number, "", quantity) == Fate(why=code)


@pytest.mark.parametrize(
    ("status", "why"),
    [
        ("HOLD", "no value"),
        ("OL", "overload"),
        ("no contact", "no contact"),
        ("suspect", "no value"),
    ],
)
def test_a_status_beside_a_value_counts(status: str, why: str) -> None:
    assert typed("44.1", "uF", Quantity.CAPACITANCE, status=status) == Fate(why=why)


def test_a_function_or_status_that_is_not_known_is_refused() -> None:
    with refused(InputError, match="sideways"):
        status_named("sideways")
    with refused(InputError, match="ductance"):
        quantity_named("inductance")


numbers = st.one_of(
    st.decimals(-(10**6), 10**6, places=3).map(lambda d: f"{d:f}"),
    st.builds(
        lambda digits, power: f"{digits}e{power}",
        st.integers(-9999, 9999),
        st.integers(-12, 30),
    ),
)
units = st.sampled_from(
    [
        "",
        "uF",
        "nF",
        "F",
        "MF",
        "ohm",
        "kohm",
        "Mohm",
        "k",
        "K",
        "V",
        "mV",
        "VAC",
        "VDC",
        "A",
        "mA",
        "AAC",
        "Hz",
        "kHz",
        "C",
        "%",
        "%RH",
        "psi",
        "psig",
        "W",
        "s",
        "parsec",
    ]
)
quantities = st.sampled_from(list(ONE_AT_LEAST))


@given(numbers, units, quantities)
def test_any_value_and_unit_fare_alike_typed_and_metered(
    number: str, unit: str, quantity: Quantity
) -> None:
    if unit.endswith("ohm") and quantity is Quantity.CAPACITANCE:
        return  # a capacitor that reads a few ohms is shorted: only a person tells so
    by_hand = typed(number, unit, quantity)
    if by_hand.why == "readings.unit_missing":
        return  # a meter's bare number is in the unit that the profile tells; a person's is not
    assert as_text(number, unit, quantity) == by_hand
    if "%" not in unit or unit == "%":
        assert as_scpi(number, unit, quantity) == by_hand


@given(numbers, quantities, quantities, st.sampled_from(["", "OL", "HOLD"]))
def test_any_function_and_status_fare_alike_in_a_table_and_metered(
    number: str, expected: Quantity, told: Quantity, status: str
) -> None:
    if not told.row.scpi:
        return
    function = told.row.scpi[-1].upper()
    shown = {"": number, "OL": "9.9E37", "HOLD": "9.91E37"}[status]
    in_table = typed(number, ONE_AT_LEAST[expected], expected, function=told.value, status=status)
    assert as_scpi(shown, "", expected, function) == in_table
