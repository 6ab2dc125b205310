"""What may be claimed of a part from what was measured, as `benchmeter judge` says it.

Each case is of the trade: common practice, no source, unless one is named beside it.
"""

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from benchmeter.checking.check import Step, begin_check, left, select, typed
from benchmeter.checking.commands import BeginCheck
from benchmeter.conformity.verdict import Verdict
from benchmeter.parts.seen import Look, SeenFault
from benchmeter.record.structs.stored_inputs import restored_input, stored_input
from benchmeter.record.structs.stored_part_check import StoredPartCheck
from benchmeter.scenes.part_form_scene import FormFault, FormField, TypedPart, begun_part
from benchmeter.words.presentation import PLAIN
from tests.commands.calls import call, document
from tests.fakes.kind_checks import kind_named

METER = "resistance 0.5 % + 2 x 0.01 ohm; AC voltage 1 % + 2 x 0.1 V; AC current 2 % + 2 x 0.01 A"


def judged(kind: str, label: str, *reads: str, meter: str = METER) -> dict[str, Any]:
    said = [word for read in reads for word in ("--read", read)]
    line = ("--accuracy", meter) if meter else ()
    return document("judge", label, "--kind", kind, *line, *said)


def word_of(found: dict[str, Any], name: str) -> str:
    return str(next(s["verdict"] for s in found["sections"] if s["name"] == name))


HOT = ("C-S=OL", "C-R=OL", "S-R=3.40 ohm", "to case=80 Mohm")


def test_a_compressor_that_is_open_at_c_is_undecidable_until_it_is_cold() -> None:
    """The protector in the lead to C opens when it is hot, and closes again."""
    for state in ("", ", hot"):
        found = judged("compressor-single-phase", f"230 V, tester 500 V{state}", *HOT)
        assert found["verdict"] == "undecidable"
        assert "cool" in found["why"]
    cold = judged("compressor-single-phase", "230 V, tester 500 V, cold", *HOT)
    assert cold["verdict"] == "open"
    assert "it is cold" in cold["why"]


@pytest.mark.parametrize("state", ["", ", cold"])
def test_a_winding_that_is_open_is_open_hot_or_cold(state: str) -> None:
    """R has no connection: no protector opens there alone."""
    found = judged(
        "compressor-single-phase", f"230 V, tester 500 V{state}",
        "C-S=2.60 ohm", "C-R=OL", "S-R=OL", "to case=80 Mohm",
    )  # fmt: skip
    assert found["verdict"] == "open"


PAIRS = ("C-S=2.60 ohm", "C-R=0.80 ohm", "S-R=3.40 ohm")


@pytest.mark.parametrize(
    ("kind", "label", "read", "word"),
    [
        ("compressor-single-phase", "tester 500 V", "2 Mohm", "pass"),  # in refrigerant
        ("motor-single-phase", "tester 500 V", "2 Mohm", "fail"),  # 5 MΩ, IEEE 43 (from memory)
        ("motor-single-phase", "tester 500 V, insulation 1 Mohm", "2 Mohm", "pass"),  # its maker's
        ("compressor-single-phase", "tester 500 V, insulation 10 Mohm", "2 Mohm", "fail"),
        ("compressor-single-phase", "", "2 Mohm", "measured"),
        ("compressor-single-phase", "", "OL", "measured"),  # of a multimeter: no dead short
        ("compressor-single-phase", "tester 9 V", "500 Mohm", "measured"),
        ("compressor-single-phase", "tester 500 V", "OL", "pass"),
        ("compressor-single-phase", "", "0.01 Mohm", "shorted"),
    ],
)
def test_insulation_is_graded_where_the_testers_volts_are_known(
    kind: str, label: str, read: str, word: str
) -> None:
    found = judged(kind, f"230 V, {label}".strip(", "), *PAIRS, f"to case={read}", meter="")
    assert word_of(found, "to case") == word


RUNNING = "motor-single-phase-running"


