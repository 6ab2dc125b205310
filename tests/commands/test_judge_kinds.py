"""`benchmeter judge --kind KIND`, as scripts rely on it: parts that are no capacitors by their label.

Limits are by arithmetic from what is typed (CALC) unless a source is named.
"""

import json
import subprocess
import sys

import pytest

from benchmeter.commands.main import run
from benchmeter.words.parts import part_why
from benchmeter.words.verdicts import why
from tests.fakes.kind_checks import METER, kind_check


@pytest.fixture
def judge(capsys, tmp_path):
    """The verdict on readings, as JSON. `kind` and `label`, then `NAME=VALUE` or options."""

    def call(kind: str, label: str, *reads: str, options: tuple[str, ...] = ()):
        arguments = [part for read in reads for part in ("--read", read)]
        status = run(
            [
                "judge",
                label,
                "--kind",
                kind,
                *arguments,
                *options,
                "--json",
                "--data",
                str(tmp_path),
            ]
        )
        out, err = capsys.readouterr()
        assert (status, err) == (0, "")
        return json.loads(out)

    return call


@pytest.fixture
def refused(capsys, tmp_path):
    def call(*arguments: str) -> str:
        status = run(["judge", *arguments, "--data", str(tmp_path)])
        out, err = capsys.readouterr()
        assert (status, out, err.count("\n")) == (2, "", 1)
        return err

    return call


def words(found) -> dict[str, str]:
    named = [*found["sections"], *found.get("conclusions", ())]
    return {s["name"]: s["verdict"] for s in named}


