"""`benchmeter judge RATING --lot FILE`, as scripts and spreadsheets rely on it."""

import contextlib
import csv
import io
import json
import re
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from benchmeter.checking import judged_lot
from benchmeter.commands import progress
from benchmeter.commands.main import run
from benchmeter.files import table_records
from benchmeter.tasks.lot_judge import LotJudge

RATING = "45/5 uF ±6% 440 V"
ACCURACY = "1.2% + 2 x 0.01uF"


def call(*arguments: str) -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        status = run(["judge", *arguments])
    return status, out.getvalue(), err.getvalue()


@pytest.fixture
def lot(tmp_path):
    """Judges the text of a file; gives the JSON."""

    def judged(text: str | bytes, *arguments: str, rating: str = RATING):
        path = tmp_path / "lot.csv"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        status, out, err = call(rating, "--lot", str(path), "--json", *arguments)
        assert status == 0, err
        found = json.loads(out)
        assert err.count("\n") == len(found["bad_rows"])
        return found

    return judged


@pytest.fixture
def refused(tmp_path):
    """Judges the text of a file that cannot be used; gives the one sentence."""

    def said(text: str | bytes, *arguments: str, rating: str = RATING) -> str:
        path = tmp_path / "lot.csv"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        status, out, err = call(rating, "--lot", str(path), "--json", *arguments)
        assert (status, out, err.count("\n")) == (2, "", 1)
        return err

    return said


@pytest.fixture
def table(tmp_path):
    """Judges the text of a file; gives the results as a spreadsheet reads them."""

    def read(text: str, *arguments: str, rating: str = RATING) -> list[dict[str, str]]:
        path, out = tmp_path / "lot.csv", tmp_path / "results.csv"
        path.write_text(text, encoding="utf-8", newline="")
        status, _, err = call(rating, "--lot", str(path), "--out", str(out), *arguments)
        assert status == 0, err
        raw = out.read_bytes()
        assert raw.count(b"\n") == raw.count(b"\r\n")  # RFC 4180 cl. 2.1
        rows = list(csv.reader(io.StringIO(raw.decode("utf-8"), newline=""), strict=True))
        assert len({len(row) for row in rows}) == 1
        return [dict(zip(rows[0], row, strict=True)) for row in rows[1:]]

    return read


def words(found) -> list[str]:
    return [part["verdict"] for part in found["parts"]]


def test_a_lot_of_dual_parts(lot):
    """CALC: 45/5 ±6 % is 42.3 to 47.7 and 4.7 to 5.3."""
    found = lot("part,HERM,FAN\nA1,44.10,5.01\nA2,40.00,5.01\nA3,45.00,4.50\n")
    assert words(found) == ["pass", "fail", "fail"]
    assert found["counts"] == {"fail": 2, "pass": 1}
    assert [p["part"] for p in found["parts"]] == ["A1", "A2", "A3"]
    assert [p["line"] for p in found["parts"]] == [2, 3, 4]
    fan = found["parts"][2]["sections"][1]
    assert (fan["name"], fan["reading"], fan["low"], fan["verdict"]) == ("FAN", 4.5, 4.7, "fail")
    herm = found["sections"][0]
    assert (herm["name"], herm["low"], herm["high"], herm["count"]) == ("HERM", 42.3, 47.7, 3)
    assert (herm["outside"]["count"], herm["outside"]["of"]) == (1, 3)
    assert (herm["enough"], herm["mean"], herm["cp"]) == (False, None, None)


@pytest.mark.parametrize(
    "text",
    [
        "part;HERM;FAN\n7;44,10;5,010\n",
        "\ufeffpart;HERM;FAN\r\n7;44,10;5,010\r\n",
        "sep=;\npart;HERM;FAN\n7;44,10;5,010\n",
        "FAN\tPart\tHERM\n5.010\t7\t44.10\n",
        'part,"HERM","FAN"\n7,"44,10","5.010"\n',
        "part,C-HERM,fan (uF)\n7,44.10uF,5.010\n",
        "part,HERM [nF],FAN (µF)\n7,44100,5.010\n",
        "part,HERM,FAN\r7,44.10,5.010\r",
        "\n\npart;HERM;FAN;;\n\n7;44,10;5,010;;\n;;;;\n",
    ],
)
def test_as_spreadsheets_write_it(lot, text):
    found = lot(text)
    part = found["parts"][0]
    assert (len(found["parts"]), part["part"], found["bad_rows"]) == (1, "7", [])
    assert [s["reading"] for s in part["sections"]] == [44.1, 5.01]