@pytest.mark.parametrize(
    ("label", "amps", "word", "remarked"),
    [
        ("230 V, RLA 16.7 A, maximum 26 A", "0.00 A", "undecidable", False),
        ("230 V, RLA 16.7 A, maximum 26 A", "14.00 A", "pass", False),
        ("230 V, RLA 16.7 A, maximum 26 A", "18.20 A", "pass", True),
        ("230 V, RLA 16.7 A, maximum 26 A", "30.00 A", "fail", False),
        ("230 V, RLA 16.7 A", "18.20 A", "measured", True),
        ("230 V, RLA 16.7 A", "14.00 A", "measured", False),
    ],
)
def test_no_amps_are_no_pass_and_the_rated_amps_no_ceiling(
    label: str, amps: str, word: str, remarked: bool
) -> None:
    found = judged(RUNNING, label, "volts=231.0 V", f"amps={amps}")
    assert found["verdict"] == word
    assert [one["remark"] for one in found.get("beside", [])] == [True] * remarked


def test_a_low_supply_makes_no_motor_bad() -> None:
    """NEMA MG 1 cl. 12.44: 207 V at least (from memory)."""
    found = judged(RUNNING, "230 V, 8 A, maximum 12 A", "volts=196.0 V", "amps=7.10 A")
    assert found["verdict"] == "pass"
    (supply,) = found["beside"]
    assert (supply["name"], supply["subject"], supply["remark"]) == ("volts", "supply", False)
    assert "too low" in supply["why"] and "too high" not in supply["why"]
    high = judged(RUNNING, "230 V, 8 A, maximum 12 A", "volts=268.0 V", "amps=7.10 A")
    assert "too high" in high["beside"][0]["why"]


def test_unbalanced_lines_are_the_supplys_fault() -> None:
    """(462 - 456.2)/456.2: 1.3 %, NEMA MG 1 allows 1 % (from memory)."""
    found = judged(
        "motor-three-phase-running", "460 V, 7.6 A, maximum 11 A",
        "L1-L2=462.0 V", "L2-L3=447.5 V", "L1-L3=459.1 V",
        "amps L1=7.10 A", "amps L2=7.05 A", "amps L3=7.20 A", meter="",
    )  # fmt: skip
    assert found["verdict"] == "pass"
    assert [one["subject"] for one in found["beside"]] == ["supply"]


@pytest.mark.parametrize(
    ("amps", "drop", "word"),
    [
        ("0.00 A", "0.000 V", "undecidable"),  # nothing flows: nothing drops
        ("none", "0.050 V", "no reading"),
        ("14.00 A", "0.050 V", "pass"),
        ("14.00 A", "0.900 V", "fail"),
    ],
)
def test_the_drop_of_a_contact_needs_current(amps: str, drop: str, word: str) -> None:
    """At most 0.5 V."""
    found = judged(
        "contactor-one-pole-under-load", "24 V",
        "coil volts=25.0 V", f"load amps={amps}", f"drop L1-T1={drop}",
        meter="AC voltage 1 % + 2 x 0.001 V; AC current 2 % + 2 x 0.01 A",
    )  # fmt: skip
    assert found["verdict"] == word
    if amps in ("0.00 A", "none"):
        assert word_of(found, "drop L1-T1") == "undecidable"


def test_a_weak_control_voltage_is_the_controls_fault() -> None:
    """24 V · 0.85 = 20.4 V, NEMA ICS 2 (from memory)."""
    found = judged(
        "contactor-one-pole-under-load", "24 V",
        "coil volts=18.0 V", "load amps=14.00 A", "drop L1-T1=0.050 V",
        meter="AC voltage 1 % + 2 x 0.001 V; AC current 2 % + 2 x 0.01 A",
    )  # fmt: skip
    assert found["verdict"] == "pass"
    assert [one["subject"] for one in found["beside"]] == ["control"]


