"""What is typed of a part's label: every form, every error, and nothing skipped."""

from decimal import Decimal, localcontext

import msgspec
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from benchmeter.errors import InputError
from benchmeter.files.resources import resource
from benchmeter.parts.kind_catalogue import read_part_kind
from benchmeter.parts.nameplate.nameplate import (
    NameplateValue,
    parse_givens,
    tolerance_names,
    with_tolerance,
)
from benchmeter.parts.nameplate.nameplate_values import plain_value
from benchmeter.parts.nameplate.tokens import Piece
from benchmeter.parts.part_kind import NameplateField, OfGiven, PartKind
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.units import UNITS
from tests.fakes.concluded import kind_of_part, measure
from tests.fakes.ends import takes_from_to
from tests.fakes.refusals import advised, refused, said


def kind(name: str) -> PartKind:
    return read_part_kind(resource("parts") / f"{name}.toml")


RELAY, HEATER, PT100 = kind("relay"), kind("heater"), kind("sensor-pt100")
COUPLE, NTC, HOT = kind("sensor-thermocouple"), kind("sensor-ntc"), kind("temperature-cut-out")
PRESSURE, MAINS = kind("pressure-cut-out"), kind("run-capacitor-under-load")
DC_COIL, CONTACTOR = kind("valve-coil-dc"), kind("contactor-under-load")


def one(part: PartKind, label: str, name: str) -> NameplateValue:
    return parse_givens(part, label)[name]


@pytest.mark.parametrize(
    "label",
    [
        "24 V, coil 9-14 ohm",
        "coil 9-14 ohm 24 V",
        "24V;coil 9…14 Ω",
        "24 VAC coil: 9 to 14 \u2126",
        "9\u201314 ohm, 24 V~",
        "24V,coil=9 ohm - 14 ohm",
        "COIL 9...14 OHM, rated 24 V AC",
        "24.0 V 9,0-14,0 ohm",
        "coil 24 V, coil 9-14 ohm",
    ],
)
def test_order_and_separators_do_not_matter(label: str) -> None:
    found = parse_givens(RELAY, label)
    assert found["volts"].value_si == 24
    assert (found["coil"].low_si, found["coil"].high_si) == (9, 14)
    assert found["coil"].value_si is None


def test_a_value_may_carry_its_own_amount() -> None:
    coil = one(RELAY, "coil 14 ±2 ohm", "coil")
    assert (coil.value_si, coil.low_si, coil.high_si) == (14, 12, 16)


def test_a_tolerance_after_values_with_units_is_that_of_all() -> None:
    found = parse_givens(HOT, "opens 160 F closes 130 F ±3 F")
    assert found["closes"].low_si is None
    assert found["tolerance"].value_si == pytest.approx(Decimal(5) / 3)
    assert not found["tolerance"].from_default


@pytest.mark.parametrize(
    ("label", "low", "high"),
    [
        ("240 V 1500 W ±10 %", "-0.1", "0.1"),
        ("±5% 240V 1500W", "-0.05", "0.05"),
        ("240 V 1500 W 5 %", "-0.05", "0.05"),
        ("240 V 1500 W tolerance 7,5 %", "-0.075", "0.075"),
        ("240 V 1500 W -5/+10 %", "-0.05", "0.1"),
        ("240 V 1500 W +10/-5 %", "-0.05", "0.1"),
        ("240 V 1500 W 0/+10 %", "0", "0.1"),
        ("240 V, 1500 W, -5 % +10 %", "-0.05", "0.1"),
    ],
)
def test_tolerances_are_fractions_below_and_above(label: str, low: str, high: str) -> None:
    found = one(HEATER, label, "tolerance")
    assert (found.low_si, found.high_si) == (Decimal(low), Decimal(high))
    assert found.value_si == (Decimal(high) if low == f"-{high}" else None)


def test_a_decimal_comma_keeps_every_digit() -> None:
    assert one(HEATER, "240 V 1,5 kW", "power").value_si == 1500
    assert one(HEATER, "240 V 1,50001 kW", "power").value_si == Decimal("1500.01")


