"""A sensor against a probe beside it.

Pt100: IEC 60751:2008, 100.00 Ω at 0 °C, 138.5055 Ω at 100 °C; class A ±(0.15 + 0.002|t|), B
±(0.3 + 0.005|t|) °C (read). Type K: ITS-90, 4.096 mV at 100 °C, 1.000 mV at 25 °C (NIST Monograph
175); class 1 ±1.5 °C, class 2 ±2.5 °C (IEC 60584-1:2013, from memory). Thermistors: tables of type 2
and type 3, 32 650 and 29 490 Ω at 0 °C, 10 000 Ω at 25 °C, 3602 and 3893 Ω at 50 °C (read or from
memory, see test_sensors_resistance).
"""

import msgspec
import pytest

from benchmeter.conformity.verdict import Reason, Rule, Verdict
from benchmeter.parts.conclusion import (
    ConclusionFinding,
)
from benchmeter.parts.part_kind import NameplateField, SensorRule
from benchmeter.quantities.quantity import Quantity
from benchmeter.sensors.thermistor_check import CurveFinding
from tests.fakes.concluded import CONCLUDED, concluded, kind_of_part, measure

T = Quantity.TEMPERATURE
CLASS = NameplateField(
    name="class", title="Class", choices=("AA", "A", "B", "C", "1", "2", "3"), needed=False
)


def kind_for(names, quantity, unit, junction=""):
    return kind_of_part(
        SensorRule(
            name="sensor", reading="reading", probe="probe", sensor="sensor",
            sensor_class="class", junction=junction, failure="Bad.", **CONCLUDED,
        ),
        [
            measure("reading", quantity, unit, overload="open"),
            measure("probe", T, "°C", typed=True),
            measure("junction", T, "°C", typed=True),
        ],
        [NameplateField(name="sensor", title="Sensor", choices=names), CLASS],
    )  # fmt: skip


OHMS = kind_for(("pt100", "ntc-10k-2", "ntc-10k-3", "K"), Quantity.RESISTANCE, "Ω")
VOLTS = kind_for(("K", "T", "J", "pt100"), Quantity.VOLTAGE_DC, "mV", "junction")
GOOD = "resistance 0.05 ohm; temperature 0.1 °C"


def in_ohms(label, reading, probe, line="", **more):
    return concluded(OHMS, label, {"reading": reading, "probe": probe}, line, **more)


# 0.3908 Ω/K at 0 °C: 0.05 Ω and 0.1 K make U = 2·√((0.05/0.3908)² + 0.1²)/√3 = 0.1874 K. Class B
# allows ±0.30 K there: 0.1126 K is the end of the pass zone, 0.4874 K that of the conditional fail.
@pytest.mark.parametrize(
    ("ohm", "kelvin", "word", "simply"),
    [
        ("100.00", 0.0, Verdict.PASS, Verdict.PASS),
        ("100.04", 0.1024, Verdict.PASS, Verdict.PASS),
        ("100.05", 0.1279, Verdict.CONDITIONAL_PASS, Verdict.PASS),
        ("100.11", 0.2815, Verdict.CONDITIONAL_PASS, Verdict.PASS),
        ("100.12", 0.3071, Verdict.CONDITIONAL_FAIL, Verdict.FAIL),
        ("100.19", 0.4862, Verdict.CONDITIONAL_FAIL, Verdict.FAIL),
        ("100.20", 0.5118, Verdict.FAIL, Verdict.FAIL),
        ("99.89", -0.2815, Verdict.CONDITIONAL_PASS, Verdict.PASS),
        ("99.80", -0.5118, Verdict.FAIL, Verdict.FAIL),
    ],
)
def test_a_pt100_by_its_class(ohm, kelvin, word, simply):
    found = in_ohms("pt100 class B", f"{ohm} ohm", "0.0 °C", GOOD)
    assert found.value_si == pytest.approx(kelvin, abs=0.0005)
    assert found.expanded_uncertainty_si == pytest.approx(0.1874, abs=0.0005)
    assert (found.low_si, found.high_si, found.unit) == (-0.3, 0.3, "K")
    assert found.word is word
    assert in_ohms("pt100 class B", f"{ohm} ohm", "0.0 °C", GOOD, rule=Rule.SIMPLE).word is simply