def test_a_wrong_tap_makes_no_transformer_bad() -> None:
    """208 V on the tap of 240 V: 13 % less, and as much less behind it."""
    found = judged(
        "transformer-under-load", "primary 240 V, secondary 24 V, 40 VA",
        "primary volts=208.0 V", "secondary volts=20.8 V", "secondary amps=1.20 A",
    )  # fmt: skip
    assert found["verdict"] == "undecidable"
    (supply,) = found["beside"]
    assert supply["subject"] == "supply" and "tap" in supply["why"]


@pytest.mark.parametrize(
    ("bleed", "beside"), [("OL", 1), ("15.1 kohm", 0), ("4.00 kohm", 1), ("none", 0)]
)
def test_a_start_capacitor_is_judged_without_its_resistor(bleed: str, beside: int) -> None:
    found = judged("start-capacitor", "88-108 uF 250 V", "capacitance=97.3 uF", f"bleed={bleed}")
    assert found["verdict"] == "pass"
    assert len(found.get("beside", [])) == beside
    if beside:
        assert found["beside"][0]["subject"] == "accessory"
        assert "15 to 20 kΩ" in found["beside"][0]["why"]


def test_no_probability_hangs_on_a_limit_that_is_common_practice() -> None:
    found = judged("contactor", "24 V, coil 9-14 ohm", "coil=11.80 ohm", "L1-T1 closed=0.30 ohm")
    chances = {s["name"]: s["conformance_probability"] for s in found["sections"]}
    assert chances["coil"] is not None, "its limits stand on the label"
    assert chances["L1-T1 closed"] is None
    assert word_of(found, "L1-T1 closed") == "pass"
    by_default = judged("heater", "240 V, 1500 W", "element=38.50 ohm")
    assert by_default["sections"][0]["conformance_probability"] is None  # ±10 % is the default
    own = judged("heater", "240 V, 1500 W, ±5 %", "element=38.50 ohm")
    assert own["sections"][0]["conformance_probability"] is not None


def test_an_insulation_borrows_neither_the_multimeters_accuracy_nor_its_leads() -> None:
    """a = 8.5 % of 85 MΩ and 2 counts = 9.225 MΩ, U = 2a/√3 = 10.652 MΩ (JCGM 100, 4.3.7)."""
    label, read = "230 V, tester 500 V, cold", "to case=85.0 Mohm"
    found = judged("compressor-single-phase", label, read)
    insulation = next(s for s in found["sections"] if s["name"] == "to case")
    assert insulation["expanded_uncertainty"] is None and insulation["verdict"] == "pass"
    assert "accuracy is not known" in insulation["why"]
    own = f"{METER}; insulation 8.5 % + 2 x 1 Mohm"
    found = judged("compressor-single-phase", label, read, "C-S=3.10 ohm", meter=own)
    by_name = {s["name"]: s for s in found["sections"]}
    assert by_name["to case"]["expanded_uncertainty"] == pytest.approx(10.652, abs=0.001)
    a = 0.005 * 3.10 + 0.02  # the winding's is the multimeter's
    assert by_name["C-S"]["expanded_uncertainty"] == pytest.approx(2 * a / 3**0.5, rel=1e-3)
    told = document(
        "judge", label, "--kind", "compressor-single-phase", "--lead-offset", "0.2ohm",
        "--read", read,
    )  # fmt: skip
    kept = next(s for s in told["sections"] if s["name"] == "to case")
    assert kept["reading"] == 85.0


def test_a_coil_without_a_range_is_measured_and_not_good() -> None:
    found = judged("valve-coil", "24 V", "coil=12.40 ohm")
    assert found["verdict"] == "measured"
    assert "neither open nor shorted" in found["why"]
    assert found["sections"][0]["conformance_probability"] is None
    assert judged("valve-coil", "24 V", "coil=OL")["verdict"] == "open"
    assert judged("valve-coil", "24 V", "coil=0.20 ohm")["verdict"] == "shorted"
    assert judged("valve-coil", "24 V, coil 10-16 ohm", "coil=12.40 ohm")["verdict"] == "pass"