def test_values_are_exact_whatever_decimal_context_the_caller_has_set() -> None:
    with localcontext() as context:
        context.prec = 3
        found = parse_givens(HEATER, "240.1234 V 1500 W ±7.654 %")
    assert found["volts"].value_si == Decimal("240.1234")
    assert found["tolerance"].low_si == Decimal("-0.07654")


def test_defaults_are_taken_openly() -> None:
    taken = one(HEATER, "240 V 1500 W", "tolerance")
    assert (taken.text, taken.value_si, taken.from_default) == ("±10 %", Decimal("0.1"), True)
    assert not one(HEATER, "240 V 1500 W ±10 %", "tolerance").from_default


def test_what_was_typed_is_no_default() -> None:
    found = parse_givens(RELAY, "24 V, coil 9-14 ohm")
    assert not found["volts"].from_default and not found["coil"].from_default


def test_what_is_not_needed_may_be_absent() -> None:
    assert set(parse_givens(RELAY, "")) == {"tolerance"}


def test_temperatures_and_their_differences_are_apart() -> None:
    """T/K = (t/°F + 459.67)·5/9; 10 °F of difference are 50/9 K (NIST SP 811, B.8)."""
    found = parse_givens(HOT, "opens 160 °F, closes 50 °C, differential 10 °F, tolerance 3 K")
    assert float(found["opens"].value_si or 0) == pytest.approx(619.67 * 5 / 9, rel=1e-15)
    assert found["closes"].value_si == Decimal("323.15")
    assert float(found["differential"].value_si or 0) == pytest.approx(50 / 9, rel=1e-15)
    assert found["tolerance"].value_si == 3


def test_temperatures_below_zero_and_their_ranges() -> None:
    found = parse_givens(HOT, "opens -10 to -5 °C, closes -20--15 °C")
    assert (found["opens"].low_si, found["opens"].high_si) == (Decimal("263.15"), Decimal("268.15"))
    assert (found["closes"].low_si, found["closes"].high_si) == (
        Decimal("253.15"),
        Decimal("258.15"),
    )


def test_pressures_in_every_unit() -> None:
    """1 psi = 6894.757 Pa (NIST SP 811, B.8)."""
    found = parse_givens(PRESSURE, "opens 42 bar, closes 2900 kPa")
    assert (found["opens"].value_si, found["closes"].value_si) == (4_200_000, 2_900_000)
    assert float(one(PRESSURE, "opens 1 psi closes 1 psig", "opens").value_si or 0) == (
        pytest.approx(6894.757, rel=1e-7)
    )


@pytest.mark.parametrize(
    ("part", "label", "name", "word"),
    [
        (PT100, "pt100 class B", "class", "B"),
        (PT100, "class aa", "class", "AA"),
        (PT100, "B", "class", "B"),
        (PT100, "class B", "sensor", "pt100"),
        (COUPLE, "type K, class 1", "type", "K"),
        (COUPLE, "k, class 2", "class", "2"),
        (NTC, "ntc-10k-3", "curve", "ntc-10k-3"),
        (NTC, "type 2", "curve", "ntc-10k-2"),
        (NTC, "Curve 3", "curve", "ntc-10k-3"),
    ],
)
def test_choices_are_words(part: PartKind, label: str, name: str, word: str) -> None:
    found = one(part, label, name)
    assert (found.word, found.value_si) == (word, None)


def test_a_capacitors_label_gives_the_frequency() -> None:
    found = one(MAINS, "45 µF ±6 % 440 V 60 Hz", "frequency")
    assert (found.value_si, found.text) == (60, "60 Hz")
    assert parse_givens(MAINS, "45 µF 50 Hz", "6 %")["frequency"].value_si == 50