# At 100 °C, 0.3793 Ω/K: class A ±0.35, B ±0.80 °C; the meter ±0.01 Ω, the probe ±0.05 °C.
@pytest.mark.parametrize(
    ("name", "ohm", "word"),
    [("A", "138.60", Verdict.PASS), ("A", "138.70", Verdict.FAIL), ("B", "138.70", Verdict.PASS), ("B", "138.90", Verdict.FAIL), ("C", "138.90", Verdict.PASS)],
)  # fmt: skip
def test_the_class_widens_with_the_temperature(name, ohm, word):
    line = "resistance 0.01 ohm; temperature 0.05 °C"
    assert in_ohms(f"pt100 class {name}", f"{ohm} ohm", "100.0 °C", line).word is word


def test_a_probe_that_is_coarser_than_the_class_cannot_decide():
    found = in_ohms(
        "pt100 class B", "100.00 ohm", "0 °C", "resistance 0.05 ohm; temperature 0.5 °C"
    )
    assert (found.word, found.finding) == (Verdict.UNDECIDABLE, Reason.METER_TOO_COARSE)


# ±(2 % + 5 counts) is ±2.05 Ω, with ±1 °C of the probe U = 6.2 K: beyond 6.5 K it is bad with any.
@pytest.mark.parametrize("line", ["", "resistance 0.1 ohm", "temperature 0.1 °C"])
@pytest.mark.parametrize(
    ("ohm", "word", "finding"),
    [
        ("100.04", Verdict.PASS, Reason.INSIDE_ACCURACY_UNKNOWN),
        ("100.20", Verdict.UNDECIDABLE, ConclusionFinding.ACCURACY_NEEDED),
        ("103.90", Verdict.FAIL, Reason.ABOVE_ACCURACY_UNKNOWN),
        ("96.09", Verdict.FAIL, Reason.BELOW_ACCURACY_UNKNOWN),
    ],
)
def test_without_accuracy_only_what_any_meter_would_say(ohm, word, finding, line):
    """10 °C has 103.9025 Ω, -10 °C 96.0859 Ω."""
    found = in_ohms("pt100 class B", f"{ohm} ohm", "0 °C", line)
    assert (found.word, found.finding) == (word, finding)
    assert found.expanded_uncertainty_si is None


@pytest.mark.parametrize(
    ("label", "reading", "probe", "word", "finding"),
    [
        ("pt100 class B", "1097.3 ohm", "25 °C", Verdict.FAIL, ConclusionFinding.NEVER_READS),
        ("pt100 class B", "0.0 ohm", "25 °C", Verdict.SHORTED, Reason.NO_RESISTANCE),
        ("pt100 class B", "OL", "25 °C", Verdict.OPEN, Reason.OVERLOAD),
        ("pt100 class B", "OL", "", Verdict.OPEN, Reason.OVERLOAD),
        ("pt100 class B", "109.73 ohm", "", Verdict.NO_READING, Reason.NOT_MEASURED),
        ("pt100 class B", "", "25 °C", Verdict.NO_READING, Reason.NOT_MEASURED),
        ("pt100 class B", "2 V", "25 °C", Verdict.NO_READING, Reason.NOT_MEASURED),
        ("pt100", "109.73 ohm", "25 °C", Verdict.UNDECIDABLE, ConclusionFinding.CLASS_NEEDED),
        ("pt100 class AA", "60.26 ohm", "-100 °C", Verdict.UNDECIDABLE, ConclusionFinding.CLASS_UNDEFINED),
        ("pt100 class 1", "100.00 ohm", "0 °C", Verdict.UNDECIDABLE, ConclusionFinding.CLASS_UNDEFINED),
        ("K class 1", "109.73 ohm", "25 °C", Verdict.UNDECIDABLE, ConclusionFinding.OTHER_MEASURE),
        ("ntc-10k-2", "0.0 ohm", "25 °C", Verdict.SHORTED, Reason.NO_RESISTANCE),
        ("ntc-10k-2", "OL", "25 °C", Verdict.OPEN, Reason.OVERLOAD),
        ("ntc-10k-2", "678.4 ohm", "200 °C", Verdict.UNDECIDABLE, ConclusionFinding.BEYOND_CURVE),
    ],
)  # fmt: skip
def test_what_cannot_be_judged_by_class_or_curve(label, reading, probe, word, finding):
    found = in_ohms(label, reading, probe, GOOD)
    assert (found.word, found.finding) == (word, finding)


@pytest.mark.parametrize("probe", ["25 °C", ""])
def test_a_sensor_typed_as_shorted_is_shorted(probe):
    reading, *others = OHMS.measures
    kind = msgspec.structs.replace(
        OHMS, measures=(msgspec.structs.replace(reading, shorted_below="10 ohm"), *others)
    )
    found = concluded(kind, "pt100 class B", {"reading": "shorted", "probe": probe}, GOOD)
    assert (found.word, found.finding) == (Verdict.SHORTED, Reason.NO_RESISTANCE)


