"""The limits of a part of any kind, against published and computed values."""

from decimal import Decimal

import pytest
from msgspec.structs import replace

from benchmeter.conformity.verdict import Measurement, Verdict
from benchmeter.errors import InputError
from benchmeter.files.resources import resource
from benchmeter.parts.kind_catalogue import read_part_kind
from benchmeter.parts.nameplate.label import ToleranceMissing, parse_label
from benchmeter.parts.nameplate.nameplate import parse_givens
from benchmeter.parts.part_kind import Between, FromPower, OfGiven, PartKind
from benchmeter.parts.rating import limits_of, rate
from benchmeter.quantities.quantity import Quantity
from tests.fakes.refusals import advised, refused, said


def kind(name: str) -> PartKind:
    return read_part_kind(resource("parts") / f"{name}.toml")


def section(name: str, label: str, measured: str, tolerance: str = "") -> Measurement:
    rating = rate(kind(name), label, tolerance)
    return next(s for s in rating.sections if s.name == measured)


def limits(found: Measurement) -> tuple[Decimal | None, Decimal | None]:
    return found.low_si, found.high_si


def exact(low: str | None, high: str | None) -> tuple[Decimal | None, Decimal | None]:
    return (None if low is None else Decimal(low), None if high is None else Decimal(high))


def test_a_capacitor_is_rated_by_its_label_section_by_section() -> None:
    """45/5 µF ±6 %: 42.3 to 47.7 and 4.7 to 5.3 (follows from the label)."""
    rating = rate(kind("run-capacitor"), "5/45 µF ±6 % 440 V")
    assert rating.kind == "run-capacitor"
    assert [s.name for s in rating.sections] == ["HERM", "FAN"]
    assert [limits(s) for s in rating.sections] == [
        exact("0.0000423", "0.0000477"),
        exact("0.0000047", "0.0000053"),
    ]
    assert rating.sections == parse_label("5/45 µF ±6 % 440 V").sections
    assert (rating.text, rating.voltages_v) == ("5/45 µF ±6 % 440 V", (440,))


def test_a_capacitor_without_tolerance_asks_for_it() -> None:
    with pytest.raises(ToleranceMissing):
        rate(kind("run-capacitor"), "45 µF 440 V")
    rating = rate(kind("run-capacitor"), "45 µF 440 V", "6 %")
    assert (rating.tolerance, rating.tolerance_from) == ("±6 %", "user")


def test_a_start_capacitor_has_the_range_on_its_label_and_a_bleed_resistor() -> None:
    """15 to 20 kΩ across it (common practice, no source), each with 10 %."""
    rating = rate(kind("start-capacitor"), "88-108 MFD 250 VAC")
    assert [s.name for s in rating.sections] == ["single", "bleed"]
    assert limits(rating.sections[0]) == exact("0.000088", "0.000108")
    low, high = limits(rating.sections[1])
    assert low == Decimal("15e3") * Decimal("0.9")
    assert high == Decimal("20e3") * Decimal("1.1")
    assert rating.sections[1].quantity is Quantity.RESISTANCE


@pytest.mark.parametrize(
    ("label", "rated", "low", "high"),
    [
        ("240 V 1500 W ±10 %", "38.4", "34.56", "42.24"),
        ("240 V 1500 W -5/+10 %", "38.4", "36.48", "42.24"),
        ("120 V 1 kW ±5 %", "14.4", "13.68", "15.12"),
        ("230 V 2 kW ±10 %", "26.45", "23.805", "29.095"),
    ],
)
def test_a_heater_has_v_squared_over_p(label: str, rated: str, low: str, high: str) -> None:
    """R = V²/P (follows from the formula): 240²/1500 = 38.4 Ω."""
    found = section("heater", label, "element")
    assert found.rated_si == Decimal(rated)
    assert limits(found) == exact(low, high)


def test_a_quotient_without_end_is_rounded_outwards() -> None:
    """240²/1700 = 33.88235294...: no digit of the band is lost."""
    found = section("heater", "240 V 1700 W ±10 %", "element")
    assert found.low_si is not None and found.high_si is not None
    assert found.low_si * 1700 <= Decimal(240) ** 2 * Decimal("0.9")
    assert found.high_si * 1700 >= Decimal(240) ** 2 * Decimal("1.1")
    assert float(found.low_si) == pytest.approx(240**2 / 1700 * 0.9, rel=1e-6)
    assert len(found.low_si.as_tuple().digits) <= 7


def test_a_transformer_gives_its_rated_current_and_no_more() -> None:
    """40 VA, 24 V: 1.6667 A (follows from I = S/V); ±10 % of 24 V is common practice."""
    label = "primary 240 V, secondary 24 V, 40 VA"
    amps = section("transformer-under-load", label, "secondary amps")
    assert amps.low_si is None and amps.rated_si is None
    assert float(amps.high_si or 0) == pytest.approx(40 / 24, rel=1e-6)
    assert (amps.high_si or 0) * 24 >= 40
    volts = section("transformer-under-load", label, "secondary volts")
    assert limits(volts) == exact("21.6", "26.4")
    assert limits(section("transformer-under-load", label, "primary volts")) == exact("216", "264")


