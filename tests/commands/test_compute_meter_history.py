"""`benchmeter compute meter-history`: comparisons, charts and bias from a file of readings."""

import math
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from benchmeter.commands.main import run
from tests.commands import computing

HEADER = "date,reference,value (µF),uncertainty (µF),reading (µF)"
ACCURACY = "1 % + 2 x 0.01 µF"
# NIST/SEMATECH e-Handbook 6.3.2.2, ten values: mean 50.81, limits 45.8159 and 55.8041 (from
# memory). Here as readings of a reference part of 50 µF, so that all of them move down by 50.
FLOW = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]


def line(day: int, reading: object, reference: str = "R50,50.00,0.10") -> str:
    return f"2026-03-{day:02d},{reference},{reading}"


def table(*lines: str) -> str:
    return "\n".join([HEADER, *lines]) + "\n"


def flow(*more: str) -> str:
    return table(*(line(i, v) for i, v in enumerate(FLOW, 1)), *more)


def write(folder: Path, text: str | bytes) -> str:
    path = folder / "history.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return str(path)


@pytest.fixture
def history(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Any:
    def computed(text: str | bytes, *options: str) -> dict[str, Any]:
        options = options or ("--accuracy", ACCURACY)
        return computing.compute(capsys, "meter-history", write(tmp_path, text), *options)

    return computed


@pytest.fixture
def refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Any:
    def said(text: str | bytes, *options: str) -> str:
        return computing.refused(capsys, "meter-history", write(tmp_path, text), *options, "--json")

    return said


def only(found: dict[str, Any]) -> dict[str, Any]:
    (reference,) = found["references"]
    return dict(reference)


def test_the_comparison_of_one_reading(history: Any) -> None:
    """ISO/IEC 17043: En = (x - X)/√(Ux² + UX²). CALC: 1 % of 45.50 + 0.02 is 0.475, U = 0.5485,
    with 0.10 of the reference 0.5575; 0.50 off is 0.8968."""
    (reading,) = only(history(table("2026-03-01,R45,45.00,0.10,45.50")))["readings"]
    assert reading["difference"] == {"value": 0.5, "unit": "µF"}
    assert reading["expanded_uncertainty"]["value"] == pytest.approx(0.5575, abs=5e-5)
    assert reading["en"]["value"] == pytest.approx(0.8968, abs=5e-5)
    assert (reading["verdict"], reading["why"]) == ("meter agrees", "within both uncertainties")


@pytest.mark.parametrize(
    ("cells", "word"),
    [
        ("45.00,0.10,45.50", "meter agrees"),  # En 0.90, as above
        ("45.00,0.10,45.70", "meter differs"),  # CALC: U 0.5597, En 1.25
        ("45.00,0.10,44.30", "meter differs"),
        ("45.00,2.00,45.50", "cannot tell"),  # a reference coarser than the meter clears nobody
        ("45.00,2.00,49.00", "meter differs"),  # CALC: U 2.087, En 1.92
    ],
)
def test_the_word(history: Any, cells: str, word: str) -> None:
    (reading,) = only(history(table(f"2026-03-01,R45,{cells}")))["readings"]
    assert reading["verdict"] == word


def test_the_chart_of_the_handbook(history: Any) -> None:
    chart = only(history(flow()))["chart"]
    assert chart["mean"]["value"] == pytest.approx(50.81 - 50)
    assert chart["low"]["value"] == pytest.approx(45.8159 - 50, abs=1e-4)
    assert chart["high"]["value"] == pytest.approx(55.8041 - 50, abs=1e-4)
    assert chart["largest_moving_range"]["value"] == pytest.approx(3.267 * 1.8778, rel=1e-4)
    assert chart["standing_out"] == []


def test_a_meter_that_fell_stands_out_by_its_date(history: Any) -> None:
    found = only(history(flow(*(line(10 + i, v) for i, v in enumerate(FLOW, 1)), line(21, "62.0"))))
    assert found["chart"]["standing_out"] == ["2026-03-21"]
    marks = [r["stands_out"] for r in found["readings"]]
    assert marks == [None] * 20 + ["beyond the limits, after a jump"]
    assert found["bias"]["unsteady"] is True


def test_seven_readings_have_no_limits(history: Any) -> None:
    chart = only(history(table(*(line(i, v) for i, v in enumerate(FLOW[:7], 1)))))["chart"]
    assert chart["low"]["value"] is chart["high"]["value"] is None
    assert chart["standing_out"] == []


def test_the_order_is_that_of_the_dates_and_then_of_the_file(history: Any) -> None:
    lines = [line(i, v) for i, v in enumerate(FLOW, 1)]
    assert history(table(*reversed(lines))) == history(flow())
    shown = only(history(table(line(2, 50.3), line(1, 50.1), line(2, 50.2))))["readings"]
    assert [r["reading"]["value"] for r in shown] == [50.1, 50.3, 50.2]


def test_each_reference_part_has_its_own_chart(history: Any) -> None:
    """1 % too much is 0.5 µF of 50 µF and 0.05 µF of 5 µF: in one chart each would seem to jump."""
    lines = [f(i) for i in range(1, 11) for f in (
        lambda i: line(i, f"50.5{i % 2}"), lambda i: line(i, f"5.05{i % 2}", "R5,5.000,0.010"),
    )]  # fmt: skip
    found = history(table(*lines))["references"]
    assert [(r["reference"], len(r["readings"])) for r in found] == [("R50", 10), ("R5", 10)]
    assert [r["chart"]["standing_out"] for r in found] == [[], []]
    assert [r["bias"]["value"] for r in found] == [pytest.approx(0.505), pytest.approx(0.0505)]


def test_the_bias_is_the_mean_of_the_last_eight(history: Any) -> None:
    """CALC: of FLOW from the third: 49.9 … 52.1, mean 51.3625, s 1.80154; t(7) 2.3646 (tables),
    in quadrature with the 0.10 of the reference and 0.1/√3 of the last digit (JCGM 100)."""
    last = FLOW[2:]
    mean = math.fsum(last) / 8
    s = math.sqrt(sum((v - mean) ** 2 for v in last) / 7)
    half = math.sqrt((2.3646 * s / math.sqrt(8)) ** 2 + 0.10**2 + 0.1**2 / 3)
    bias = only(history(flow()))["bias"]
    assert bias["value"] == pytest.approx(mean - 50)
    assert bias["low"] == pytest.approx(mean - 50 - half, abs=1e-3)
    assert bias["high"] == pytest.approx(mean - 50 + half, abs=1e-3)
    assert (bias["readings"], bias["unsteady"]) == (8, False)


def test_equal_readings_leave_the_reference_and_the_last_digit(history: Any) -> None:
    bias = only(history(table(*(line(i, "50.20") for i in range(1, 10)))))["bias"]
    half = math.sqrt(0.10**2 + 0.01**2 / 3)
    assert (bias["low"], bias["high"]) == (pytest.approx(0.2 - half), pytest.approx(0.2 + half))


def test_one_reading_gives_no_interval(history: Any) -> None:
    bias = only(history(table(line(1, "50.20"))))["bias"]
    assert bias["value"] == pytest.approx(0.2)
    assert "low" not in bias


def test_the_bias_changes_no_reading_and_is_said_to(history: Any) -> None:
    found = history(flow())
    assert [r["reading"]["value"] for r in only(found)["readings"]] == FLOW
    assert "applied to no reading" in found["assumes"]


def test_the_lead_offset_is_subtracted(history: Any) -> None:
    options = ("--accuracy", ACCURACY, "--lead-offset", "0.05uF")
    (reading,) = only(history(table(line(1, "50.20")), *options))["readings"]
    assert reading["reading"]["value"] == 50.15
    assert reading["difference"]["value"] == 0.15


def test_without_an_accuracy_nothing_is_told_and_the_chart_stands(history: Any) -> None:
    found = history(flow(), "--data", "unused")
    assert {r["verdict"] for r in only(found)["readings"]} == {"cannot tell"}
    assert only(found)["readings"][0]["en"]["value"] is None
    assert only(found)["chart"]["low"]["value"] == pytest.approx(45.8159 - 50, abs=1e-4)
    assert any("accuracy is not known" in note for note in found["notes"])


def test_dropped_zeros_are_pointed_out(history: Any) -> None:
    text = table(line(1, "50.12"), line(2, "50.1"))
    assert any("drops zeros" in n for n in history(text, "--accuracy", "1 % + 2 counts")["notes"])
    assert history(text)["notes"] == []


def test_every_spelling_of_a_table_is_the_same_history(history: Any) -> None:
    expected = history(flow())
    german = flow().replace(",", ";").replace(".", ",")
    in_cells = flow().replace(" (µF)", "").replace("R50,50.00,", "R50,50000nF,")
    for text in (german, "\ufeff" + german, in_cells, flow().replace("\n", "\r\n")):
        assert history(text) == expected


def test_a_reference_resistor_has_a_history_too(history: Any) -> None:
    """CALC: 0.5 % of 100.3 + 0.2 is 0.7015, U = 2·0.7015/√3 = 0.8100, with 0.02 of the reference
    0.8103; 0.28 off is 0.3456 (ISO/IEC 17043)."""
    lines = ["2026-01-01,R100,100.02,0.02,100.3", "2026-02-01,R100,100.02,0.02,0.1002kohm"]
    text = "\n".join([HEADER.replace("µF", "Ω"), *lines]) + "\n"
    first, second = only(history(text, "--accuracy", "resistance 0.5 % + 2 x 0.1 ohm"))["readings"]
    assert first["difference"] == {"value": 0.28, "unit": "Ω"}
    assert first["expanded_uncertainty"]["value"] == pytest.approx(0.8103, abs=5e-5)
    assert first["en"]["value"] == pytest.approx(0.3456, abs=5e-5)
    assert second["reading"] == {"value": 100.2, "unit": "Ω"}
    no_line = only(history(text, "--accuracy", "capacitance 1 %"))["readings"][0]
    assert no_line["verdict"] == "cannot tell"


def test_a_value_newer_than_the_reading_is_refused(refused: Any, history: Any) -> None:
    def valued(day: str) -> str:
        return f"{HEADER},valued on\n{line(1, '50.1')},{day}\n{line(2, '50.1')},\n"

    assert "line 2: The reading of 2026-03-01 is older" in refused(valued("2026-03-02"))
    assert len(only(history(valued("2026-01-10")))["readings"]) == 2


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "is empty"),
        (table(), "no readings"),
        ("date,reference,value,reading\n", "no column “uncertainty”"),
        (table("31.01.2026,R,50,0.1,50"), "line 2: date: “31.01.2026” is no date. Write it like"),
        (table("2026-02-30,R,50,0.1,50"), "is no date"),
        (table("20260101,R,50,0.1,50"), "is no date"),
        (table(",R,50,0.1,50"), "date: it is empty"),
        (table(line(1, "50.1"), line(2, "OL")), "line 3: reading: “OL” is no value"),
        (table(line(1, "-50.1")), "below zero"),
        (table(line(1, "50.1", "R,50,0")), "above zero"),
        (table(line(1, "50.1", "R,0,0.1")), "above zero"),
        (table(line(1, "50.1", ",50,0.1")), "reference: it is empty"),
        (table(line(1, "50.1", "R,50,0.2 %")), "uncertainty (µF): “0.2 %” is no capacitance"),
        (table(line(1, "50.1", "R,50,")), "uncertainty: it is empty"),
        (table(line(1, "50.1ohm")), "reading (µF): “50.1ohm” is no capacitance"),
        (table(line(1, "50.1", "R,25 °C,1")), "value (µF): “25 °C” is no capacitance"),
        (table(line(1, "50.1 furlong")), "reading: The unit “furlong” is not known"),
        (flow().replace(",50.00,", ",fifty,"), "And 7 more."),
        (flow().replace("\n", ",status\n", 1), "mean nothing here: status. Known are date"),
    ],
)
def test_what_is_no_history_is_refused_in_one_line(refused: Any, text: str, says: str) -> None:
    assert says in refused(text)


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (("--accuracy", "good"), "accuracy “good”"),
        (("--lead-offset", "10uF"), "more than a tenth"),
        (("--lead-offset", "x"), "--lead-offset"),
        (("--lead-offset", "1e37uF"), "--lead-offset: “1e37uF” is more than any meter shows"),
        (("--lead-offset", "0.1ohm"), "--lead-offset: “0.1ohm” says nothing of capacitance"),
    ],
)
def test_options_that_are_none(refused: Any, options: tuple[str, ...], says: str) -> None:
    assert says in refused(flow(), *options)