def test_a_lot_is_judged_by_the_same_rules(tmp_path: Path) -> None:
    table = tmp_path / "lot.csv"
    table.write_text("part,capacitance,bleed\n1,97.3,OL\n2,97.3,15.1 kohm\n3,70.0,15.1 kohm\n")
    lot = document("judge", "88-108 uF 250 V", "--kind", "start-capacitor", "--lot", str(table))
    assert [part["verdict"] for part in lot["parts"]] == ["pass", "pass", "fail"]
    assert [len(part.get("beside", [])) for part in lot["parts"]] == [1, 0, 0]


@pytest.mark.parametrize("seen", ["swollen", "Leaking: oil at the base", "burnt: terminal C"])
def test_what_is_seen_alone_decides(seen: str) -> None:
    """A domed lid means that the interrupter has opened: replaced whatever it reads."""
    good = ("--read", "HERM=45.0", "--read", "FAN=5.00")
    for reads in ((), good):
        found = document("judge", "45/5 uF ±6% 440 V", "--seen", seen, "--photo", "p.jpg", *reads)
        assert found["verdict"] == "fail"
        assert found["seen"] == {
            "look": seen.split(":")[0].lower(),
            "words": seen,
            "photo": "p.jpg",
        }
        assert seen in found["why"] and "p.jpg" in found["why"]
    assert [s["verdict"] for s in found["sections"]] == ["pass", "pass"]


@pytest.mark.parametrize("seen", ["not swollen", "looks fine", "swell"])
def test_what_does_not_begin_with_a_look_is_refused(seen: str) -> None:
    done = call("judge", "45/5 uF ±6% 440 V", "--seen", seen)
    assert done.status == 2 and "Begin with swollen" in done.err


def test_the_bench_takes_what_is_seen_and_keeps_it() -> None:
    """It is judged at once; a reading that is taken all the same changes nothing."""
    kind = kind_named("contactor")
    begun = BeginCheck(
        time_ns=0, part="", label="24 V", kind=kind, seen="pitted: L1", photo="a.png"
    )
    check = begin_check(1, begun, Decimal(0))
    assert check.step is Step.DONE
    assert check.verdict is not None and check.verdict.verdict is Verdict.FAIL
    assert check.verdict.seen == SeenFault(Look.PITTED, "pitted: L1", "a.png")
    after = typed(select(check, "coil"), 1, "12.0 ohm")
    assert after.verdict is not None and after.verdict.verdict is Verdict.FAIL
    assert StoredPartCheck.of(after).restored() == after
    assert restored_input(stored_input(begun)) == begun


def test_a_start_capacitor_that_is_left_without_its_resistor_has_its_verdict() -> None:
    kind = kind_named("start-capacitor")
    begun = BeginCheck(time_ns=0, part="", label="88-108 µF 250 V", kind=kind)
    check = typed(begin_check(1, begun, Decimal(0)), 1, "97.3 µF")
    assert check.verdict is None
    verdict = left(check).verdict
    assert verdict is not None and verdict.verdict is Verdict.PASS


def test_the_form_of_the_window_takes_what_is_seen() -> None:
    kind = kind_named("contactor")
    begun = begun_part(TypedPart(kind, "24 V", seen=" burnt: coil "), {}, PLAIN)
    assert isinstance(begun, BeginCheck) and begun.seen == "burnt: coil"
    fault = begun_part(TypedPart(kind, "24 V", seen="no leak"), {}, PLAIN)
    assert isinstance(fault, FormFault) and fault.field is FormField.SEEN


def test_a_picture_of_nothing_is_refused() -> None:
    done = call("judge", "45/5 uF ±6% 440 V", "--photo", "p.jpg", "--read", "HERM=45.0")
    assert done.status == 2 and "picture" in done.err
