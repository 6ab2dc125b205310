"""A decimal comma at the command line: in what the label gives, in readings, in an accuracy."""

import json

import pytest

from benchmeter.commands.main import run


def judged(capsys, tmp_path, *arguments: str):
    assert run(["judge", *arguments, "--json", "--data", str(tmp_path)]) == 0
    return json.loads(capsys.readouterr().out)


@pytest.mark.parametrize(
    ("label", "low", "high"),
    [
        ("coil 9,5-14 ohm", 9.5, 14),
        ("coil 9,5-14,5 ohm, 24 V", 9.5, 14.5),
        ("24 V; coil 9,5 – 14 Ω", 9.5, 14),
        ("24 V coil 12,5 ohm ±10 %", 11.25, 13.75),
    ],
)
def test_a_comma_between_digits_is_decimal_and_parts_nothing(label, low, high, capsys, tmp_path):
    """±10 % of 12.5 Ω is 11.25 to 13.75 Ω (CALC)."""
    found = judged(
        capsys, tmp_path, label, "--kind", "contactor-one-pole", "--accuracy", "0,5 % + 2 x 0,1 ohm",
        "--read", "coil=12,5 ohm", "--read", "L1-T1 at rest=OL", "--read", "L1-T1 closed=0,2",
    )  # fmt: skip
    coil, _, closed = found["sections"]
    assert (coil["low"], coil["high"], coil["reading"]) == (low, high, 12.5)
    assert (coil["verdict"], closed["reading"]) == ("pass", 0.2)


def test_comma_and_point_give_the_same(capsys, tmp_path):
    given = [
        judged(capsys, tmp_path, f"240 V, 1{sign}5 kW", "--kind", "heater",
               "--read", f"element=38{sign}4", "--read", "to case=OL")["sections"]
        for sign in ".,"
    ]  # fmt: skip
    assert given[0] == given[1]
