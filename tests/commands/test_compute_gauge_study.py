"""`benchmeter compute gauge-study`: the handbook's study from a file, and files that are none."""

import math
from itertools import product
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from benchmeter.commands.main import run
from tests.commands import computing

# AIAG, Measurement Systems Analysis, 4th ed., ch. III: ten parts, three appraisers, three trials
# (from memory; the mean squares agree with the printed table, see tests/conformity). Here as µF on
# top of 45 µF, which changes no mean square: 9.81799 (parts, 9), 1.58363 (operators, 2),
# 0.01994 (interaction, 18), 0.04598 (repeats, 60).
AIAG = {
    "A": "0.29 0.41 0.64 -0.56 -0.68 -0.58 1.34 1.17 1.27 0.47 0.50 0.64 -0.80 -0.92 -0.84 "
    "0.02 -0.11 -0.21 0.59 0.75 0.66 -0.31 -0.20 -0.17 2.26 1.99 2.01 -1.36 -1.25 -1.31",
    "B": "0.08 0.25 0.07 -0.47 -1.22 -0.68 1.19 0.94 1.34 0.01 1.03 0.20 -0.56 -1.20 -1.28 "
    "-0.20 0.22 0.06 0.47 0.55 0.83 -0.63 0.08 -0.34 1.80 2.12 2.19 -1.68 -1.62 -1.50",
    "C": "0.04 -0.11 -0.15 -1.38 -1.13 -0.96 0.88 1.09 0.67 0.14 0.20 0.11 -1.46 -1.07 -1.45 "
    "-0.29 -0.67 -0.49 0.02 0.01 0.21 -0.46 -0.56 -0.49 1.77 1.45 1.87 -1.49 -1.77 -2.16",
}
OPERATOR2 = (1.58363 - 0.01994) / 30  # expected mean squares; the interaction counts as zero
PART2 = (9.81799 - 0.01994) / 9
METER2 = 0.04598 + OPERATOR2


def aiag(separator: str = ",", header: str = "part,operator,reading (µF)") -> str:
    lines = [header]
    for operator, values in AIAG.items():
        for i, value in enumerate(values.split()):
            lines.append(f"P{i // 3 + 1},{operator},{45 + float(value):.2f}")
    text = "\n".join(lines) + "\n"
    if separator != ",":
        text = text.replace(",", separator).replace(".", ",")
    return text


def write(folder: Path, text: str | bytes) -> str:
    path = folder / "study.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return str(path)