def test_for_people_the_latest_and_those_that_differ(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The jump on the 3rd is one of two: the 4th is as far from it."""
    lines = [line(i, "50.10" if i != 3 else "55.00") for i in range(1, 25)]
    path = write(tmp_path, table(*lines))
    assert run(["compute", "meter-history", path, "--accuracy", ACCURACY]) == 0
    shown = capsys.readouterr().out
    assert "R50, 24 readings:" in shown
    assert "12 earlier ones are not shown" in shown
    days = [row for row in shown.splitlines() if row.startswith("  2026-")]
    assert len(days) == 12
    assert days[0].startswith("  2026-03-03   55.00 µF   +5.00")
    assert "meter differs" in days[0] and "stands out" in days[0]
    assert len({row.index("En ") for row in days}) == 1
    assert "applied to nothing" in shown
    assert shown.splitlines()[-1].startswith("Assumes: ")


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.one_of(
        st.binary(max_size=60),
        st.text('2026-01,R5.µF;()\n\r" x', max_size=60).map(lambda t: f"{HEADER}\n{t}"),
        st.lists(
            st.tuples(
                st.dates().map(str),
                st.sampled_from(["R", "S", "", "\x1b[1m"]),
                *[st.sampled_from(["50", "0.1", "1e-99", "0", "1e5 pF", "OL", "99999uF"])] * 3,
            ).map(",".join),
            max_size=12,
        ).map(lambda lines: table(*lines)),
    ),
    st.sampled_from([[], ["--json"], ["--accuracy", "1 %", "--json"], ["--accuracy", "2 counts"]]),
)
@example(table("9999-12-31,R,1e-99,1e-99,1e-99", "0001-01-01,R,99999,1e-99,0"), [])
@example(table(*["2026-01-01,R,50,1e-99,0"] * 9), ["--accuracy", "1 %", "--json"])
def test_no_file_ends_in_anything_but_an_answer_or_one_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], text: str | bytes, tail: list[str]
) -> None:
    status = run(["compute", "meter-history", write(tmp_path, text), *tail])
    shown = capsys.readouterr()
    assert status in (0, 2)
    assert (shown.out == "") == (status == 2)
    assert shown.err.count("\n") == (status == 2)
    assert "\x1b" not in shown.out + shown.err