def test_a_column_without_any_separator(lot):
    found = lot("reading\n44,1\n43.9\n", rating="45 µF ±6 %")
    assert [p["sections"][0]["reading"] for p in found["parts"]] == [44.1, 43.9]
    assert [p["part"] for p in found["parts"]] == ["1", "2"]


def test_a_decimal_comma_among_commas_is_not_guessed(lot):
    """44,1,5,0 may be anything."""
    found = lot("part,HERM,FAN\n1,44,1,5,0\n2,45,5\n")
    assert [b["line"] for b in found["bad_rows"]] == [2]
    assert words(found) == ["pass"]


def test_words_for_a_reading(lot):
    found = lot("HERM;FAN\nOL;open\nshort;5\n45;\n-;-\n")
    assert words(found) == ["open", "shorted", "no reading", "no reading"]
    herm, fan = found["sections"]
    assert (herm["shorted"], herm["no_reading"], fan["open"], fan["no_reading"]) == (1, 2, 1, 2)


def test_a_label_of_its_own(lot):
    """35 µF ±6 % is 32.9 to 37.1 (CALC); the tolerance of the command is lent to a bare label."""
    found = lot(
        "part,label,HERM,FAN,reading\n1,,45,5,\n2,35 µF ±6 %,,,33\n3,35 µF,,,33\n4,45/5 µF ±10 %,41,5,\n",
        "--tolerance",
        "5 %",
        rating="45/5 µF",
    )
    assert words(found) == ["pass", "pass", "fail", "pass"]
    assert [s["low"] for s in found["sections"]] == [42.75, 4.75, 32.9, 33.25, 40.5, 4.5]
    assert found["parts"][1]["label"] == "35 µF ±6 %"


def test_trouble_in_one_row_leaves_the_others_alone(lot):
    found = lot(
        "part;label;HERM;FAN;reading\n"
        "1;;abc;5;\n"
        "2;banana;44;5;\n"
        "3;;44;5\n"
        "4;;44 min;5;\n"
        '"5;;44;5;\n'
        "6;35 µF ±6 %;44;;33\n"
        "7;;44;5;\n"
        "8;88 µF;;;90\n"
    )
    assert [b["line"] for b in found["bad_rows"]] == [2, 3, 4, 5, 6, 7, 9]
    assert [p["part"] for p in found["parts"]] == ["7"]
    why = [b["why"] for b in found["bad_rows"]]
    for text, says in zip(
        why,
        ("abc", "banana", "4 cells", "HERM: ", "quotation", "no such section", "tolerance"),
        strict=True,
    ):
        assert says in text


def test_an_open_quotation_mark_swallows_no_part(lot):
    """A mark that closes by chance, lines further down, may not make one part of three."""
    found = lot(
        'part,HERM,FAN,remark\n"1,44,5,\n2,45,5,\n3",46,5,\n4,45,5,"two\nlines"\n',
        "--keep",
        "remark",
    )
    assert [(p["part"], p["line"]) for p in found["parts"]] == [("2", 3), ('3"', 4), ("4", 5)]
    assert [b["line"] for b in found["bad_rows"]] == [2]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "is empty"),
        ("\ufeff\r\n ; ; \n", "is empty"),
        ("part,HERM,FAN\n", "holds no parts"),
        ("part,HERM\n1,45\n", "no column “FAN”"),
        ("part,HERM,FAN (mF)\n1,45,5\n", "no column “FAN”"),
        ("part,label,HERM\n1,,45\n", "no column “FAN”"),
        ("1,45,5\n2,44,5\n", "no column “HERM”"),
        ("part,HERM,FAN,herm\n1,45,5,45\n", "two columns “herm”"),
        ('part,HERM,"FAN\n1,45,5\n', "line 1"),
        (b"part,HERM,FAN\n1,45\xb5F,5\n", "UTF-8"),
        ("part,HERM,FAN\n1,45,5\n".encode("utf-16"), "UTF-8"),
    ],
)
def test_a_file_that_cannot_be_used_is_one_sentence(refused, text, says):
    assert says in refused(text)