@pytest.mark.parametrize(
    ("part", "label", "says"),
    [
        (RELAY, "foo", "“foo” is not understood"),
        (RELAY, "24 V please", "“please” is not understood"),
        (RELAY, "24 V §", "“§” is not understood"),
        (RELAY, "coil", "After “coil” a value is missing"),
        (RELAY, "24 V coil", "After “coil” a value is missing"),
        (RELAY, "coil rated 24 V", "After “coil” a value is missing"),
        (RELAY, "coil 14", "“coil 14” has no unit"),
        (RELAY, "24", "“24” has no unit"),
        (RELAY, "1 200 ohm", "“1” has no unit"),
        (RELAY, "24 V 24 V", "Rated coil voltage stands there twice: “24 V” and “24 V”"),
        (RELAY, "coil 9 ohm, 9-14 ohm", "stands there twice"),
        (RELAY, "40 A", "“40 A” is nothing that is asked"),
        (RELAY, "coil 40 A", "“coil 40 A”: “A” is a unit of current"),
        (RELAY, "12 furlongs", "The unit “furlongs” is not known"),
        (RELAY, "coil 1,200 ohm", "“1,200” may be 1.200 or 1200"),
        (RELAY, "coil ,5 ohm", "“,5 ohm” may begin with 0,5"),
        (RELAY, "coil 0 ohm", "“0 ohm” cannot be right"),
        (RELAY, "coil -14 ohm", "“-14 ohm” cannot be right"),
        (RELAY, "coil 1e3 ohm", "“coil 1e”"),
        (RELAY, "900000 kV", "“900000 kV” cannot be right"),
        (RELAY, "coil 14-9 ohm", "“14-9 ohm” is no range"),
        (RELAY, "coil 9-9 ohm", "“9-9 ohm” is no range"),
        (RELAY, "coil 14 ±14 ohm", "“14 ±14 ohm” cannot be right"),
        (RELAY, "coil 14 ±0 ohm", "leaves no room"),
        (RELAY, "coil 14 ohm ±2 ohm", "The tolerance “±2 ohm” belongs to nothing here"),
        (RELAY, "20-28 V", "“20-28 V” is a range"),
        (RELAY, "coil 14 ohm ±0 %", "0 % leaves no room"),
        (RELAY, "coil 14 ohm ±100 %", "100 % and more"),
        (RELAY, "coil 14 ohm +5 %", "has one side only"),
        (RELAY, "coil 14 ohm -5 %", "has one side only"),
        (RELAY, "coil 14 ohm +5/+10 %", "minus and a plus side"),
        (RELAY, "coil 14 ohm 5-10 %", "does not have a minus and a plus side"),
        (RELAY, "coil ±10 %", "“coil ±10 %”"),
        (HEATER, "240 V", "Rated power is missing"),
        (HEATER, "", "Rated voltage is missing"),
        (HEATER, "240 V 1500 W, 10 ohm", "“10 ohm” is nothing that is asked"),
        (HOT, "160 °F 130 °F", "“160 °F” may be Marked opening point (opens) or"),
        (HOT, "opens 160 °F", "Marked closing point is missing"),
        (HOT, "opens 160 °F closes 5000 °F", "“5000 °F” cannot be right"),
        (HOT, "opens 160 °F closes 130 °F ±0 °F", "leaves no room"),
        (PT100, "", "Tolerance class is missing"),
        (PT100, "class X", "“X” is not known as tolerance class"),
        (PT100, "class 1", "“1” is not known as tolerance class"),
        (PT100, "B A", "Tolerance class stands there twice"),
        (PT100, "pt1000 class B", "“pt1000” is not understood"),
        (PT100, "class 3 V", "“class 3 V” is not understood"),
        (DC_COIL, "24 VAC 10 W", "“24 VAC” is AC, and this kind of part is for DC"),
        (CONTACTOR, "24 V DC", "“24 V DC” is DC, and this kind of part is for AC"),
        (MAINS, "45 µF ±6 % 440 V", "Frequency of the mains is missing"),
        (MAINS, "45 µF ±6 % 440 V 50/60 Hz", "The label gives 50 and 60 Hz"),
        (RELAY, "x" * 500, "500 characters"),
    ],
)
def test_each_error_names_the_word_and_says_what_to_do(
    part: PartKind, label: str, says: str
) -> None:
    with pytest.raises(InputError) as caught:
        parse_givens(part, label)
    assert says in said(caught.value)
    assert advised(caught.value)
    assert len(said(caught.value)) < 200


