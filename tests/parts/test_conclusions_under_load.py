"""The capacitance of a running capacitor: C = I/(2πfV), 1e6/(2π·60) = 2652.58, 1e6/(2π·50) = 3183.10."""

import math

import pytest
from msgspec.structs import replace

from benchmeter.conformity.verdict import Reason, Rule, Verdict
from benchmeter.errors import InputError
from benchmeter.parts.conclusion import (
    ConclusionFinding,
)
from benchmeter.parts.part_kind import NameplateField, UnderLoadRule
from benchmeter.quantities.quantity import Quantity
from tests.fakes.concluded import CONCLUDED, all_concluded, concluded, kind_of_part, measure

FREQUENCY = NameplateField(
    name="frequency", title="Frequency", unit="Hz", default="60 Hz", source="usual"
)


def kind_for(section: str, given: NameplateField = FREQUENCY):
    return kind_of_part(
        UnderLoadRule(
            name="C", volts="volts", amps="amps", frequency="frequency", section=section,
            too_low="Bad.", too_high="Bad.", open="Bad.", **CONCLUDED,
        ),
        [measure("volts", Quantity.VOLTAGE_AC, "V"), measure("amps", Quantity.CURRENT_AC, "A")],
        [given],
        label="capacitor",
    )  # fmt: skip


SINGLE = kind_for("single")


def loaded(amps: str, volts: str, label="45 µF ±6 % 370 V 60 Hz", line="", kind=SINGLE, **more):
    return concluded(kind, label, {"amps": amps, "volts": volts}, line, **more)


# Worked examples, computed from the formula. 45 µF ±6 % is 42.3 to 47.7 µF.
@pytest.mark.parametrize(
    ("amps", "volts", "label", "microfarad", "word"),
    [
        ("6.28 A", "370 V", "45 µF ±6 % 60 Hz", 45.022, Verdict.PASS),
        ("0.70 A", "370 V", "5 µF ±6 % 60 Hz", 5.0184, Verdict.PASS),
        ("7.46 A", "440 V", "45 µF ±6 % 60 Hz", 44.973, Verdict.PASS),
        ("5.00 A", "230 V", "70 µF ±5 % 50 Hz", 69.198, Verdict.PASS),
        ("3.73 A", "220 V", "45 µF ±6 % 60 Hz", 44.973, Verdict.PASS),
        ("5.00 A", "230 V", "70 µF ±5 % 60 Hz", 57.665, Verdict.FAIL),  # the same at 60 Hz: ·50/60
        ("5.00 A", "370 V", "45 µF ±6 % 60 Hz", 35.846, Verdict.FAIL),
    ],
)
def test_volts_and_amps_give_the_capacitance(amps, volts, label, microfarad, word):
    found = loaded(amps, volts, label)
    assert found.value_si * 1e6 == pytest.approx(microfarad, abs=0.001)
    assert (found.word, found.unit) == (word, "µF")
    assert found.expanded_uncertainty_si is None


def test_the_relative_uncertainties_add_in_quadrature():
    """JCGM 100 cl. 5.1.6. ±2 % and ±1 %: U/C = 2·√(0.02² + 0.01²)/√3 = 2.582 %; with the last digits
    of 6.28 A and 370 V (d/√12 each, F.2.2.1) 2.588 %."""
    line = "AC current 2 %; AC voltage 1 %"
    found = loaded("6.28 A", "370 V", line=line)
    share = found.expanded_uncertainty_si / found.value_si
    lines = math.hypot(0.02, 0.01) / math.sqrt(3)
    digits = math.hypot(0.01 / 6.28, 1 / 370) / math.sqrt(12)
    assert share == pytest.approx(2 * math.hypot(lines, digits), rel=1e-9)
    assert (found.word, found.finding) == (Verdict.PASS, Reason.INSIDE)


# C = 2652.58·I/370; U/C = 2.582 %: the limits 42.3 and 47.7 µF with C ± U.
@pytest.mark.parametrize(
    ("amps", "word", "simply"),
    [
        ("5.74", Verdict.FAIL, Verdict.FAIL),  # 41.151 + 1.062 = 42.214
        ("5.76", Verdict.CONDITIONAL_FAIL, Verdict.FAIL),  # 41.294 + 1.066 = 42.360
        ("5.90", Verdict.CONDITIONAL_FAIL, Verdict.FAIL),  # 42.298
        ("5.91", Verdict.CONDITIONAL_PASS, Verdict.PASS),  # 42.370
        ("6.05", Verdict.CONDITIONAL_PASS, Verdict.PASS),  # 43.373 - 1.120 = 42.253
        ("6.06", Verdict.PASS, Verdict.PASS),  # 43.445 - 1.122 = 42.324
        ("6.48", Verdict.PASS, Verdict.PASS),  # 46.456 + 1.199 = 47.656
        ("6.49", Verdict.CONDITIONAL_PASS, Verdict.PASS),  # 46.528 + 1.201 = 47.729
        ("6.66", Verdict.CONDITIONAL_FAIL, Verdict.FAIL),  # 47.746
        ("6.82", Verdict.CONDITIONAL_FAIL, Verdict.FAIL),  # 48.894 - 1.262 = 47.631
        ("6.84", Verdict.FAIL, Verdict.FAIL),  # 49.037 - 1.266 = 47.771
    ],
)
def test_the_limits_of_the_label_with_the_uncertainty(amps, word, simply):
    line = "AC current 2 %; AC voltage 1 %"
    assert loaded(f"{amps} A", "370 V", line=line).word is word
    assert loaded(f"{amps} A", "370 V", line=line, rule=Rule.SIMPLE).word is simply
    assert loaded(f"{amps} A", "370 V").word is simply


