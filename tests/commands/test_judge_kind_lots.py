"""`benchmeter judge RATING --kind KIND --lot FILE`: lots of parts that are no capacitors."""

import contextlib
import csv
import io
import json
import statistics

import pytest

from benchmeter.commands.main import run

CONTACTOR = ("coil 9-14 ohm", "--kind", "contactor-one-pole")
HEATER = ("240 V, 1500 W, tester 500 V", "--kind", "heater")


@pytest.fixture
def call(tmp_path):
    def judged(text: str, *arguments: str) -> tuple[int, str, str]:
        path = tmp_path / "lot.csv"
        path.write_text(text, encoding="utf-8", newline="")
        out, err = io.StringIO(), io.StringIO()
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            data = ("--data", str(tmp_path / "data"))
            status = run(["judge", *arguments, "--lot", str(path), *data])
        return status, out.getvalue(), err.getvalue()

    return judged


@pytest.fixture
def lot(call):
    def judged(text: str, *arguments: str):
        status, out, err = call(text, *arguments, "--json")
        assert status == 0, err
        return json.loads(out)

    return judged


def test_one_column_for_each_measurement(lot):
    """Limits: 9 to 14 Ω as typed; 1 MΩ and 1 Ω of the contacts: common practice, no source."""
    found = lot(
        "part,coil (Ω),L1-T1 at rest (Mohm),l1-t1 CLOSED,where\n"
        "1,12,OL,0.2,shelf\n2,8.9,5,0.3,\n3,open,OL,1.5 ohm,\n4,12 V,200 ohm,,\n",
        *CONTACTOR,
        "--keep",
        "where",
    )
    assert [p["verdict"] for p in found["parts"]] == ["pass", "fail", "open", "fail"]
    fourth = {s["name"]: s["verdict"] for s in found["parts"][3]["sections"]}
    assert fourth == {
        "coil": "no reading", "L1-T1 at rest": "fail", "L1-T1 closed": "no reading",
    }  # fmt: skip
    assert [s["unit"] for s in found["sections"]] == ["Ω", "MΩ", "Ω"]
    assert found["bad_rows"] == []


def test_a_label_of_its_own_and_a_decimal_comma(lot):
    """Semicolons part the cells, so the comma is decimal; 240²/1000 = 57.6 Ω (CALC)."""
    found = lot(
        "part;label;element;to case\n1;;38,5;OL\n2;240 V, 1000 W, tester 500 V;57,6;OL\n3;240 V;57,6;OL\n",
        *HEATER,
    )
    assert [p["verdict"] for p in found["parts"]] == ["pass", "pass"]
    assert found["parts"][1]["sections"][0]["rated"] == 57.6
    (bad,) = found["bad_rows"]
    assert (bad["line"], "missing" in bad["why"]) == (4, True)


def test_statistics_stand_in_the_unit_of_the_section(lot):
    """Mean and standard deviation by Python's statistics; insulation beyond the range is good."""
    readings = [38.1, 38.4, 38.2, 38.9, 38.0, 38.6, 38.3, 38.7, 38.5, 38.2]
    rows = "".join(f"{i},{r},OL\n" for i, r in enumerate(readings))
    found = lot(f"part,element,to case\n{rows}", *HEATER)
    element, case = found["sections"]
    assert element["mean"]["value"] == pytest.approx(statistics.mean(readings))
    assert element["standard_deviation"]["value"] == pytest.approx(statistics.stdev(readings))
    assert element["mean_offset"]["value"] == pytest.approx(statistics.mean(readings) - 38.4)
    assert (case["beyond_range"], case["no_reading"]) == (10, 0)
    assert case["outside"]["of"] == 10
    assert (case["low"], case["high"], case["cp"]) == (1.0, None, None)


def test_a_temperature_keeps_its_zero_point(lot):
    """0 °C is 32 °F; a spread of 1 °F is 1 °F (definition of the scales)."""
    rows = "".join(f"{i},32.65,{32 + i % 2}\n" for i in range(8))
    found = lot(f"part,resistance (kohm),probe (F)\n{rows}", "type 2", "--kind", "sensor-ntc")
    probe = found["sections"][1]
    assert probe["mean"]["value"] == pytest.approx(32.5)
    assert probe["standard_deviation"]["value"] == pytest.approx(
        statistics.stdev([32, 33] * 4), rel=1e-6
    )
    assert all("conclusions" in part for part in found["parts"])


def test_the_results_as_a_table_keep_formulas_as_text(call, tmp_path):
    out = tmp_path / "out.csv"
    text = "part,element,to case,note\n=1+1,38.5,OL,=cmd\n"
    status, _, err = call(text, *HEATER, "--out", str(out), "--keep", "note")
    assert status == 0, err
    (row,) = csv.DictReader(io.StringIO(out.read_text(encoding="utf-8")))
    assert (row["part"], row["note"]) == ("'=1+1", "'=cmd")
    assert (row["element low (Ω)"], row["element reading (Ω)"]) == ("34.56", "38.5")
    assert (row["to case low (MΩ)"], row["to case high (MΩ)"]) == ("1", "")
    assert row["verdict"] == "pass"


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("part,coil\n1,12\n", "no column “L1-T1 at rest”"),
        ("part,coil,coil\n1,12,12\n", "two columns"),
        ("part,coil (V),L1-T1 at rest,L1-T1 closed\n1,12,OL,0.1\n", "no column “coil”"),
        ("part,coil,L1-T1 at rest,L1-T1 closed\n", "holds no parts"),
    ],
)
def test_a_file_that_cannot_be_used_is_one_sentence(call, text, says):
    status, out, err = call(text, *CONTACTOR)
    assert (status, out, err.count("\n")) == (2, "", 1)
    assert says in err


def test_a_lot_has_the_verdicts_of_its_parts(lot, capsys, tmp_path):
    """One part at a time and as a lot: the same words."""
    rows = [
        ("12", "OL", "0.2"),
        ("8.9", "5 Mohm", "0.2"),
        ("14.0", "OL", "1.0"),
        ("0.5", "OL", "open"),
    ]
    line = ("--accuracy", "resistance 0.5 % + 2 x 0.1 ohm", "--lead-offset", "0.1 ohm")
    body = "".join(f"{i},{','.join(row)}\n" for i, row in enumerate(rows))
    found = lot(f"part,coil,L1-T1 at rest,L1-T1 closed\n{body}", *CONTACTOR, *line)
    names = ("coil", "L1-T1 at rest", "L1-T1 closed")
    for row, part in zip(rows, found["parts"], strict=True):
        reads = [w for n, v in zip(names, row, strict=True) for w in ("--read", f"{n}={v}")]
        assert run(["judge", *CONTACTOR, *line, *reads, "--json", "--data", str(tmp_path)]) == 0
        alone = json.loads(capsys.readouterr().out)
        assert alone["sections"] == part["sections"]
        assert (alone["verdict"], alone["why"]) == (part["verdict"], part["why"])


def test_the_text_for_people(call):
    status, out, _ = call("part,element,to case\n1,38.5,OL\n2,30,5 Mohm\n", *HEATER)
    assert status == 0
    for said in (
        "1  fail   2",
        "element, 34.56 to 42.24 Ω: 2 readings",
        "to case, at least 1 MΩ: 1 reading, 1 beyond the meter's range, which is good",
        "kind of part: Heater",
    ):
        assert said in out