def test_a_tolerance_typed_aside_is_the_kinds_tolerance() -> None:
    for typed in ("6 %", "±6 %", "6"):
        assert parse_givens(HEATER, "240 V 1500 W", typed)["tolerance"].high_si == Decimal("0.06")
    found = parse_givens(HEATER, "240 V 1500 W", "0/+10 %")["tolerance"]
    assert (found.low_si, found.high_si) == (0, Decimal("0.1"))
    assert parse_givens(HOT, "opens 160 F closes 130 F", "±3 F")["tolerance"].low_si == (
        pytest.approx(Decimal(-5) / 3)
    )
    assert with_tolerance(HEATER, "240 V 1500 W", " ") == "240 V 1500 W"
    with refused(InputError, match="stands there twice"):
        parse_givens(HEATER, "240 V 1500 W 5 %", "6 %")
    with refused(InputError, match="A tolerance says nothing"):
        parse_givens(CONTACTOR, "24 V", "6 %")


def test_tolerances_are_told_from_values_by_what_the_limits_say() -> None:
    assert tolerance_names(HOT) == {"tolerance"}
    assert tolerance_names(CONTACTOR) == set()


_SIGNS = st.sampled_from("0123456789.,-+±/% VAΩohmCFK°Δ;:=()…to\u2126µ\u00b2\u0664\u202f~&'\"")
_PIECES = st.sampled_from(
    ["24 V", "coil", "9-14 ohm", "±10 %", "-5/+10 %", "opens", "160 °F", "class", "B", "1 -", "to"]
)


@settings(max_examples=300, deadline=None)
@given(
    st.one_of(
        st.text(_SIGNS, max_size=200),
        st.text(max_size=200),
        st.lists(_PIECES, max_size=12).map(" ".join),
    )
)
@example("1 -" * 60)
@example("±" * 200)
@example("-5 % " * 40)
@example("9 - " * 50)
@example("t" * 200)
@example("1" * 200)
@example("1" + "o" * 199)
@example("a-" * 100)
@example(", ,5" * 50)
def test_no_text_does_anything_but_give_values_or_an_input_error(text: str) -> None:
    for part in (RELAY, HOT, COUPLE, MAINS):
        try:
            found = parse_givens(part, text)
        except InputError:
            continue
        for value in found.values():
            numbers = [n for n in (value.value_si, value.low_si, value.high_si) if n is not None]
            assert all(n.is_finite() for n in numbers)
            assert value.low_si is None or value.high_si is None or value.low_si < value.high_si


@pytest.mark.parametrize(
    ("unit", "low", "high"),
    [
        ("Ω", "1e-6", "1e12"),
        ("V", "1e-6", "1e5"),
        ("A", "1e-9", "1e5"),
        ("W", "1e-6", "1e8"),
        ("Hz", "0.1", "1e9"),
        ("F", "1e-13", "0.1"),
        ("s", "1e-6", "1e8"),
        ("Pa", "-101325", "1e8"),
        ("K", "50", "2500"),
        ("Δ°C", "1e-6", "1000"),
    ],
)
def test_what_no_part_of_the_trade_goes_beyond(unit: str, low: str, high: str) -> None:
    """No vacuum is below -101325 Pa of gauge pressure; the others: our own choice."""
    field = NameplateField(name="it", title="It", unit=unit)

    def typed(value: Decimal) -> NameplateValue:
        text = f"{value:f}"
        return plain_value(field, UNITS[unit], Piece("value", text, (text,), unit))

    takes_from_to(typed, Decimal(low), Decimal(high))


def test_a_value_without_a_name_is_that_of_no_tolerance() -> None:
    """Both are in volts and both are needed: the one that is named is the tolerance."""
    volts = NameplateField(name="volts", title="Volts", unit="V")
    room = NameplateField(name="room", title="Room", unit="V")
    limits = OfGiven(given="volts", tolerance="room")
    part = kind_of_part(
        None, [measure("volts", Quantity.VOLTAGE_DC, "V", limits=limits)], (volts, room)
    )
    part = msgspec.structs.replace(part, conclusions=())
    found = parse_givens(part, "24 V, room 2 V")
    assert (found["volts"].value_si, found["room"].value_si) == (24, 2)


def test_a_capacitors_label_may_give_one_frequency() -> None:
    with refused(InputError, match="50 and 60 Hz"):
        parse_givens(MAINS, "45 µF ±6 % 50/60 Hz")
