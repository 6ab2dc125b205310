"""`benchmeter judge`, as scripts rely on it."""

import json
import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmeter.commands.main import run


@pytest.fixture
def judge(capsys):
    def call(*arguments: str):
        status = run(["judge", *arguments, "--json"])
        out, err = capsys.readouterr()
        assert status == 0, err
        assert err == ""
        return json.loads(out)

    return call


@pytest.fixture
def refused(capsys):
    def call(*arguments: str) -> str:
        for more in ((), ("--json",)):
            status = run(["judge", *arguments, *more])
            out, err = capsys.readouterr()
            assert (status, out) == (2, "")
            assert err.count("\n") == 1
        return err

    return call


def test_a_dual_part(judge):
    """CALC: limits of 45/5 ±6 %; ±(1.2 % + 2 × 0.1) at 44.1 gives U = 0.84201; at 5.01 it gives
    2·0.26012/√3 = 0.30036, more than the 0.3 that half the band of FAN leaves."""
    found = judge(
        "45/5 uF ±6% 440 V",
        "--read",
        "HERM=44.1uF",
        "--read",
        "FAN=5.01uF",
        "--accuracy",
        "1.2% + 2 x 0.1uF",
    )
    herm, fan = found["sections"]
    assert set(herm) == {
        "name", "unit", "rated", "low", "high", "reading", "expanded_uncertainty", "conformance_probability", "verdict", "why",
    }  # fmt: skip
    assert (herm["name"], fan["name"]) == ("HERM", "FAN")
    assert (herm["rated"], herm["low"], herm["high"], herm["reading"]) == (45.0, 42.3, 47.7, 44.1)
    assert (fan["rated"], fan["low"], fan["high"], fan["reading"]) == (5.0, 4.7, 5.3, 5.01)
    assert herm["unit"] == fan["unit"] == "µF"
    assert herm["expanded_uncertainty"] == pytest.approx(0.84201, abs=1e-5)
    assert herm["verdict"] == "pass"
    assert 0.99 < herm["conformance_probability"] <= 1
    assert (found["rule"], found["accuracy"]) == ("guarded", "1.2% + 2 x 0.1uF")
    assert found["verdict"] == fan["verdict"] == "undecidable"
    assert fan["expanded_uncertainty"] == pytest.approx(0.30036, abs=1e-5)
    assert found["why"].startswith("FAN: ")


def test_the_line_of_42_6_uf(judge):
    """CALC: U = 0.83831; guarded says conditional pass, simple says pass, same probability."""
    call = ("45 µF ±6 %", "--read", "42.6uF", "--accuracy", "1.0 % + 3 counts")
    guarded, simple = judge(*call), judge(*call, "--rule", "simple")
    assert (guarded["verdict"], simple["verdict"]) == ("conditional pass", "pass")
    for found in (guarded, simple):
        assert found["sections"][0]["expanded_uncertainty"] == pytest.approx(0.83831, abs=1e-5)
        assert found["sections"][0]["conformance_probability"] == pytest.approx(0.76292, abs=1e-5)
    assert any("one count is 0.1 µF" in a for a in guarded["assumes"])


def test_on_the_limit_it_passes_and_says_that_the_accuracy_is_not_known(judge):
    """5·(1 - 0.06) is 4.699999999999999 in binary; both limits belong to the band (CALC)."""
    for read, verdict in (("4.70", "pass"), ("4.69", "fail"), ("5.30", "pass"), ("5.31", "fail")):
        found = judge("5 µF ±6 %", "--read", read)
        assert found["verdict"] == verdict
        section = found["sections"][0]
        assert (section["low"], section["high"]) == (4.7, 5.3)
        assert (
            section["expanded_uncertainty"]
            is section["conformance_probability"]
            is found["accuracy"]
            is None
        )
        assert any("accuracy is not known" in a for a in found["assumes"])
        assert "accuracy is not known" in found["why"]


def test_a_range_on_the_label(judge):
    section = judge("88-108 MFD 250VAC", "--read", "99")["sections"][0]
    assert (section["rated"], section["low"], section["high"], section["name"]) == (
        None,
        88.0,
        108.0,
        "single",
    )


def test_repeated_readings(judge):
    section = judge("45 µF ±6 %", "--read", "44.0", "--read", "44.2", "--accuracy", "2 %")[
        "sections"
    ][0]
    assert section["reading"] == 44.1
    # u² = (2 % of 44.1 / √3)² + (0.1414/√2)² + 0.1²/12: a line that counts no digits leaves the
    # resolution out (JCGM 100 cl. 5.1.2, F.2.2.1)
    u = ((0.882**2) / 3 + 0.01 + 0.01 / 12) ** 0.5
    assert section["expanded_uncertainty"] == pytest.approx(2 * u)


def test_the_worst_word_is_the_verdict(judge):
    assert judge("35/5 µF ±6 %", "--read", "HERM=0", "--read", "FAN=0.00uF")["verdict"] == "open"
    assert judge("35/5 µF ±6 %", "--read", "HERM=35")["verdict"] == "no reading"
    assert judge("35/5 µF ±6 %", "--read", "HERM=10")["verdict"] == "fail"
    assert judge("35/5 µF ±6 %", "--read", "HERM=35", "--read", "FAN=short")["verdict"] == "shorted"
    assert judge("35/5 µF ±6 %")["verdict"] == "no reading"


