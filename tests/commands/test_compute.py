"""`benchmeter compute`: results, units, and one sentence for each wrong input."""

import json
from pathlib import Path

import pytest

from benchmeter.commands.main import run
from tests.commands.computing import compute, refused


# C = I/(2·pi·f·V): 45.022 µF (computed).
def test_under_load(capsys: pytest.CaptureFixture[str]) -> None:
    found = compute(
        capsys, "under-load", "--current", "6.28A", "--voltage", "370V", "--frequency", "60Hz"
    )
    assert found["capacitance"]["value"] == pytest.approx(45.022, abs=0.001)
    assert found["capacitance"]["unit"] == "µF"


def test_decimal_comma_and_prefixes_are_read(capsys: pytest.CaptureFixture[str]) -> None:
    found = compute(
        capsys, "under-load", "--current", "6280mA", "--voltage", "0,37kV", "--frequency", "60 Hz"
    )
    assert found["capacitance"]["value"] == pytest.approx(45.022, abs=0.001)


# RC·ln(V0/V), C·V0²/2, sqrt(2)·V: 1.58494 s, 6.1605 J, 523.259 V (computed).
def test_discharge_time(capsys: pytest.CaptureFixture[str]) -> None:
    options = (
        "discharge-time",
        "--capacitance",
        "45uF",
        "--voltage",
        "370V",
        "--resistance",
        "15kohm",
    )
    found = compute(capsys, *options)
    assert found["time"] == {"value": pytest.approx(1.58494, rel=1e-4), "unit": "s"}
    assert found["energy"] == {"value": pytest.approx(6.1605, rel=1e-4), "unit": "J"}
    assert found["peak"] == {"value": pytest.approx(523.259, rel=1e-5), "unit": "V"}
    longer = compute(capsys, *options, "--to", "5V")
    # ln(523.259/5) = 4.650639 (computed) times 0.675 s
    assert longer["time"]["value"] == pytest.approx(3.139181, rel=1e-5)


def test_json_may_stand_before_what(capsys: pytest.CaptureFixture[str]) -> None:
    options = ["under-load", "--current", "6.28A", "--voltage", "370V", "--frequency", "60Hz"]
    assert run(["compute", "--json", *options]) == 0
    assert "capacitance" in json.loads(capsys.readouterr().out)


def test_for_people(capsys: pytest.CaptureFixture[str]) -> None:
    assert (
        run(
            [
                "compute",
                "under-load",
                "--current",
                "6.28A",
                "--voltage",
                "370V",
                "--frequency",
                "60Hz",
            ]
        )
        == 0
    )
    assert "capacitance: 45.022" in capsys.readouterr().out


@pytest.mark.parametrize(
    "current, voltage, frequency, said",
    [
        ("6.28V", "370V", "60Hz", "--current"),
        ("6.28", "370V", "60Hz", "--current"),
        ("6.28A", "370A", "60Hz", "--voltage"),
        ("0A", "370V", "60Hz", "current"),
        ("6.28A", "0V", "60Hz", "voltage"),
        ("6.28A", "370V", "60kHz", "frequency"),
        ("six A", "370V", "60Hz", "--current"),
    ],
)
def test_under_load_refuses(
    capsys: pytest.CaptureFixture[str], current: str, voltage: str, frequency: str, said: str
) -> None:
    text = refused(
        capsys, "under-load", "--current", current, "--voltage", voltage, "--frequency", frequency
    )
    assert said in text


def test_negative_values_are_refused(capsys: pytest.CaptureFixture[str]) -> None:
    refused(capsys, "under-load", "--current=-6.28A", "--voltage", "370V", "--frequency", "60Hz")
    refused(capsys, "under-load", "--current", "-6.28A", "--voltage", "370V", "--frequency", "60Hz")


@pytest.mark.parametrize("to", ["524V", "523.3V", "0V", "50", "50Hz"])
def test_a_final_voltage_that_cannot_be_is_refused(
    capsys: pytest.CaptureFixture[str], to: str
) -> None:
    refused(
        capsys,
        "discharge-time",
        "--capacitance",
        "45uF",
        "--voltage",
        "370V",
        "--resistance",
        "15kohm",
        "--to",
        to,
    )


@pytest.mark.parametrize("arguments", [(), ("nothing",), ("under-load",), ("step-fit",)])
def test_missing_options_are_one_sentence(
    capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...]
) -> None:
    refused(capsys, *arguments)


# NIST StRD BoxBOD, certified values (b1, sd, b2).
BOXBOD = "1,109\n2,149\n3,149\n5,191\n7,213\n10,224\n"


@pytest.mark.parametrize(
    "text",
    [
        BOXBOD,
        "seconds,value\n" + BOXBOD,
        "\ufeffseconds,value\r\n" + BOXBOD.replace("\n", "\r\n"),
        BOXBOD.replace(",", ";"),
        BOXBOD.replace(",", ",0;").replace("\n", ",000\n"),
        BOXBOD.replace(",", "\t") + "\n\n",
        '"t","y"\n' + BOXBOD + "12,\n",
    ],
)
def test_step_fit_reads_tables_as_people_save_them(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, text: str
) -> None:
    path = tmp_path / "bod.csv"
    path.write_bytes(text.encode("utf-8"))
    found = compute(capsys, "step-fit", str(path), "--initial", "0")
    assert found["final"]["value"] == pytest.approx(213.80940889, rel=1e-6)
    half = (found["final"]["high"] - found["final"]["low"]) / 2
    assert half == pytest.approx(2.7764451 * 12.354515176, rel=1e-6)  # Student's t, 4 degrees
    assert found["time_constant"]["value"] == pytest.approx(1 / 0.54723748542, rel=1e-6)
    assert found["time_constant"]["unit"] == "s"
    assert found["residual"]["value"] == pytest.approx((1168.0088766 / 4) ** 0.5, rel=1e-6)
    assert found["initial"] == {"value": 0, "low": 0, "high": 0, "unit": ""}


@pytest.mark.parametrize(
    "text, said",
    [
        ("0,24\n30,oops\n60,20\n", "line 2"),
        ("t,y\n0,24\n30,22,3\n", "line 3: 3 fields"),
        ("0,24\nnan,22\n", "line 2"),
        ("0,24\n30,inf\n", "line 2"),
        ("0;1.234,5\n", "line 1"),
        ("0,1e300\n", "line 1"),
        ("43200,24\n43230,22\n43260,21\n", "43200"),
    ],
)
def test_bad_lines_are_named(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, text: str, said: str
) -> None:
    path = tmp_path / "bad.csv"
    path.write_text(text, encoding="utf-8")
    assert said in refused(capsys, "step-fit", str(path))


def test_files_that_cannot_be_read(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    refused(capsys, "step-fit", str(tmp_path / "missing.csv"))
    refused(capsys, "step-fit", str(tmp_path))
    binary = tmp_path / "picture.csv"
    binary.write_bytes(b"\xff\xfe\x00\x80")
    refused(capsys, "step-fit", str(binary))


@pytest.mark.parametrize(
    "text", ["", "t,y\n", "0,24\n30,22\n", "0,1\n1,2\n2,3\n3,4\n4,5\n5,6\n6,7.1\n"]
)
def test_no_fit_is_a_failure_and_no_number(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, text: str
) -> None:
    path = tmp_path / "short.csv"
    path.write_text(text, encoding="utf-8")
    refused(capsys, "step-fit", str(path), status=1)
