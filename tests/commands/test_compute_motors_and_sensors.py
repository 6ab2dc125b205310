"""`benchmeter compute unbalance | windings | sensor`: results, units, one sentence for wrong input."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from benchmeter.commands.main import run
from tests.commands.computing import compute, refused


# The example of NEMA MG 1 (from memory): 1.96 %; derating 0.95 at 2 % (read in texts that quote it).
@pytest.mark.parametrize("volts", [("460V", "467V", "450V"), ("460", "467", "450"), ("0,46kV", "467 V", "450VAC")])  # fmt: skip
def test_unbalance(capsys: pytest.CaptureFixture[str], volts: tuple[str, ...]) -> None:
    found = compute(capsys, "unbalance", *volts)
    assert found["unbalance"] == {"value": pytest.approx(1.9608, abs=1e-4), "unit": "%"}
    assert found["derating"] == {"value": pytest.approx(0.95, abs=0.02), "unit": ""}
    assert found["mean"] == {"value": pytest.approx(459), "unit": "V"}


def test_above_5_percent_there_is_no_derating(capsys: pytest.CaptureFixture[str]) -> None:
    found = compute(capsys, "unbalance", "460V", "467V", "380V")
    assert found["derating"]["value"] is None
    assert "do not run" in found["why"]
    assert run(["compute", "unbalance", "460V", "467V", "380V"]) == 0
    assert "derating: none" in capsys.readouterr().out


@pytest.mark.parametrize(
    "volts", [(), ("460V",), ("460V", "467V", "450V", "440V"), ("460V", "467V", "450A"), ("460V", "x", "450V"), ("-460V", "467V", "450V"), ("0V", "0V", "0V"), ("46kV", "46kV", "46kV")]
)  # fmt: skip
def test_unbalance_refuses(capsys: pytest.CaptureFixture[str], volts: tuple[str, ...]) -> None:
    refused(capsys, "unbalance", *volts)


# Common practice: (C-S) + (C-R) = (S-R); U from ±(0.8 % + 2 x 0.1 Ω), see test_windings.
def test_windings_that_add_up(capsys: pytest.CaptureFixture[str]) -> None:
    named = ("windings", "C-S=2.6ohm", "C-R=0.8ohm", "S-R=3.4ohm")
    found = compute(capsys, *named, "--accuracy", "0.8% + 2 x 0.1ohm")
    assert found["verdict"] == "pass"
    assert found["residual"] == {"value": 0, "unit": "Ω"}
    assert found["expanded_uncertainty"]["value"] == pytest.approx(0.4366, abs=1e-4)
    simple = compute(capsys, *named)
    assert simple["verdict"] == "pass"
    assert simple["expanded_uncertainty"]["value"] is None
    assert "accuracy is not known" in simple["assumes"]
    assert "shorted turns" in simple["assumes"]


def test_windings_that_do_not(capsys: pytest.CaptureFixture[str]) -> None:
    found = compute(
        capsys,
        "windings",
        "C-S=2.6ohm",
        "C-R=0.8ohm",
        "S-R=5ohm",
        "--accuracy",
        "0.8% + 2 x 0.1ohm",
    )
    assert found["verdict"] == "fail"
    assert found["residual"]["value"] == pytest.approx(-1.6)


def test_terminals_are_found(capsys: pytest.CaptureFixture[str]) -> None:
    found = compute(capsys, "windings", "A-B=3.4ohm", "A-C=2.6ohm", "B-C=0.8ohm")
    assert found["terminals"] == {"C": "C", "S": "A", "R": "B"}
    assert run(["compute", "windings", "1-2=3.4ohm", "1-3=2.6ohm", "2-3=0.8ohm"]) == 0
    assert "C = 3, S = 1, R = 2" in capsys.readouterr().out


def test_an_open_winding_and_leads(capsys: pytest.CaptureFixture[str]) -> None:
    found = compute(capsys, "windings", "C-S=OL", "C-R=OL", "S-R=3.4ohm", "--cold")
    assert found["verdict"] == "open"
    assert found["residual"]["value"] is None
    found = compute(
        capsys, "windings", "C-S=2.9ohm", "C-R=1.1ohm", "S-R=3.7ohm", "--lead-offset", "300mohm"
    )
    assert found["verdict"] == "pass"
    assert "0.3 Ω" in found["assumes"]


# IEEE 43 (from memory): 5 MΩ; the old rule 1.23 MΩ at 230 V; 100 MΩ at 25 °C is 35.36 MΩ at 40 °C.
@pytest.mark.parametrize(
    ("to_case", "verdict", "insulation"),
    [("OL", "pass", "pass"), ("100Mohm", "pass", "pass"), ("3Mohm", "conditional fail", "conditional fail"), ("0.5Mohm", "fail", "fail"), ("2ohm", "shorted", "shorted")],
)  # fmt: skip
def test_a_grounded_winding_fails_whatever_the_sum(
    capsys: pytest.CaptureFixture[str], to_case: str, verdict: str, insulation: str
) -> None:
    pairs = ("windings", "C-S=2.6ohm", "C-R=0.8ohm", "S-R=3.4ohm", "--to-case", to_case)
    pairs = (*pairs, "--tester", "500V")
    found = compute(capsys, *pairs, "--rated-voltage", "230V")
    assert (found["verdict"], found["insulation_verdict"]) == (verdict, insulation)
    assert found["insulation_floor"] == {"value": 5, "unit": "MΩ"}
    warm = compute(capsys, *pairs, "--rated-voltage", "230V", "--winding-temperature", "25C")
    if to_case == "100Mohm":
        assert warm["insulation"] == {"value": pytest.approx(35.36, abs=0.005), "unit": "MΩ"}


def test_insulation_needs_the_testers_volts(capsys: pytest.CaptureFixture[str]) -> None:
    """A multimeter's ohms find a dead short only: common practice, no source."""
    pairs = ("windings", "C-S=2.6ohm", "C-R=0.8ohm", "S-R=3.4ohm", "--rated-voltage", "230V")
    words = [
        compute(capsys, *pairs, "--to-case", *case)["insulation_verdict"]
        for case in (("20Mohm",), ("2Mohm", "--tester", "500V", "--hermetic"), ("2ohm",))
    ]
    assert words == ["measured", "pass", "shorted"]