def test_a_weak_replacement_never_passes(judge):
    """Common practice, no source: 4.6 on 5 µF ±6 %, low limit 4.70 (CALC)."""
    assert judge("35/5 µF ±6 %", "--read", "HERM=35", "--read", "FAN=4.6")["verdict"] == "fail"
    for line in ("1.2 % + 2 x 0.1 µF", "1.9 % + 2 counts", "1 % + 3 x 0.01 µF"):
        found = judge(
            "35/5 µF ±6 %", "--read", "HERM=35.0", "--read", "FAN=4.60", "--accuracy", line
        )
        assert found["verdict"] in ("conditional fail", "fail", "undecidable")


def test_this_meter_cannot_decide(judge):
    found = judge("5 µF ±6 %", "--read", "5.00", "--accuracy", "9 %")
    assert found["verdict"] == "undecidable"
    assert "could decide" in found["why"]


def test_words_for_a_reading(judge):
    for word, verdict in (
        ("OL", "no reading"),
        ("open", "open"),
        ("short", "shorted"),
        ("0.2ohm", "shorted"),
    ):
        section = judge("5 µF ±6 %", "--read", word)["sections"][0]
        assert (section["verdict"], section["reading"]) == (verdict, None)


@pytest.mark.parametrize("name", ["HERM", "herm", "C-HERM", "c-Herm", "HERM-C", " herm "])
def test_sections_are_named_as_the_trade_does(judge, name):
    assert judge("45/5 µF ±6 %", "--read", f"{name}=45")["sections"][0]["reading"] == 45.0


def test_the_lead_offset_and_the_tolerance_are_told(judge):
    found = judge("5 uF", "--tolerance", "6 %", "--read", "4.71", "--lead-offset", "0.02uF")
    assert (found["verdict"], found["sections"][0]["reading"]) == ("fail", 4.69)
    assert any("command line" in a for a in found["assumes"])
    assert any("0.02 µF" in a for a in found["assumes"])


def test_figures_are_plain_numbers_in_microfarad(judge):
    section = judge("45000 nF ±6 %", "--read", "44100nF")["sections"][0]
    assert (section["rated"], section["low"], section["reading"]) == (45.0, 42.3, 44.1)


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("5 µF", "--read", "5"), '--tolerance "6 %"'),
        (("5 µF ±6 %", "--tolerance", "5 %", "--read", "5"), "contradict"),
        (("45/5 µF ±6 %", "--read", "44.1"), "HERM"),
        (("45/5 µF ±6 %", "--read", "START=44.1"), "START"),
        (("5 µF ±6 %", "--read", "HERM=5"), "one section"),
        (("5 µF ±6 %", "--read", "5mF"), "millifarad"),
        (("5 µF ±6 %", "--read", "five"), "five"),
        (("5 µF ±6 %", "--read", "5min"), "nothing that a meter"),
        (("5 µF ±6 %", "--read", "1,234"), "1234"),
        (("5 µF ±6 %", "--read", "5", "--read", "OL"), "contradict"),
        (("5 µF ±6 %", "--read", "5", "--accuracy", "good"), "1.2 %"),
        (("5 µF ±6 %", "--read", "5", "--rule", "lenient"), "lenient"),
        (("5 µF ±6 %", "--read", "5", "--lead-offset", "4 µF"), "not open"),
        (("5 µF ±6 %", "--read", "5", "--lead-offset", "4 V"), "voltage"),
        (("banana", "--read", "5"), "banana"),
        (("", "--read", "5"), "no capacitance"),
        ((), "rating"),
    ],
)
def test_wrong_input_is_one_sentence_and_status_2(refused, arguments, says):
    assert says.lower() in refused(*arguments).lower()


def test_the_text_for_people_has_the_same_findings(capsys):
    assert (
        run(
            [
                "judge",
                "45/5 uF ±6% 440 V",
                "--read",
                "HERM=44.1uF",
                "--accuracy",
                "1.2% + 2 x 0.1uF",
            ]
        )
        == 0
    )
    out = capsys.readouterr().out
    for piece in (
        "NO READING",
        "HERM",
        "FAN",
        "42.3 to 47.7 µF",
        "44.10 ±0.84 µF",
        "guarded",
        "not measured",
    ):
        assert piece in out


@given(st.lists(st.text(max_size=12), max_size=3), st.text(max_size=12))
def test_any_words_end_in_a_verdict_or_in_status_2(reads, rating):
    arguments = ["judge", "--json", *(f"--read={r}" for r in reads), "--", rating]
    assert run(arguments) in (0, 2)


def test_it_starts_fast():
    """design: nothing heavy is imported for a verdict at the command line."""
    code = (
        "import sys; from benchmeter.commands.main import run; run(['judge', '5 µF ±6 %', '--read', '5']);"
        "sys.exit(str([m for m in ('numpy','scipy','pint','sqlalchemy','PySide6','pyqtgraph') if m in sys.modules] or ''))"
    )
    done = subprocess.run(
        [sys.executable, "-X", "utf8", "-c", code], capture_output=True, text=True, check=False
    )
    assert done.stderr.strip() == "", done.stderr