def test_a_contactor_coil_works_from_85_to_110_percent() -> None:
    """NEMA ICS 2: 24 V AC coil, 20.4 to 26.4 V (from memory)."""
    found = section("contactor-under-load", "24 V", "coil volts")
    assert (found.rated_si, found.quantity) == (24, Quantity.VOLTAGE_AC)
    assert limits(found) == exact("20.4", "26.4")
    drop = section("contactor-under-load", "24 V, drop 0.2 V", "drop L1-T1")
    assert limits(drop) == exact(None, "0.2")


def test_a_coil_has_the_range_of_its_label_or_is_neither_open_nor_shorted() -> None:
    assert limits(section("contactor", "coil 9-14 ohm", "coil")) == exact("9", "14")
    assert limits(section("contactor", "coil 12 ±3 ohm", "coil")) == exact("9", "15")
    assert limits(section("contactor", "coil 20 ohm ±10 %", "coil")) == exact("18", "22")
    unknown = section("contactor", "24 V", "coil")
    assert (limits(unknown), unknown.unrated) == (exact(None, None), True)
    assert (unknown.shorted_below_si, unknown.overload) == (1, Verdict.OPEN)


def test_contacts_at_rest_pass_by_overload_and_closed_ones_are_open_by_it() -> None:
    rest = section("contactor", "24 V", "L1-T1 at rest")
    assert (rest.overload, rest.low_si) == (Verdict.PASS, 1_000_000)
    assert section("contactor", "24 V", "L1-T1 closed").overload is Verdict.OPEN


@pytest.mark.parametrize(
    ("volts", "low", "high"),
    [
        ("230 V", "207", "253"),
        ("208-230 V", "187.2", "253"),  # 208 V - 10 %, 230 V + 10 %
        ("208/230 V", "187.2", "253"),
        ("208 - 230 VAC", "187.2", "253"),
    ],
)
def test_motor_voltage_may_be_10_percent_off_what_its_plate_names(
    volts: str, low: str, high: str
) -> None:
    """NEMA MG 1 cl. 12.44 (from memory); a plate with two voltages: common practice, no source."""
    label = f"{volts}, RLA 16.7 A"
    assert limits(section("motor-single-phase-running", label, "volts")) == exact(low, high)


def test_a_coil_of_two_voltages_works_from_85_percent_of_one_to_110_percent_of_the_other() -> None:
    """NEMA ICS 2 (from memory): 208 V · 0.85 and 240 V · 1.1."""
    found = section("contactor-under-load", "208/240 V", "coil volts")
    assert limits(found) == exact("176.8", "264")


def test_two_ways_of_wiring_are_no_nominal_voltage() -> None:
    with refused(InputError, match="two ways of wiring"):
        rate(kind("motor-single-phase-running"), "115/230 V, 8 A")
    with refused(InputError, match="9/14 ohm"):
        rate(kind("contactor"), "coil 9/14 ohm")


def test_only_the_makers_greatest_current_bounds_the_amps() -> None:
    """RLA is no ceiling: common practice, no source."""
    running, plate = "motor-single-phase-running", "230 V, RLA 16.7 A"
    assert limits(section(running, plate, "amps")) == exact(None, None)
    assert limits(section(running, f"{plate}, maximum 26 A", "amps")) == exact(None, "26")


@pytest.mark.parametrize(
    ("name", "floor"),
    [
        ("compressor-single-phase", "1e6"),  # in refrigerant: common practice, no source
        ("compressor-three-phase", "1e6"),
        ("motor-single-phase", "5e6"),  # IEEE 43-2013, random-wound, below 1 kV (from memory)
        ("motor-three-phase", "5e6"),
    ],
)
def test_insulation_has_the_makers_floor_first_and_none_without_the_testers_volts(
    name: str, floor: str
) -> None:
    graded = section(name, "tester 500 V", "to case")
    assert (limits(graded), graded.overload) == (exact(floor, None), Verdict.PASS)
    assert limits(section(name, "insulation 2 Mohm, tester 250 V", "to case")) == exact("2e6", None)
    for label in ("", "insulation 2 Mohm", "tester 9 V"):
        found = section(name, label, "to case")
        assert (limits(found), found.overload) == (exact(None, None), Verdict.MEASURED)
        assert found.shorted_below_si == 20_000


def test_measurements_for_a_conclusion_have_no_limits() -> None:
    for found in rate(kind("compressor-single-phase"), "").sections[:3]:
        assert limits(found) == exact(None, None)
        assert found.overload is Verdict.OPEN