def test_a_coarse_clamp_cannot_decide():
    """±(3 % + 5 x 0.1 A) of 6.28 A is ±11 %, and the label has ±6 %."""
    found = loaded("6.28 A", "370 V", line="AC current 3 % + 5 x 0.1 A; AC voltage 1 %")
    assert (found.word, found.finding) == (Verdict.UNDECIDABLE, Reason.METER_TOO_COARSE)


def test_one_known_accuracy_is_not_enough():
    found = loaded("6.28 A", "370 V", line="AC voltage 1 %")
    assert (found.word, found.finding) == (Verdict.PASS, Reason.INSIDE_ACCURACY_UNKNOWN)
    found = loaded(
        "6.28 A", "370 V", line="AC voltage 1 %; AC current 2 % + 3 counts", digits=False
    )
    assert (found.word, found.finding) == (Verdict.UNDECIDABLE, Reason.COUNT_UNKNOWN)


@pytest.mark.parametrize("line", ["", "AC current 2 % + 3 x 0.01 A; AC voltage 1 %"])
@pytest.mark.parametrize("amps", ["0.00 A", "0.02 A"])
def test_volts_without_current_are_an_open_capacitor(amps, line):
    """0.02 A at 370 V are 0.143 µF, less than 1 % of 45 µF."""
    found = loaded(amps, "370 V", line=line)
    assert (found.word, found.finding) == (Verdict.OPEN, Reason.NO_CAPACITANCE)


def test_a_clamp_that_may_show_a_good_part_as_nothing_does_not_call_it_open():
    """±0.7 A at 370 V are ±5 µF: U reaches the low limit of 4.7 µF."""
    found = loaded("0.0 A", "370 V", "5 µF ±6 % 60 Hz", "AC current 7 x 0.1 A; AC voltage 1 %")
    assert (found.word, found.finding) == (Verdict.UNDECIDABLE, Reason.METER_TOO_COARSE)


@pytest.mark.parametrize(
    ("amps", "volts", "word", "finding"),
    [
        ("6.28 A", "0.2 V", Verdict.UNDECIDABLE, ConclusionFinding.NO_VOLTAGE),
        ("0.00 A", "0.0 V", Verdict.UNDECIDABLE, ConclusionFinding.NO_VOLTAGE),
        ("6.28 A", "2000 V", Verdict.UNDECIDABLE, ConclusionFinding.OUT_OF_RANGE),
        ("", "370 V", Verdict.NO_READING, Reason.NOT_MEASURED),
        ("6.28 A", "", Verdict.NO_READING, Reason.NOT_MEASURED),
        ("OL", "370 V", Verdict.NO_READING, Reason.NOT_MEASURED),
        ("6.28 A", "12 ohm", Verdict.NO_READING, Reason.NOT_MEASURED),
    ],
)
def test_what_gives_no_capacitance(amps, volts, word, finding):
    found = loaded(amps, volts)
    assert (found.word, found.finding, found.value_si) == (word, finding, None)


def test_each_section_has_limits_of_its_own():
    """The fan's 0.70 A at 370 V are 5.018 µF, the compressor's 6.28 A 45.022 µF."""
    sections = ("HERM", "FAN")
    first = kind_for("HERM")
    kind = replace(first, conclusions=tuple(kind_for(s).conclusions[0] for s in sections))
    label = "45/5 µF ±6 % 370 V 60 Hz"
    for amps, herm, fan in (("6.28 A", "pass", "fail"), ("0.70 A", "fail", "pass")):
        words = [c.word for c in all_concluded(kind, label, {"amps": amps, "volts": "370 V"})]
        assert words == [herm, fan]
    with pytest.raises(InputError):  # a label of one section for a kind with two
        all_concluded(kind, "45 µF ±6 % 370 V 60 Hz", {})


def test_the_usual_frequency_is_taken_where_the_label_gives_none():
    assert loaded("6.28 A", "370 V", "45 µF ±6 %").value_si * 1e6 == pytest.approx(
        45.022, abs=0.001
    )
    unknown = kind_for(
        "single", NameplateField(name="frequency", title="f", unit="Hz", needed=False)
    )
    found = loaded("6.28 A", "370 V", "45 µF ±6 %", kind=unknown)
    assert (found.word, found.finding) == (
        Verdict.UNDECIDABLE,
        ConclusionFinding.FREQUENCY_NEEDED,
    )
    with pytest.raises(InputError):  # before anything is measured
        loaded("6.28 A", "370 V", "45 µF ±6 % 50/60 Hz")