def test_options_that_do_not_go_together(tmp_path):
    path = tmp_path / "lot.csv"
    text = "HERM,FAN\n45,5\n"
    path.write_text(text)
    for arguments, says in (
        (("--lot", str(path), "--read", "HERM=45"), "--read"),
        (("--out", str(path)), "--lot"),
        (("--lot", str(path), "--out", str(path)), "overwrite"),
        (("--lot", str(tmp_path / "none.csv")), "No such file"),
        (("--lot", str(tmp_path)), "directory"),
    ):
        status, out, err = call(RATING, *arguments)
        assert (status, out, err.count("\n")) == (2, "", 1)
        assert says in err
    assert path.read_text() == text
    status, _, err = call(RATING, "--lot", str(path), "--out", str(tmp_path / "no" / "r.csv"))
    assert (status, err.count("\n")) == (1, 1)


@pytest.mark.parametrize("name", ["colour", "cable", "HERM (mF)", "reading 2", ""])
def test_a_column_that_means_nothing_is_refused_by_name(refused, name):
    """What it holds may say that the readings are none: nothing is passed by in silence."""
    said = refused(f"part,HERM,{name},FAN\n1,45,x,5\n")
    assert f"columns that mean nothing here: {name or '#3'}. " in said
    assert "Known are part, label, HERM, FAN, reading, unit, function and status." in said
    assert "--keep" in said


def test_only_a_column_without_a_meaning_can_be_kept(refused):
    assert "“status” means something" in refused("status,HERM,FAN\nhold,45,5\n", "--keep", "Status")
    assert "no column “shelf”" in refused("HERM,FAN\n45,5\n", "--keep", "shelf")
    status, _, err = call(RATING, "--read", "HERM=45", "--keep", "shelf")
    assert (status, "--lot" in err) == (2, True)


@pytest.mark.parametrize(
    ("head", "row", "verdict"),
    [
        ("HERM,FAN,unit", "44100,5010,nF", "pass"),
        ("HERM,FAN,unit", "44.1,5.01,nF", "open"),
        ("HERM,FAN,Units", "44.1,5.01,uF", "pass"),
        ("HERM,FAN,unit", "44.1,5.01,", "pass"),
        ("HERM,FAN,unit", "44.1,5.01,V", "no reading"),
        ("HERM,HERM unit,FAN,fan unit", "44100,nF,5.01,µF", "pass"),
        ("HERM,FAN,status", "44.1,5.01,ok", "pass"),
        ("HERM,FAN,status", "44.1,5.01,HOLD", "no reading"),
        ("HERM,FAN,status", "44.1,5.01,overload", "no reading"),
        ("HERM,FAN,status", "open,open,hold", "no reading"),
        ("HERM,FAN,FAN status", "44.1,5.01,hold", "no reading"),
        ("HERM,FAN,function", "44.1,5.01,capacitance", "pass"),
        ("HERM,FAN,function", "44.1,5.01,resistance", "no reading"),
    ],
)
def test_what_a_row_says_of_its_readings_is_honoured(lot, head, row, verdict):
    """45 µF ±6 % is 42.3 to 47.7 (CALC); a held display shows an old reading."""
    found = lot(f"{head}\n{row}\n")
    assert words(found) == [verdict]


@pytest.mark.parametrize(
    ("head", "row", "says"),
    [
        ("HERM (µF),FAN (µF),unit", "44100,5010,nF", "nF, is not µF"),
        ("HERM,FAN,unit", "44.1 uF,5010,nF", "nF, is not uF"),
        ("HERM,FAN,unit", "44.1,5.01,furlong", "furlong"),
        ("HERM,FAN,status", "44.1,5.01,peak", "“peak”"),
        ("HERM,FAN,function", "44.1,5.01,weight", "“weight”"),
    ],
)
def test_a_row_that_contradicts_itself_is_not_judged(lot, head, row, says):
    found = lot(f"{head}\n{row}\n")
    assert (found["parts"], len(found["bad_rows"])) == ([], 1)
    assert says in found["bad_rows"][0]["why"]