# 240²/1500 = 38.4 Ω, ±10 % (common practice, no source): 34.56 to 42.24 (CALC).
# 24²/10 = 57.6 Ω, ±10 %: 51.84 to 63.36 (CALC).
# 24 V coil: 85 % and 110 % are 20.4 and 26.4 V (NEMA ICS 2, from memory).
# 230 V ±10 %: 207 to 253 V (NEMA MG 1 cl. 12.44, from memory).
# 40 VA / 24 V = 1.667 A (CALC).
@pytest.mark.parametrize(
    ("kind", "label", "name", "value", "verdict"),
    [
        ("heater", "240 V, 1500 W", "element", "38.4 ohm", "pass"),
        ("heater", "240 V, 1500 W", "element", "34.56 ohm", "pass"),
        ("heater", "240 V, 1500 W", "element", "34.55 ohm", "fail"),
        ("heater", "240 V, 1500 W", "element", "42.24 ohm", "pass"),
        ("heater", "240 V, 1500 W", "element", "0.04225 kohm", "fail"),
        ("heater", "240 V, 1500 W", "element", "OL", "open"),
        ("heater", "240 V, 1500 W, tester 500 V", "to case", "1 Mohm", "pass"),
        ("heater", "240 V, 1500 W, tester 500 V", "to case", "999 kohm", "fail"),
        ("heater", "240 V, 1500 W, tester 500 V", "to case", "OL", "pass"),
        ("valve-coil-dc", "24 VDC, 10 W", "coil", "51.84", "pass"),
        ("valve-coil-dc", "24 VDC, 10 W", "coil", "51.8", "fail"),
        ("valve-coil-dc", "24 VDC, 10 W", "coil", "63.36", "pass"),
        ("valve-coil-dc", "24 VDC, 10 W", "coil", "63.4", "fail"),
        ("valve-coil-dc", "24 VDC, 10 W", "coil", "1.0", "shorted"),
        ("valve-coil-dc", "24 VDC, 10 W", "coil", "open", "open"),
        ("contactor", "coil 9-14 ohm", "coil", "9", "pass"),
        ("contactor", "coil 9-14 ohm", "coil", "8.9", "fail"),
        ("contactor", "coil 9-14 ohm", "coil", "14", "pass"),
        ("contactor", "coil 9-14 ohm", "coil", "14.1", "fail"),
        ("contactor", "coil 9-14 ohm", "coil", "1", "shorted"),
        ("contactor", "coil 9-14 ohm", "coil", "shorted", "shorted"),
        ("contactor", "coil 9-14 ohm", "coil", "OL", "open"),
        ("contactor", "coil 9-14 ohm", "coil", "open", "open"),
        ("contactor", "coil 9-14 ohm", "coil", "none", "no reading"),
        ("contactor", "coil 9-14 ohm", "coil", "24 V", "no reading"),
        ("contactor", "coil 9-14 ohm", "coil", "-2.00 ohm", "no reading"),
        ("contactor", "coil 9-14 ohm", "L1-T1 closed", "1.0 ohm", "pass"),
        ("contactor", "coil 9-14 ohm", "L1-T1 closed", "1.1 ohm", "fail"),
        ("contactor", "coil 9-14 ohm", "L1-T1 closed", "open", "open"),
        ("contactor", "coil 9-14 ohm", "L1-T1 at rest", "open", "pass"),
        ("contactor", "coil 9-14 ohm", "L1-T1 at rest", "0.2 ohm", "fail"),
        ("contactor-under-load", "24 V", "coil volts", "20.4 V", "pass"),
        ("contactor-under-load", "24 V", "coil volts", "20.3 VAC", "fail"),
        ("contactor-under-load", "24 V", "coil volts", "26.4 V", "pass"),
        ("contactor-under-load", "24 V", "coil volts", "26.5 V", "fail"),
        ("contactor-under-load", "24 V", "coil volts", "24 VDC", "no reading"),
        ("contactor-under-load", "24 V", "coil volts", "OL", "no reading"),
        ("motor-single-phase-running", "230 V, 1.4 A", "volts", "207 V", "pass"),
        ("motor-single-phase-running", "230 V, 1.4 A", "volts", "206.9 V", "fail"),
        ("motor-single-phase-running", "230 V, 1.4 A", "volts", "253 V", "pass"),
        ("motor-single-phase-running", "230 V, 1.4 A", "volts", "253.1 V", "fail"),
        ("motor-single-phase-running", "230 V, 1.4 A, maximum 2 A", "amps", "2.00 A", "pass"),
        ("motor-single-phase-running", "230 V, 1.4 A, maximum 2 A", "amps", "2.01 A", "fail"),
        ("transformer-under-load", "primary 240 V, secondary 24 V, 40 VA", "secondary amps", "1.66 A", "pass"),
        ("transformer-under-load", "primary 240 V, secondary 24 V, 40 VA", "secondary amps", "1.67 A", "fail"),
        ("transformer", "", "primary", "OL", "open"),
        ("transformer", "", "core", "OL", "pass"),
        ("ignitor", "40-90 ohm", "element", "40", "pass"),
        ("ignitor", "40-90 ohm", "element", "39.9", "fail"),
        ("ignitor", "40-90 ohm", "element", "90", "pass"),
        ("ignitor", "40-90 ohm", "element", "90.1", "fail"),
        ("fuse", "", "fuse", "1 ohm", "pass"),
        ("fuse", "", "fuse", "OL", "open"),
        # Marked point ±5 % (common practice, no source): 579.5 to 640.5 psi (CALC).
        ("pressure-cut-out", "opens 610 psi, closes 420 psi", "opens", "579.5 psi", "pass"),
        ("pressure-cut-out", "opens 610 psi, closes 420 psi", "opens", "579.4 psi", "fail"),
        ("pressure-cut-out", "opens 610 psi, closes 420 psi", "opens", "640.5 psi", "pass"),
        ("pressure-cut-out", "opens 610 psi, closes 420 psi", "opens", "640.6 psi", "fail"),
        # ±5 °F (common practice, no source); 165 °F = 73.888… °C (CALC, ITS-90 definition of °C).
        ("temperature-cut-out", "opens 160 °F, closes 130 °F", "opens", "165 °F", "pass"),
        ("temperature-cut-out", "opens 160 °F, closes 130 °F", "opens", "165.1 F", "fail"),
        ("temperature-cut-out", "opens 160 °F, closes 130 °F", "opens", "73.8 C", "pass"),
        ("temperature-cut-out", "opens 160 °F, closes 130 °F", "opens", "73.9 C", "fail"),
        ("start-capacitor", "88-108 µF 250 V", "capacitance", "87.9", "fail"),
        ("start-capacitor", "88-108 µF 250 V", "bleed", "15 kohm", "pass"),
        ("start-capacitor", "88-108 µF 250 V", "bleed", "OL", "open"),
        ("run-capacitor", "45/5 µF ±6 % 440 V", "C-HERM", "42.3", "pass"),
        ("run-capacitor", "45/5 µF ±6 % 440 V", "FAN", "4.69", "fail"),
    ],
)  # fmt: skip
def test_a_section_at_its_limits_and_without_a_value(judge, kind, label, name, value, verdict):
    """Both limits belong to the band; without an accuracy the reading alone decides."""
    found = judge(kind, label, f"{name}={value}")
    read = {"capacitance": "single", "C-HERM": "HERM"}.get(name, name)
    assert words(found)[read] == verdict
    assert found["kind"] == kind