@pytest.mark.parametrize(("state", "word"), [((), "undecidable"), (("--cold",), "open")])
def test_open_at_c_is_open_once_it_is_cold(
    capsys: pytest.CaptureFixture[str], state: tuple[str, ...], word: str
) -> None:
    """The protector of a hot compressor opens there: common practice, no source."""
    found = compute(capsys, "windings", "C-S=OL", "C-R=OL", "S-R=3.4ohm", *state)
    assert found["verdict"] == word


def test_a_three_phase_motor(capsys: pytest.CaptureFixture[str]) -> None:
    found = compute(capsys, "windings", "1-2=2.6ohm", "1-3=2.7ohm", "2-3=2.6ohm", "--three-phase")
    assert found["verdict"] == "pass"
    assert found["unbalance"] == {"value": pytest.approx(2.5316, abs=1e-4), "unit": "%"}  # computed


@pytest.mark.parametrize(
    "arguments",
    [
        (), ("C-S=2.6ohm",), ("C-S=2.6ohm", "C-R=0.8ohm", "S-R=3.4"), ("C-S=2.6ohm", "C-R=0.8ohm", "C-R=0.8ohm"),
        ("C-S=2.6ohm", "C-R=0.8ohm", "S-R=3.4ohm", "--accuracy", "1 % + 2 x 0.1uF"),
        ("C-S=2.6ohm", "C-R=0.8ohm", "S-R=3.4ohm", "--lead-offset", "5ohm"),
        ("C-S=2.6ohm", "C-R=0.8ohm", "S-R=3.4ohm", "--lead-offset", "0.2"),
        ("C-S=2.6ohm", "C-R=0.8ohm", "S-R=3.4ohm", "--to-case", "20Mohm"),
        ("C-S=2.6ohm", "C-R=0.8ohm", "S-R=3.4ohm", "--rated-voltage", "230V"),
        ("C-S=2.6ohm", "C-R=0.8ohm", "S-R=3.4ohm", "--to-case", "20Mohm", "--rated-voltage", "4kV"),
    ],
)  # fmt: skip
def test_windings_refuse(capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...]) -> None:
    refused(capsys, "windings", *arguments)


