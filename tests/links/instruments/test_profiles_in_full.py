"""What each profile of the program asks for and believes, apart from its file.

SCPI-1999 names the questions (volume 2: SYST:REM, FUNC?, READ?, CONF:VOLT:DC), IEEE 488.2 *IDN?.
9600 8N1 is what most instruments leave the works with; 85 °C is what a digital probe says before it
has measured (its data sheet); -32768 for a probe that is not there, and the spans that are plausible
for the trade, are common practice, no source.
"""

from typing import Any

import pytest
from msgspec import to_builtins

from benchmeter.files.resources import resource
from benchmeter.links.instruments.profiles import read_profile

ASKED = {"identify": "*IDN?", "read": "READ?", "terminator": "\n", "functions": {}}
REMOTE = {**ASKED, "farewell": ["SYST:LOC"]}
CONFIRMED = {**REMOTE, "ask_function": "FUNC?", "confirm_function": True}

TEXT = {  # what displays say in place of a value: from memory of several
    "kind": "text",
    "terminator": "\r\n",
    "longest": 256,
    "overload": ["OL", "0L", "O.L", "0.L", "OVL"],
    "open_probe": ["OPEN", "Err"],
    "no_value": ["---", "--", "----", "N/A"],
}


def probe(field: str = "", **more: object) -> dict[str, object]:
    span = {"lowest": -60, "highest": 200}
    return {"field": field, "quantity": "temperature", "unit": "°C", **span, **more}


def register(field: str, address: int) -> dict[str, object]:
    return {
        "field": field, "function": 4, "address": address, "type": "int16", "words": "big",
        "scale": "0.1", "offset": "0", "open_probe": [-32768],
    }  # fmt: skip


FORMATS: dict[str, dict[str, Any]] = {
    "lcd-handheld": {"kind": "lcd14", "user_symbols": {"0": "°C"}},
    "modbus-two-probes": {
        "kind": "modbus",
        "device": 1,
        "registers": [register("T1", 0), register("T2", 1)],
    },
    "scpi-capacitance": {**REMOTE, "kind": "scpi", "start": ["SYST:REM"]},
    "scpi-meter": {**CONFIRMED, "kind": "scpi", "start": ["SYST:REM"]},
    "scpi-thermometer": {**ASKED, "kind": "scpi"},
    "scpi-voltmeter-dc": {**CONFIRMED, "kind": "scpi", "start": ["SYST:REM", "CONF:VOLT:DC"]},
    "text-two-probes": TEXT,
    "text-value-unit": TEXT,
}
CHANNELS: dict[str, list[dict[str, object]]] = {
    "modbus-two-probes": [probe("T1"), probe("T2")],
    "scpi-capacitance": [{"quantity": "capacitance", "unit": "F", "lowest": -1e-6, "highest": 0.1}],
    "scpi-thermometer": [probe()],
    "scpi-voltmeter-dc": [
        {"quantity": "DC voltage", "unit": "V", "lowest": -1000, "highest": 1000}
    ],
    "text-two-probes": [probe("T1", doubtful=[85]), probe("T2", doubtful=[85])],
}


@pytest.mark.parametrize("name", sorted(p.stem for p in resource("instruments").glob("*.toml")))
def test_a_profile_asks_for_and_believes_what_it_should(name: str) -> None:
    found = to_builtins(read_profile(resource("instruments") / f"{name}.toml"))
    line = found["line"]
    # The segments of a display come at 2400 baud, through a cable that RTS low and DTR high feed.
    of_display = name == "lcd-handheld"
    assert line["baud"] == (2400 if of_display else 9600)
    assert (line.get("dtr"), line.get("rts")) == ((True, False) if of_display else (None, None))
    assert (line["data_bits"], line["parity"], line["stop_bits"]) == (8, "none", 1)
    assert _told(found["format"]) == _told(FORMATS[name])
    assert [_told(channel) for channel in found["channels"]] == [
        _told(channel) for channel in CHANNELS.get(name, [{}])
    ]


def _told(table: dict[str, Any]) -> dict[str, Any]:
    """Without what is not said, and without the pace and the pattern of a line."""
    kept = {k: v for k, v in table.items() if not k.endswith("_ms") and k != "pattern"}
    kept = {k: v for k, v in kept.items() if v not in (None, "", [], {}, False, ())}
    if "registers" in kept:
        kept["registers"] = [_told(register) for register in kept["registers"]]
    return {k: list(v) if isinstance(v, tuple) else v for k, v in kept.items()}