def test_a_marked_point_has_its_tolerance() -> None:
    """610 psi ±5 %: 579.5 to 640.5 psi; 160 °F ±5 °F: 155 to 165 °F (follow from the label)."""
    psi = Decimal("4.4482216152605") / Decimal("0.00064516")  # NIST SP 811, B.8
    found = section("pressure-cut-out", "opens 610 psi closes 420 psi", "opens")
    assert [float((n or 0) / psi) for n in limits(found)] == pytest.approx(
        [579.5, 640.5], rel=1e-15
    )
    own = section("pressure-cut-out", "opens 610 ±10 psi closes 420 psi", "opens")
    assert [float((n or 0) / psi) for n in limits(own)] == pytest.approx([600, 620], rel=1e-15)
    hot = section("temperature-cut-out", "opens 160 °F closes 130 °F", "opens")
    fahrenheit = [float((n or 0) * 9 / 5 - Decimal("459.67")) for n in limits(hot)]
    assert fahrenheit == pytest.approx([155, 165], rel=1e-12)
    cold = section("temperature-cut-out", "opens 70 °C closes 55 °C ±3 K", "closes")
    assert limits(cold) == exact("325.15", "331.15")


def test_five_ninths_never_put_a_reading_on_the_limit_outside() -> None:
    """155 °F and 165 °F read exactly: (155 + 459.67)·5/9 K."""
    found = section("temperature-cut-out", "opens 160 °F closes 130 °F", "opens")
    assert found.low_si is not None and found.high_si is not None
    assert found.low_si * 9 <= (155 + Decimal("459.67")) * 5
    assert found.high_si * 9 >= (165 + Decimal("459.67")) * 5


def test_the_tolerance_says_where_it_comes_from() -> None:
    heater = kind("heater")
    assert rate(heater, "240 V 1500 W").tolerance_from == "kind"
    assert rate(heater, "240 V 1500 W ±5 %").tolerance_from == "label"
    assert rate(heater, "240 V 1500 W", "5 %").tolerance_from == "user"
    assert rate(heater, "240 V 1500 W", "5 %").tolerance == "±5 %"
    assert rate(kind("fuse"), "").tolerance == ""


def test_a_conclusion_finds_the_tolerance_typed_aside_in_the_text() -> None:
    rating = rate(kind("run-capacitor-under-load"), "45 µF 60 Hz", "6 %")
    again = parse_label(rating.text)
    assert limits(again.sections[0]) == exact("0.0000423", "0.0000477")


@pytest.mark.parametrize(
    ("name", "label", "says"),
    [
        ("run-capacitor-under-load", "45/5 µF ±6 % 60 Hz", "The label gives two sections"),
        ("run-capacitor-dual-under-load", "45 µF ±6 % 60 Hz", "The label gives one section"),
        ("ignitor", "50 ohm", "“50 ohm” is no range"),
        ("contactor", "coil 9-14 ohm ±10 %", "The tolerance ±10 % belongs to no value here"),
        ("contactor", "24 V ±10 %", "The tolerance ±10 % belongs to no value here"),
    ],
)
def test_a_label_that_does_not_fit_the_kind_is_refused(name: str, label: str, says: str) -> None:
    with pytest.raises(InputError) as caught:
        rate(kind(name), label)
    assert says in said(caught.value)
    assert advised(caught.value)


def test_a_tolerance_is_not_idle_where_one_of_two_values_has_it() -> None:
    label = "opens 600-620 psi, closes 420 psi, ±3 %"
    assert rate(kind("pressure-cut-out"), label).tolerance == "±3 %"


def test_limits_that_hang_on_what_is_absent_are_none() -> None:
    """The differential of a cut-out is a limit of the kind's conclusion."""
    part = kind("pressure-cut-out")
    rule = next(rule for rule in part.conclusions if rule.name == "differential")
    label = "opens 610 psi closes 420 psi"
    assert limits_of(part, rule.limits, rule.unit, parse_givens(part, label)) == (None, None, None)  # type: ignore[union-attr]
    given = parse_givens(part, f"{label}, differential 20 bar")
    found = limits_of(part, rule.limits, rule.unit, given)  # type: ignore[union-attr]
    assert (found.rated_si, found.low_si, found.high_si) == (2_000_000, 1_600_000, 2_400_000)


def test_fixed_limits_and_absent_power() -> None:
    part = kind("heater")
    assert limits_of(part, Between(low="1 Mohm"), "Ω", {}) == (None, 1_000_000, None)
    assert limits_of(part, FromPower(volts="volts", power="power"), "A", {}) == (None, None, None)
    assert limits_of(part, OfGiven(given="volts", tolerance="10 %"), "V", {}) == (None, None, None)


def test_a_tolerance_of_volts_and_power_that_nobody_gives_is_asked_for() -> None:
    part = kind("heater")
    givens = tuple(
        replace(g, default="", source="", needed=False) if g.name == "tolerance" else g
        for g in part.givens
    )
    with refused(InputError, match="Tolerance of the resistance is missing"):
        rate(replace(part, givens=givens), "240 V, 1500 W")