# A handheld: 0.8 % and a probe of ±0.5 °C.
@pytest.mark.parametrize(
    ("name", "ohm", "probe", "word", "finding"),
    [
        ("ntc-10k-2", 32_650, 0, Verdict.CONDITIONAL_PASS, Reason.NEAR_LIMIT_INSIDE),
        ("ntc-10k-2", 29_490, 0, Verdict.FAIL, CurveFinding.OTHER_CURVE),
        ("ntc-10k-3", 32_650, 0, Verdict.FAIL, CurveFinding.OTHER_CURVE),
        ("ntc-10k-2", 3_893, 50, Verdict.FAIL, CurveFinding.OTHER_CURVE),
        ("ntc-10k-2", 10_000, 25, Verdict.UNDECIDABLE, CurveFinding.CANNOT_TELL),
        ("ntc-10k-3", 10_000, 25, Verdict.UNDECIDABLE, CurveFinding.CANNOT_TELL),
        ("ntc-10k-2", 25_000, 0, Verdict.FAIL, CurveFinding.NO_CURVE),
        ("ntc-10k-2", 12_000, 25, Verdict.FAIL, CurveFinding.NO_CURVE),
        ("ntc-10k-2", 3, 0, Verdict.FAIL, CurveFinding.NO_CURVE),
    ],
)
@pytest.mark.parametrize("rule", Rule)
def test_a_thermistor_by_its_curve(name, ohm, probe, word, finding, rule):
    line = "resistance 0.8 %; temperature 0.5 °C"
    found = in_ohms(name, f"{ohm} ohm", f"{probe} °C", line, rule=rule)
    if rule is Rule.SIMPLE and word is Verdict.CONDITIONAL_PASS:
        word, finding = Verdict.PASS, CurveFinding.FITS
    assert (found.word, found.finding) == (word, finding)
    assert found.names[0] == name
    if finding in (CurveFinding.OTHER_CURVE, CurveFinding.CANNOT_TELL):
        assert found.names[1:] == ({"ntc-10k-2": "ntc-10k-3"}.get(name, "ntc-10k-2"),)


def test_a_good_probe_proves_a_thermistor():
    """0.1 % and ±0.1 °C: U = 0.12 K within the ±0.5 K of common practice."""
    line = "resistance 0.1 %; temperature 0.1 °C"
    found = in_ohms("ntc-10k-2", "32650 ohm", "0 °C", line)
    assert (found.word, found.finding) == (Verdict.PASS, CurveFinding.FITS)


def test_a_thermistor_that_drifted_within_the_doubt_is_only_conditionally_bad():
    """Type 2 falls from 32 650 to 19 903 Ω in 10 K: 4.95 %/K, so 3 % more is 0.6 K too cold."""
    found = in_ohms("ntc-10k-2", "33630 ohm", "0 °C", "resistance 0.8 %; temperature 0.5 °C")
    assert found.value_si == pytest.approx(-0.6, abs=0.05)
    assert (found.word, found.finding) == (Verdict.CONDITIONAL_FAIL, Reason.NEAR_LIMIT_OUTSIDE)


@pytest.mark.parametrize(
    ("ohm", "probe", "word", "finding"),
    [
        (97_007, -20, Verdict.PASS, Reason.INSIDE_ACCURACY_UNKNOWN),  # type 3: 78 930 Ω
        (78_930, -20, Verdict.FAIL, CurveFinding.OTHER_CURVE),
        (10_000, 25, Verdict.UNDECIDABLE, CurveFinding.CANNOT_TELL),
        (200_000, -20, Verdict.FAIL, CurveFinding.NO_CURVE),
    ],
)
def test_a_thermistor_without_accuracy(ohm, probe, word, finding):
    """±(2 % + 5 counts) and ±1 °C are taken; -20 °C has 97 007 Ω (type 2) and 78 930 Ω (type 3)."""
    found = in_ohms("ntc-10k-2", f"{ohm} ohm", f"{probe} °C")
    assert (found.word, found.finding) == (word, finding)


def in_volts(label, reading, probe, junction, line="", **more):
    shown = {"reading": reading, "probe": probe, "junction": junction}
    return concluded(VOLTS, label, shown, line, **more)


TIGHT = "DC voltage 0.004 mV; temperature 0.1 °C"