@pytest.fixture
def study(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Any:
    def computed(text: str | bytes, *options: str) -> dict[str, Any]:
        return computing.compute(capsys, "gauge-study", write(tmp_path, text), *options)

    return computed


@pytest.fixture
def refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Any:
    def said(text: str | bytes, *options: str) -> str:
        return computing.refused(capsys, "gauge-study", write(tmp_path, text), *options, "--json")

    return said


def small(**changed: str) -> str:
    """Two parts, two operators, two readings; `p1Ann0="…"` changes one of them."""
    lines = ["part,operator,reading"]
    for part, operator, i in product(("p1", "p2"), ("Ann", "Bo"), (0, 1)):
        reading = changed.get(f"{part}{operator}{i}", f"{44.5 + (part == 'p2') + i / 10:.1f}")
        lines.append(f"{part},{operator},{reading}")
    return "\n".join(lines) + "\n"


def test_the_study_of_the_handbook(study: Any) -> None:
    found = study(aiag())
    assert [found[n]["value"] for n in ("parts", "operators", "repeats")] == [10, 3, 3]
    for name, value, unit in (
        ("repeatability", math.sqrt(0.04598), "µF"),
        ("reproducibility", math.sqrt(OPERATOR2), "µF"),
        ("meter", math.sqrt(METER2), "µF"),
        ("part_to_part", math.sqrt(PART2), "µF"),
        ("meter_share_of_variance", 100 * METER2 / (METER2 + PART2), "%"),
    ):
        assert found[name]["value"] == pytest.approx(value, rel=1e-4), name
        assert found[name]["unit"] == unit
    assert found["distinct_categories"]["value"] == 4
    assert found["meter_share_of_tolerance"]["value"] is None
    assert found["notes"] == []


def test_the_interval_of_the_repeatability(study: Any) -> None:
    """s·√(ν/χ²), e-Handbook 1.3.5.8; χ²(60) is 40.482 and 83.298 at 2.5 % and 97.5 % (tables)."""
    found = study(aiag())["repeatability"]
    assert found["low"] == pytest.approx(math.sqrt(60 * 0.04598 / 83.298), rel=1e-4)
    assert found["high"] == pytest.approx(math.sqrt(60 * 0.04598 / 40.482), rel=1e-4)


@pytest.mark.parametrize("width", ["5.4uF", "5,4 µF", "5400nF"])
def test_six_deviations_of_the_meter_in_the_tolerance_width(study: Any, width: str) -> None:
    """AIAG (from memory): 6 s over the width. 45 µF ±6 % is 5.4 µF wide."""
    found = study(aiag(), "--tolerance-width", width)
    share = found["meter_share_of_tolerance"]
    assert share["value"] == pytest.approx(600 * math.sqrt(METER2) / 5.4, rel=1e-4)
    assert share["low"] == pytest.approx(600 * found["meter"]["low"] / 5.4)
    assert share["high"] == pytest.approx(600 * found["meter"]["high"] / 5.4)


@pytest.mark.parametrize(
    "text",
    [
        aiag(";", "part;operator;reading (µF)"),
        b"\xef\xbb\xbf" + aiag().encode(),
        aiag("\t", "part\toperator\treading"),
        aiag(header="Part,OPERATOR,Reading [MFD]").replace("\n", "\r\n"),
    ],
    ids=["decimal comma", "byte order mark", "tab", "CRLF"],
)
def test_every_spelling_of_a_table_is_the_same_study(study: Any, text: str | bytes) -> None:
    assert study(text) == study(aiag())


def test_units_of_the_column_and_of_the_cell(study: Any) -> None:
    in_nanofarad = small().replace("reading", "reading (nF)").replace(".", "")
    in_nanofarad = "\n".join(f"{x}00" if x[-1].isdigit() else x for x in in_nanofarad.splitlines())
    expected = study(small())
    for text in (in_nanofarad, small(p1Ann0="44500nF", p1Ann1="44.6 µF")):
        found = study(text)
        assert found["part_to_part"]["value"] == pytest.approx(expected["part_to_part"]["value"])
        assert found["meter"]["value"] == pytest.approx(expected["meter"]["value"])


def test_a_study_of_resistors_is_the_same_in_ohm(study: Any) -> None:
    """The same numbers in another unit: only the unit of the results is another."""
    expected, found = study(small()), study(small().replace("reading", "reading (Ω)"))
    assert found["meter"]["value"] == pytest.approx(expected["meter"]["value"])
    assert (expected["meter"]["unit"], found["meter"]["unit"]) == ("µF", "Ω")
    kilo = study(small().replace("reading", "reading (kΩ)"), "--tolerance-width", "5.4kohm")
    assert kilo["part_to_part"]["value"] == pytest.approx(expected["part_to_part"]["value"])
    assert kilo["part_to_part"]["unit"] == "kΩ"


def test_one_operator_has_an_interval_for_the_share_and_no_reproducibility(study: Any) -> None:
    """Shrout and Fleiss (1979), ICC(1,1) 0.17, limits -0.13 and 0.72 (from memory)."""
    ratings = ["9 2 5 8", "6 1 3 2", "8 4 6 8", "7 1 2 6", "10 5 6 9", "6 2 4 7"]
    lines = [f"t{i},me,{v}" for i, row in enumerate(ratings) for v in row.split()]
    found = study("part,operator,reading\n" + "\n".join(lines))
    share = found["meter_share_of_variance"]
    assert [round(share[n]) for n in ("value", "low", "high")] == [83, 28, 100]
    assert found["reproducibility"]["value"] is None
    assert any("one operator" in note for note in found["notes"])


def test_a_small_study_says_so(study: Any) -> None:
    notes = " ".join(study(small())["notes"])
    assert "2 parts say little" in notes
    assert "2 operators say little" in notes


def test_a_meter_coarser_than_its_scatter_is_not_called_perfect(study: Any) -> None:
    same = {f"p2{o}{i}": "45.5" for o in ("Ann", "Bo") for i in (0, 1)}
    same |= {f"p1{o}{i}": "44.5" for o in ("Ann", "Bo") for i in (0, 1)}
    found = study(small(**same))
    assert found["repeatability"]["value"] == 0
    assert any("last digit" in note for note in found["notes"])
    equal = study(small(**dict.fromkeys(same, "45.0")))
    assert equal["meter_share_of_variance"]["value"] is None
    assert any("no spread" in note for note in equal["notes"])


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (small().rsplit("\n", 2)[0], "Part p2 has 1 readings by Bo, another has 2."),
        ("\n".join(small().splitlines()[:5]), "two parts or more"),
        ("\n".join(small().splitlines()[::2]), "each measured twice"),
        ("part,operator,reading\np1,Ann,44\np2,Ann,45\n", "each measured twice"),
        ("part,operator,reading\n", "no readings"),
        ("", "is empty"),
        ("part,operator\np1,Ann\n", "no column “reading”"),
        ("part,operator,reading,READING\n1,a,2,3\n", "two columns “reading”"),
        ("part,operator,reading (kg)\n1,a,2\n", "“kg” is not known"),
        ("part,operator,reading (°C)\n1,a,2\n", "reading (°C): “2” is no capacitance"),
        (small(p1Ann1="OL"), "line 3: reading: “OL” is no value. Take the line out."),
        (small(p1Ann1=""), "line 3: reading: it is empty."),
        (small(p1Ann1="-0.1"), "line 3: reading: “-0.1” is below zero"),
        (small(p1Ann1="44.6V"), "Some readings are in µF and some in V."),
        (small(p1Ann1="44.6,7"), "line 3: It has 4 cells"),
        (small(p1Ann1='"1,234"'), "line 3: reading: “1,234” may be"),
        (small(p1Ann1="x", p2Ann1="y"), "line 3: reading: “x” is no value. line 7:"),
        (small().replace("p1,Bo", "p1,"), "line 4: operator: it is empty. line 5:"),
        (b"part,operator,reading\n\xff\n", "is not a text file" ),
    ],
)  # fmt: skip
def test_what_is_no_study_is_refused_in_one_line(
    refused: Any, text: str | bytes, says: str
) -> None:
    assert says in refused(text)