def test_a_missing_limit_is_null_and_each_section_has_its_unit(judge):
    found = judge("heater", "240 V, 1500 W, tester 500 V", "element=38 ohm", "to case=20 Mohm")
    element, case = found["sections"]
    assert (element["unit"], element["rated"]) == ("Ω", 38.4)
    assert (element["low"], element["high"]) == (34.56, 42.24)
    assert (case["unit"], case["low"], case["high"], case["reading"]) == ("MΩ", 1.0, None, 20.0)
    assert found["verdict"] == "pass"
    assert "conclusions" not in found
    assert any("±10 %, taken as usual (common practice" in line for line in found["assumes"])


def test_an_accuracy_for_each_function_is_used_where_it_holds(judge):
    """38.0 Ω at 0.5 % + 2 × 0.1 Ω: a = 0.39, U = 2a/√3 = 0.4503 (JCGM 100 cl. 4.3.7, CALC)."""
    line = "capacitance 1 % + 2 counts; resistance up to 200 ohm 0.5 % + 2 x 0.1 ohm"
    found = judge(
        "heater",
        "240 V, 1500 W, tester 500 V",
        "element=38.0 ohm",
        "to case=20 Mohm",
        options=("--accuracy", line),
    )
    element, case = found["sections"]
    assert element["expanded_uncertainty"] == pytest.approx(0.45033, abs=1e-5)
    assert case["expanded_uncertainty"] is None
    assert "accuracy is not known" in case["why"]
    assert any(a.startswith("to case: no accuracy is given") for a in found["assumes"])


def test_the_joined_leads_are_taken_off_every_resistance(judge):
    """1.1 − 0.2 = 0.9 Ω, below the 1 Ω of a closed contact (common practice, no source)."""
    reads = (
        "contactor-one-pole",
        "coil 9-14 ohm",
        "coil=12",
        "L1-T1 at rest=OL",
        "L1-T1 closed=1.1",
    )
    assert judge(*reads)["verdict"] == "fail"
    found = judge(*reads, options=("--lead-offset", "0.2ohm"))
    assert found["verdict"] == "pass"
    assert [s["reading"] for s in found["sections"]] == [11.8, None, 0.9]
    assert any("0.2 Ω" in a for a in found["assumes"])


def test_a_bad_part_says_what_it_means(judge):
    found = judge(
        "contactor-one-pole",
        "coil 9-14 ohm",
        "coil=12",
        "L1-T1 at rest=0.3 ohm",
        "L1-T1 closed=0.3",
    )
    assert found["verdict"] == "fail"
    assert found["why"].startswith("L1-T1 at rest: ")
    assert "welded" in found["why"]


def test_the_three_pairs_of_a_winding(judge):
    """The sum of the smaller two is the largest (common practice, no source): 2.6 + 0.8 = 3.4."""
    reads = ("C-S=2.6 ohm", "C-R=0.8 ohm", "S-R=3.4 ohm", "to case=80 Mohm")
    line = ("--accuracy", "resistance 0.5 % + 2 x 0.01 ohm")
    found = judge("compressor-single-phase", "tester 500 V", *reads, options=line)
    assert found["verdict"] == "pass"
    assert words(found)["C-S"] == "measured"
    (pairs,) = found["conclusions"]
    assert set(pairs) >= {
        "name", "verdict", "why", "value", "unit", "expanded_uncertainty", "low", "high",
    }  # fmt: skip
    assert pairs["verdict"] == "pass"
    wrong = judge(
        "compressor-single-phase", "tester 500 V", *reads[:2], "S-R=4.2 ohm", reads[3], options=line
    )
    assert wrong["verdict"] == "fail"
    opened = judge(
        "compressor-single-phase", "tester 500 V", "C-S=OL", reads[1], "S-R=OL", reads[3],
        options=line,
    )  # fmt: skip
    assert opened["verdict"] == "open"
    unread = judge("compressor-single-phase", "tester 500 V", *reads[:2], reads[3], options=line)
    assert unread["verdict"] == "no reading"