def test_ratings_without_number_cost_no_memory(lot, monkeypatch):
    """Each has statistics of its own: those beyond the most that are kept are told to be left out."""
    monkeypatch.setattr(judged_lot, "_MOST_SECTIONS", 2)
    rows = "".join(f"{value} µF ±6 %,{value}\n" for value in (35, 40, 35, 45))
    found = lot(f"label,reading\n{rows}", rating="45 µF ±6 %")
    assert words(found) == ["pass"] * 4
    assert [(s["rated"], s["count"]) for s in found["sections"]] == [(35, 2), (40, 1)]
    assert "more than 2 ratings" in found["notes"][-1]


class _Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_a_person_sees_how_far_it_has_come_and_can_cancel(tmp_path, monkeypatch):
    """Small blocks and no wait between two lines: a large file in a short test."""
    monkeypatch.setattr(table_records, "_BLOCK", 20_000)
    monkeypatch.setattr(progress, "_EVERY_S", 0)
    path, out, err = tmp_path / "lot.csv", io.StringIO(), _Terminal()
    path.write_text("part,HERM,FAN\n" + "1,45,5\n" * 20_000)
    results = tmp_path / "results.csv"
    judged, judge = [], LotJudge.judge

    def cancelled(self, batch, before):
        judged.append(batch)
        if len(judged) == 4:
            raise KeyboardInterrupt
        return judge(self, batch, before)

    monkeypatch.setattr(LotJudge, "judge", cancelled)
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        status = run(["judge", RATING, "--lot", str(path), "--out", str(results)])
    assert (status, out.getvalue(), results.exists()) == (1, "", False)
    assert re.search(r"\r\d{4} rows judged, \d\d % of the file", err.getvalue())
    assert err.getvalue().splitlines()[-1].startswith("benchmeter: Cancelled: lot.csv was not")


def test_the_results_as_a_table(table):
    rows = table(
        "part;FAN;HERM;shelf\n7;5,01;44,10;left\n8;;42,50;right\n9;x;45;left\n",
        "--accuracy",
        ACCURACY,
        "--keep",
        "shelf",
    )
    assert [(r["part"], r["verdict"], r["shelf"], r["line"]) for r in rows] == [
        ("7", "pass", "left", "2"),
        ("8", "no reading", "right", "3"),
        ("9", "not judged", "left", "4"),
    ]
    # CALC: ±(1.2 % + 2 × 0.01) at 44.10 is 0.5492; U = 2·0.5492/√3 = 0.63416
    assert (rows[0]["HERM reading (µF)"], rows[0]["HERM U (µF)"]) == ("44.1", "0.634162")
    assert (rows[0]["FAN low (µF)"], rows[0]["FAN high (µF)"]) == ("4.7", "5.3")
    assert (rows[1]["HERM verdict"], rows[1]["FAN verdict"]) == ("conditional pass", "no reading")
    assert rows[1]["FAN reading (µF)"] == ""
    assert "“x” is no reading" in rows[2]["why"]


def test_formulas_stay_text(table):
    """What a spreadsheet would compute gets an apostrophe (common practice, no source)."""
    rows = table(
        'part,reading,=A1,verdict\n=1+2,45,"=HYPERLINK(""x"")",@SUM(A1)\n+1+2,45,-1+2,-0.5\n'
        ' =1,=44+1,"\t=1",plain\n',
        *("--keep", "=A1", "--keep", "verdict"),
        rating="45 µF ±6 %",
    )
    assert [r["part"] for r in rows] == ["'=1+2", "'+1+2", "'=1"]
    assert [r["'=A1"] for r in rows] == ['\'=HYPERLINK("x")', "'-1+2", "'\t=1"]
    assert [r["verdict (as given)"] for r in rows] == ["'@SUM(A1)", "-0.5", "plain"]
    assert [r["verdict"] for r in rows] == ["pass", "pass", "not judged"]