def test_many_bad_lines_are_counted(refused: Any) -> None:
    said = refused(small().replace(".", "x"))
    assert "line 2:" in said and "line 4:" in said and "line 5:" not in said
    assert "And 5 more." in said


@pytest.mark.parametrize("width", ["0uF", "-5uF", "5.4", "5.4V", "wide"])
def test_a_tolerance_width_that_is_none(refused: Any, width: str) -> None:
    assert "width" in refused(aiag(), f"--tolerance-width={width}")


def test_no_such_file(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    assert run(["compute", "gauge-study", str(tmp_path / "none.csv")]) == 2
    assert "cannot be read" in capsys.readouterr().err


def test_for_people_in_a_few_lines(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = write(tmp_path, aiag())
    assert run(["compute", "gauge-study", path, "--tolerance-width", "5.4uF"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].startswith("10 parts, 3 operators, 3 readings each")
    share = next(line for line in lines if "share of the variance" in line)
    assert "8.27 %" in share and share.endswith("no interval")  # METER2 over METER2 + PART2
    assert len({line.index("µF") for line in lines if "µF   " in line and "0." in line}) == 1
    assert lines[-2].startswith("Source: ") and lines[-1].startswith("Assumes: ")


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.one_of(st.binary(max_size=60), st.text("part,operat;dg\"'()µF\n\r\t 0145.-x", max_size=80)),
    st.sampled_from([[], ["--json"]]),
)
@example("part,operator,reading\n1,a,1e-99\n1,a,2e-99\n2,a,1e-99\n2,a,1e-99\n", ["--json"])
@example('part,operator,reading\n"1\n2",a,1\n', [])
@example(small().replace("p1", "p" * 5000)[:-10], [])
def test_no_file_ends_in_anything_but_an_answer_or_one_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], text: str | bytes, tail: list[str]
) -> None:
    path = write(tmp_path, text)
    status = run(["compute", "gauge-study", path, "--tolerance-width", "5.4uF", *tail])
    shown = capsys.readouterr()
    assert status in (0, 2)
    assert (shown.out == "") == (status == 2)
    assert shown.err.count("\n") == (status == 2)
    assert len(shown.err) < 1000