# Hot 100 °C, terminals 25 °C: 3.0960 mV. Adding 25 °C to what 3.096 mV stand for gives 100.88 °C.
@pytest.mark.parametrize(
    ("label", "probe", "word"),
    [
        ("K class 1", "100.0 °C", Verdict.PASS),
        ("K class 1", "99.0 °C", Verdict.PASS),
        ("K class 1", "98.2 °C", Verdict.FAIL),
        ("K class 2", "98.2 °C", Verdict.PASS),
        ("K class 2", "97.2 °C", Verdict.FAIL),
        ("K class 1", "101.8 °C", Verdict.FAIL),
    ],
)
def test_a_thermocouple_by_its_class(label, probe, word):
    found = in_volts(label, "3.096 mV", probe, "25.0 °C", TIGHT)
    assert found.value_si == pytest.approx(100 - float(probe.split()[0]), abs=0.02)
    assert found.word is word


def test_the_terminals_are_part_of_the_uncertainty():
    """About 41 µV/K at both ends: 0.004 mV is 0.1 K; probe and terminals ±0.1 K each."""
    found = in_volts("K class 1", "3.096 mV", "100.0 °C", "25.0 °C", TIGHT)
    assert found.expanded_uncertainty_si == pytest.approx(2 * 0.1 * (3 / 3) ** 0.5, rel=0.03)


@pytest.mark.parametrize(
    ("label", "reading", "junction", "word", "finding"),
    [
        ("K class 1", "-3.096 mV", "25 °C", Verdict.UNDECIDABLE, ConclusionFinding.LEADS_EXCHANGED),
        ("K class 1", "60.0 mV", "25 °C", Verdict.FAIL, ConclusionFinding.NEVER_READS),
        ("K class 1", "3.096 mV", "", Verdict.NO_READING, Reason.NOT_MEASURED),
        ("K class 1", "", "25 °C", Verdict.NO_READING, Reason.NOT_MEASURED),
        ("K class 1", "OL", "25 °C", Verdict.OPEN, Reason.OVERLOAD),
        ("K", "3.096 mV", "25 °C", Verdict.UNDECIDABLE, ConclusionFinding.CLASS_NEEDED),
        ("K class B", "3.096 mV", "25 °C", Verdict.UNDECIDABLE, ConclusionFinding.CLASS_UNDEFINED),
        ("K class 1", "3.096 mV", "1500 °C", Verdict.UNDECIDABLE, ConclusionFinding.BEYOND_CURVE),
        (
            "pt100 class B",
            "3.096 mV",
            "25 °C",
            Verdict.UNDECIDABLE,
            ConclusionFinding.OTHER_MEASURE,
        ),
        ("T class 1", "3.096 mV", "25 °C", Verdict.FAIL, Reason.BELOW),  # another type: 94.0 °C
        ("J class 1", "3.096 mV", "25 °C", Verdict.FAIL, Reason.BELOW),
    ],
)
def test_what_a_thermocouple_may_be_besides(label, reading, junction, word, finding):
    """Beside 100 °C. Type T has 4.279 mV there, type J 5.269 mV."""
    found = in_volts(label, reading, "100 °C", junction, TIGHT)
    assert (found.word, found.finding) == (word, finding)


def test_a_thermocouple_without_its_terminals_is_not_judged():
    alone = kind_for(("K",), Quantity.VOLTAGE_DC, "mV")
    found = concluded(alone, "K class 1", {"reading": "4.096 mV", "probe": "100 °C"}, TIGHT)
    assert (found.word, found.finding) == (Verdict.UNDECIDABLE, ConclusionFinding.JUNCTION_NEEDED)
    found = in_volts("K class 1", "3.096 mV", "100 °C", "25 °C")
    assert (found.word, found.finding) == (Verdict.PASS, Reason.INSIDE_ACCURACY_UNKNOWN)


def test_counts_without_worth_cannot_be_used():
    line = "resistance 0.1 % + 2 counts; temperature 0.1 °C"
    for label in ("pt100 class B", "ntc-10k-2"):
        found = in_ohms(label, "109.73 ohm", "25 °C", line, digits=False)
        assert (found.word, found.finding) == (Verdict.UNDECIDABLE, Reason.COUNT_UNKNOWN)


def test_a_curve_is_known_by_whatever_case_a_kind_writes_it_in():
    """Type 2: 10 000 Ω at 25 °C, which is 298.15 K."""
    kind = kind_for(("NTC-10k-2", "ntc-10k-3"), Quantity.RESISTANCE, "Ω")
    given = {"reading": "10000 ohm", "probe": "25.0 °C"}
    for line in ("", GOOD):
        written = concluded(kind, "NTC-10k-2", given, line)
        assert written.word is in_ohms("ntc-10k-2", "10000 ohm", "25.0 °C", line).word