def test_the_unbalance_of_three_lines(judge):
    """460, 467, 450 V: mean 459, farthest 9, so 1.96 % (the example of NEMA MG 1, from memory)."""
    found = judge(
        "motor-three-phase-running", "460 V, 7.6 A, maximum 9 A", "L1-L2=460", "L2-L3=467", "L1-L3=450",
        "amps L1=7.0", "amps L2=7.0", "amps L3=7.0",
    )  # fmt: skip
    unbalance = found["conclusions"][0]
    assert unbalance["unit"] == "%"
    assert unbalance["value"] == pytest.approx(1.9608, abs=1e-4)
    assert (found["verdict"], unbalance["verdict"]) == ("pass", "fail")  # of the supply


def test_a_pt100_against_a_probe(judge):
    """IEC 60751: 109.73 Ω at 25 °C; class B ±(0.30 + 0.005·25) = ±0.425 K; 0.39 Ω are 1 K."""
    options = ("--accuracy", "resistance 0.02 % + 1 x 0.01 ohm; temperature 0.1 °C")
    good = judge(
        "sensor-pt100", "pt100 class B", "resistance=109.73 ohm", "probe=25 C", options=options
    )
    assert good["verdict"] == "pass"
    (found,) = good["conclusions"]
    assert (found["low"], found["high"]) == (pytest.approx(-0.425), pytest.approx(0.425))
    bad = judge(
        "sensor-pt100", "pt100 class B", "resistance=110.12 ohm", "probe=77 F", options=options
    )
    assert bad["verdict"] == "fail"
    assert bad["conclusions"][0]["value"] == pytest.approx(1.0, abs=0.05)


def test_a_capacitor_under_load(judge):
    """C = I/(2πfV): 6.28 A, 370 V, 60 Hz give 45.02 µF (CALC)."""
    found = judge(
        "run-capacitor-under-load", "45 µF ±6 % 440 V 60 Hz", "volts=370 V", "amps=6.28 A"
    )
    (computed,) = found["conclusions"]
    assert (computed["unit"], found["verdict"]) == ("µF", "pass")
    assert computed["value"] == pytest.approx(45.02, abs=0.01)
    assert (computed["low"], computed["high"]) == (pytest.approx(42.3), pytest.approx(47.7))


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("--kind", "contactr", "--read", "coil=9"), "contactr"),
        (("240 V", "--kind", "heater", "--read", "element=38"), "missing"),
        (("240 V, 1500 W", "--kind", "heater", "--read", "38"), "to case (MΩ)"),
        (("240 V, 1500 W", "--kind", "heater", "--read", "coil=38"), "element (Ω)"),
        (("240 V, 1500 W", "--kind", "heater", "--read", "element=shorted"), "what the meter shows"),
        (("240 V, 1500 W", "--kind", "heater", "--read", "element=hot"), "hot"),
        (("240 V, 1500 W", "--kind", "heater", "--read", "element=3 min"), "nothing that a meter"),
        (("240 V, 1500 W", "--kind", "heater", "--read", "element=1e20"), "more than any meter"),
        (("24 V", "--kind", "contactor-under-load", "--read", "coil volts=open"), "AC voltage"),
        (("type 2", "--kind", "sensor-ntc", "--read", "probe=-300 C"), "absolute zero"),
        (("240 V, 1500 W", "--kind", "heater", "--read", "element=9", "--lead-offset", "0.1uF"), "capacitance"),
        (("240 V, 1500 W", "--kind", "heater", "--read", "element=9", "--lead-offset", "5 ohm"), "leads"),
        (("240 V, 1500 W", "--kind", "heater", "--read", "element=9", "--lead-offset", "1e37 ohm"),
         "more than any meter shows"),
        (("240 V, 1500 W", "--kind", "heater", "--read", "element=9", "--lead-offset", "0.1 ohm",
          "--lead-offset", "0.2 ohm"), "twice"),
    ],
)  # fmt: skip
def test_wrong_input_is_one_sentence_and_status_2(refused, arguments, says):
    assert says in refused(*arguments)