# Pt100: IEC 60751, 109.7347 Ω at 25 °C. K: NIST Monograph 175, 3.0960 mV with the terminals at
# 25 °C is 100 °C (computed), -1.527 mV is -40 °C, T -1.475, J 5.269 mV 100 °C. NTC: printed tables.
@pytest.mark.parametrize(
    ("arguments", "celsius", "tolerance"),
    [
        (("pt100", "--reading", "109.73ohm"), 25, 0.02),
        (("Pt100", "--reading", "84,2707 Ω"), -40, 0.001),
        (("K", "--reading", "3.096mV", "--junction", "25C"), 100, 0.02),
        (("K", "--reading", "3.096mV", "--junction", "77F"), 100, 0.02),
        (("k", "--reading", "-1.527mV"), -40, 0.02),
        (("K", "--reading=-1527uV"), -40, 0.02),
        (("T", "--reading", "-1.475mV"), -40, 0.02),
        (("J", "--reading", "0.005269V"), 100, 0.02),
        (("ntc-10k-2", "--reading", "32.65kohm"), 0, 0.02),
        (("ntc-10k-3", "--reading", "29490ohm"), 0, 0.02),
    ],
)
def test_sensor(
    capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...], celsius: float, tolerance: float
) -> None:
    found = compute(capsys, "sensor", *arguments)
    assert found["temperature"]["value"] == pytest.approx(celsius, abs=tolerance)
    assert found["temperature"]["unit"] == "°C"


def test_a_junction_below_zero_is_a_value_and_no_option(capsys: pytest.CaptureFixture[str]) -> None:
    """NIST Monograph 175: E(100) - E(-10) = 4.096 + 0.392 mV for type K."""
    found = compute(capsys, "sensor", "K", "--reading", "4.488mV", "--junction", "-10C")
    assert found["temperature"]["value"] == pytest.approx(100, abs=0.03)