def test_statistics_of_a_lot(lot):
    """Ten readings 44.0 to 44.9: mean 44.45, s 0.302765 (CALC); t of 9 degrees of freedom 2.262157
    (table of Student's t)."""
    text = "part,HERM,FAN\n" + "".join(f"{i},44.{i},5.00\n" for i in range(10))
    herm, fan = lot(text)["sections"]
    half = 2.262157 * 0.302765 / 10**0.5
    for name, middle in (("mean", 44.45), ("mean_offset", -0.55)):
        assert herm[name]["value"] == pytest.approx(middle, abs=1e-9)
        assert herm[name]["low"] == pytest.approx(middle - half, abs=1e-6)
        assert herm[name]["high"] == pytest.approx(middle + half, abs=1e-6)
    assert herm["standard_deviation"]["value"] == pytest.approx(0.302765, abs=1e-6)
    assert herm["trend"]["slope_per_part"]["value"] == pytest.approx(0.1)
    assert (herm["histogram"]["edges"][0], herm["histogram"]["edges"][-1]) == (42.3, 47.7)
    assert sum(herm["histogram"]["counts"]) == 10
    assert (herm["cp"], herm["no_capability"]) == (None, "too few readings")
    assert fan["standard_deviation"]["value"] == 0


def test_the_text_for_people(tmp_path):
    path = tmp_path / "lot.csv"
    path.write_text("part,HERM,FAN\n1,45.01,5\n2,40.00,5\n3,44.10,x\n")
    status, out, err = call(RATING, "--lot", str(path))
    assert (status, err.count("line 4")) == (0, 1)
    for piece in (
        "2 parts judged",
        "1 row could not be read",
        "1  fail   2\n",
        "1  pass\n",
        "outside the limits: 1 of 2",
        "too small to say anything else",
        "accuracy is not known",
    ):
        assert piece in out
    path.write_text(
        "HERM,FAN\n" + "".join(f"{44 + i % 9 / 10:.2f},5.0{i % 3}\n" for i in range(30))
    )
    status, out, err = call(RATING, "--lot", str(path))
    assert (status, err) == (0, "")
    for piece in ("30 parts", "mean 44.37", "standard deviation", "Cp ", "Cpk ", "no trend seen"):
        assert piece in out


def test_a_trend_is_told(tmp_path):
    path = tmp_path / "lot.csv"
    for sign, word in ((1, "rising"), (-1, "falling")):
        rows = (f"{45 + sign * i / 20 + i % 3 / 50:.2f}\n" for i in range(20))
        path.write_text("reading\n" + "".join(rows))
        assert f"in the order of measuring: {word}" in call("45 µF ±6 %", "--lot", str(path))[1]


def test_the_lead_offset_must_suit_each_part(lot):
    """No more than a tenth of the part, else the leads were not open."""
    found = lot(
        "label,reading\n5 µF ±6 %,5.8\n45 µF ±6 %,45.8\n",
        "--lead-offset",
        "0.8uF",
        rating="45 µF ±6 %",
    )
    assert ([b["line"] for b in found["bad_rows"]], words(found)) == ([2], ["pass"])


def test_a_control_character_never_reaches_the_terminal(tmp_path):
    path = tmp_path / "lot.csv"
    path.write_text("part,reading\n\x1b[31mA,40\n\x1b[31mA,40\n1,\x1b[31m\n")
    _, out, err = call("45 µF ±6 %", "--lot", str(path))
    assert "\x1b" not in out + err


def test_odd_things_are_noted(lot):
    found = lot("part,HERM,FAN\n7,45,5\n7,45.1,5\n")
    assert any("part 7" in note for note in found["notes"])
    found = lot("part,HERM,FAN\n7,45,5\n8,45.1,5\n", "--accuracy", "1 % + 2 counts")
    assert any("drops zeros" in note for note in found["notes"])
    found = lot("part,HERM,FAN\n7,45,5\n8,45.1,5\n", "--accuracy", "1 % + 2 x 0.1 µF")
    assert found["notes"] == []


_readings = st.one_of(
    st.decimals(0, 60, places=2).map(str),
    st.decimals(40, 50, places=1).map(lambda d: f"{d} µF".replace(".", ",")),
    st.sampled_from(["OL", "open", "short", "", "0.2ohm"]),
)


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.lists(st.tuples(_readings, _readings), min_size=1, max_size=6),
    st.sampled_from(["guarded", "simple"]),
    st.sampled_from([(), ("--accuracy", ACCURACY), ("--accuracy", "1.9 % + 4 counts")]),
    st.sampled_from([(), ("--lead-offset", "0.02uF")]),
)
def test_a_lot_has_the_verdicts_of_its_parts(tmp_path, readings, rule, accuracy, offset):
    path = tmp_path / "lot.csv"
    path.write_text("FAN;part;HERM\n" + "".join(f"{f};p;{h}\n" for h, f in readings))
    terms = ("--rule", rule, *accuracy, *offset, "--json")
    status, out, _ = call(RATING, "--lot", str(path), *terms)
    found = json.loads(out)
    parts = found["parts"]
    assert (status, len(parts)) == (0, len(readings))
    assert found["counts"] == Counter(words(found))
    for (herm, fan), part in zip(readings, parts, strict=True):
        reads = [f"--read={n}={r}" for n, r in (("HERM", herm), ("FAN", fan)) if r]
        _, single, _ = call(RATING, *reads, *terms)
        expected = json.loads(single)
        assert {k: part[k] for k in ("verdict", "why", "sections")} == {
            k: expected[k] for k in ("verdict", "why", "sections")
        }