def test_the_kinds_are_listed_and_one_tells_what_it_measures(capsys, tmp_path):
    own = tmp_path / "parts"
    own.mkdir()
    (own / "lamp.toml").write_text(
        'title = "Lamp"\nabout = "Invented."\nexample = "12 V"\nhazards = []\n[[givens]]\nname = "volts"\n'
        'title = "Volts"\nunit = "V"\nneeded = false\n[[measures]]\nname = "filament"\n'
        'title = "Filament"\nquantity = "resistance"\nunit = "Ω"\nleads = ["tip", "ring"]\n'
        'subject = "part"\nhazards = []\nevidence = []\noverload = "open"\nopen = "Dark."\n'
        'limits = { by = "between", high = "50 ohm" }\nsource = "common practice, no source"\n'
        'too_high = "Dim."\npass_leaves = "It may flicker."\n',
        encoding="utf-8",
    )
    data = ("--data", str(tmp_path))
    assert run(["judge", "--kinds", *data]) == 0
    listed = capsys.readouterr().out
    assert "contactor   Contactor, two poles" in listed
    assert "lamp   Lamp" in listed
    assert run(["judge", "--kind", "heater", *data]) == 0
    told = capsys.readouterr().out
    assert "--read element=VALUE" in told
    assert '--read "to case=VALUE"' in told
    assert run(["judge", "240 V, 1500 W", "--kind", "heater", *data, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["kind"]["name"] == "heater"
    assert found["sections"][0] == {
        "name": "element", "unit": "Ω", "rated": 38.4, "low": 34.56, "high": 42.24,
    }  # fmt: skip
    assert run(["judge", "--kind", "lamp", "--read", "51", *data, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert (found["verdict"], found["why"].split(".")[-2]) == ("fail", " Dim")


def test_the_text_for_people(capsys, tmp_path):
    read = ["--read", "element=38.5 ohm", "--read", "to case=OL", "--data", str(tmp_path)]
    assert run(["judge", "240 V, 1500 W, tester 500 V", "--kind", "heater", *read]) == 0
    told = capsys.readouterr().out
    assert told.startswith("PASS  Good.")
    assert "limits 34.56 to 42.24 Ω   reads 38.5 Ω" in told
    assert "at least 1 MΩ" in told
    assert "OL" in told


def test_a_capacitor_by_its_label_loads_no_kinds():
    """`judge` of a capacitor must start as fast as before there were kinds."""
    code = (
        "import sys; from benchmeter.commands.main import run; run(['judge', '5 µF ±6 %', '--read', '5']);"
        "sys.exit(any(m in sys.modules for m in ('msgspec', 'benchmeter.parts.part_kind')))"
    )
    done = subprocess.run(
        [sys.executable, "-X", "utf8", "-c", code], capture_output=True, check=False
    )
    assert done.returncode == 0


@pytest.mark.parametrize(
    ("kind", "label", "readings", "accuracy", "ohm"),
    [
        ("contactor-one-pole", "coil 9-14 ohm", ("12.0", "OL", "1.1 ohm"), METER, "0.2"),
        ("contactor-one-pole", "", ("0.9", "3 Mohm", "0.2 ohm"), "", "0"),
        ("heater", "240 V, 1500 W, ±5 %", ("36.5", "0.5 Mohm"), METER, "0.1"),
        (
            "compressor-single-phase",
            "",
            ("2.6", "0.8", "3.4", "80 Mohm"),
            "0.5 % + 2 x 0.01 ohm",
            "0.1",
        ),
        ("sensor-pt100", "class B", ("110.12", "77 F"), "resistance 0.1 % + 1 x 0.01 ohm", "0"),
        (
            "pressure-cut-out",
            "opens 610 psi, closes 420 psi",
            ("0.3", "600 psi", "430 psi"),
            "",
            "0",
        ),
        ("start-capacitor", "88-108 µF 250 V", ("95.0", "15.0 kohm"), "1 % + 2 x 0.1 uF", "0"),
    ],
)
def test_the_verdict_is_the_one_of_the_window(judge, kind, label, readings, accuracy, ohm):
    """The same readings typed into a check, as the window does it."""
    check = kind_check(kind, label, *readings, accuracy=accuracy, ohm=ohm)
    assert check.verdict is not None
    names = [
        "capacitance" if s.section.name == "single" else s.section.name for s in check.sections
    ]
    reads = [f"{n}={v}" for n, v in zip(names, readings, strict=True)]
    options = ("--accuracy", accuracy) if accuracy else ()
    options += ("--lead-offset", f"{ohm} ohm") if ohm != "0" else ()
    found = judge(kind, label, *reads, options=options)
    assert found["verdict"] == check.verdict.verdict.value
    assert found["why"] == part_why(check.verdict, check.kind)
    assert [s["why"] for s in found["sections"]] == [why(s) for s in check.verdict.sections]
    assert [c["verdict"] for c in found.get("conclusions", [])] == [
        c.word.value for c in check.verdict.conclusions
    ]