def test_without_a_junction_0_degrees_are_assumed_and_said(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert "0 °C" in compute(capsys, "sensor", "K", "--reading", "3.096mV")["assumes"]


def test_the_uncertainty_of_the_temperature(capsys: pytest.CaptureFixture[str]) -> None:
    """a = 0.1 % of 100 Ω + 2 x 0.01 Ω = 0.12 Ω; U = 2a/√3 / 0.39083 Ω/K = 0.3545 K (IEC 60751)."""
    found = compute(capsys, "sensor", "pt100", "--reading", "100.00ohm", "--accuracy", "0.1% + 2")
    assert found["expanded_uncertainty"] == {"value": pytest.approx(0.3545, abs=1e-4), "unit": "K"}


# Tables of type 2 and type 3, see test_thermistor_check.
@pytest.mark.parametrize(
    ("reading", "beside", "verdict"),
    [
        ("32650ohm", "0C", "fits the curve"),
        ("29490ohm", "32F", "fits another curve"),
        ("25.00kohm", "0C", "fits no curve"),
        ("5000kohm", "0C", "fits no curve"),
        ("10000ohm", "25C", "cannot tell"),
    ],
)
def test_which_curve(
    capsys: pytest.CaptureFixture[str], reading: str, beside: str, verdict: str
) -> None:
    options = ("sensor", "ntc-10k-2", "--reading", reading, "--beside", beside, "--beside-accuracy")
    found = compute(capsys, *options, "0.5deltaC", "--accuracy", "0.8% + 2 counts")
    assert found["verdict"] == verdict
    assert found["why"].endswith(".")
    assert run(["compute", *options, "0.9deltaF"]) == 0
    assert f"verdict: {verdict}" in capsys.readouterr().out


# Class B at 100 °C: ±0.80 K (IEC 60751); 138.5055 Ω at 100 °C, 0.3793 Ω/K there.
@pytest.mark.parametrize(
    ("reading", "verdict"), [("138.51ohm", "pass"), ("138.79ohm", "conditional pass"), ("138.84ohm", "conditional fail"), ("139.00ohm", "fail")]
)  # fmt: skip
def test_a_class(capsys: pytest.CaptureFixture[str], reading: str, verdict: str) -> None:
    found = compute(
        capsys, "sensor", "pt100", "--reading", reading, "--beside", "100C",
        "--beside-accuracy", "0.1deltaC", "--class", "b",
    )  # fmt: skip
    assert found["verdict"] == verdict
    assert found["tolerance"] == {"value": pytest.approx(0.8), "unit": "K"}


@pytest.mark.parametrize(
    "arguments",
    [
        (), ("pt100",), ("pt1000", "--reading", "109ohm"), ("pt100", "--reading", "109"), ("pt100", "--reading", "109mV"),
        ("pt100", "--reading", "OL"), ("pt100", "--reading", "900ohm"), ("pt100", "--reading=-5ohm"), ("K", "--reading", "109ohm"),
        ("K", "--reading", "900mV"), ("K", "--reading", "3mV", "--junction", "25"), ("K", "--reading", "3mV", "--junction", "5000C"),
        ("pt100", "--reading", "109ohm", "--junction", "25C"), ("ntc-10k-2", "--reading", "0ohm"),
        ("ntc-10k-2", "--reading", "10kohm", "--beside", "25C"),
        ("ntc-10k-2", "--reading", "10kohm", "--beside", "25C", "--beside-accuracy", "0.5C"),
        ("ntc-10k-2", "--reading", "10kohm", "--beside", "25C", "--beside-accuracy", "0deltaC"),
        ("ntc-10k-2", "--reading", "10kohm", "--beside", "25C", "--beside-accuracy", "1deltaC", "--class", "B"),
        ("ntc-10k-2", "--reading", "10kohm", "--beside", "25C", "--beside-accuracy", "1deltaC", "--junction", "25C"),
        ("ntc-10k-2", "--reading", "10kohm", "--class", "B"), ("ntc-10k-2", "--reading", "10kohm", "--beside-accuracy", "1deltaC"),
        ("pt100", "--reading", "109ohm", "--beside", "25C", "--beside-accuracy", "1deltaC"),
        ("pt100", "--reading", "109ohm", "--beside", "25C", "--beside-accuracy", "1deltaC", "--class", "Z"),
    ],
)  # fmt: skip
def test_sensor_refuses(capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...]) -> None:
    refused(capsys, "sensor", *arguments)


WORDS = st.one_of(
    st.text(max_size=12),
    st.from_regex(r"-?[0-9]{0,3}[.,]?[0-9]{0,2}(ohm|kohm|mV|V|C|F|deltaC|%|)", fullmatch=True),
    st.from_regex(r"[ACSR]-[BCSR]=[0-9OL.]{1,4}(ohm|)", fullmatch=True),
)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None, max_examples=60)  # fmt: skip
@given(
    st.sampled_from(["unbalance", "windings", "sensor"]), st.lists(WORDS, min_size=1, max_size=4)
)
def test_any_words_are_an_answer_or_one_sentence(
    capsys: pytest.CaptureFixture[str], what: str, words: list[str]
) -> None:
    if any(w.startswith(("-h", "--h")) for w in words):
        return
    options = ["pt100", "--reading", *words] if what == "sensor" else words
    assert run(["compute", what, *options]) in (0, 2)
    shown = capsys.readouterr()
    assert bool(shown.out) != bool(shown.err)