_csv_text = st.one_of(
    st.text(max_size=60),
    st.lists(
        st.sampled_from(
            [
                *(
                    "part",
                    "HERM",
                    "FAN",
                    "label",
                    "reading",
                    ",",
                    ";",
                    "\t",
                    "\n",
                    "\r\n",
                    '"',
                    "'",
                ),
                *("44.1", "5,0", "=1+2", "@", "µF", "OL", "1e99", "1e-99", "35 µF ±6 %", "−", " "),
                "\x00",
            ]
        ),
        max_size=40,
    ).map("".join),
)


@settings(max_examples=300, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(_csv_text, st.booleans(), st.sampled_from([RATING, "45 µF ±6 %"]))
@example("x" * 200_000 + ",HERM,FAN\n1,2,3\n", True, RATING)
@example('HERM,FAN\n"' + "x" * 200_000 + "\n45,5\n", True, RATING)
def test_any_text_ends_in_verdicts_or_in_status_2(tmp_path, text, headed, rating):
    path = tmp_path / "lot.csv"
    head = "part,HERM,FAN,reading,label\n" if headed else ""
    path.write_bytes((head + text).encode("utf-8", "surrogatepass"))
    out = tmp_path / "results.csv"
    status, shown, err = call(rating, "--lot", str(path), "--json", "--out", str(out))
    assert status in (0, 2)
    if status == 2:
        assert (shown, err.count("\n")) == ("", 1)
        return
    found = json.loads(shown)
    with out.open(encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file, strict=True))
    assert len(rows) == 1 + len(found["parts"]) + len(found["bad_rows"])


@settings(max_examples=50, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.binary(max_size=80))
def test_any_bytes_end_in_verdicts_or_in_status_2(tmp_path, data):
    path = tmp_path / "lot.csv"
    path.write_bytes(data)
    assert call("45 µF ±6 %", "--lot", str(path))[0] in (0, 2)


def test_many_open_quotation_marks_cost_a_row_each(tmp_path):
    """Each starts again at the next line."""
    path = tmp_path / "lot.csv"
    path.write_text("part,HERM,FAN\n" + '"a,45,5\n' * 5000)
    status, out, _ = call(RATING, "--lot", str(path), "--json")
    assert (status, len(json.loads(out)["bad_rows"])) == (0, 5000)


def test_a_single_verdict_loads_nothing_of_it():
    code = (
        "import sys; from benchmeter.commands.main import run; run(['judge', '5 µF ±6 %', '--read', '5']);"
        "sys.exit(any(m in sys.modules for m in ('numpy', 'scipy', 'csv', 'benchmeter.tasks.judging')))"
    )
    done = subprocess.run(
        [sys.executable, "-X", "utf8", "-c", code], capture_output=True, check=False
    )
    assert done.returncode == 0


def test_the_way_a_user_calls_it(tmp_path):
    path: Path = tmp_path / "lot.csv"
    path.write_text("part,reading\n1,44.1\n")
    done = subprocess.run(
        [
            sys.executable,
            "-X",
            "utf8",
            "-m",
            "benchmeter",
            "judge",
            "45 µF ±6 %",
            "--lot",
            str(path),
        ],
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert "1 part judged" in done.stdout


def test_a_point_that_may_part_thousands_costs_its_row_and_is_told(lot):
    found = lot("part;HERM;FAN\n1;44.100;5\n2;44.1;5,010\n")
    assert [p["sections"][0]["reading"] for p in found["parts"]] == [44.1]
    assert "“44.100” may be 44,100 or 44100" in found["bad_rows"][0]["why"]
