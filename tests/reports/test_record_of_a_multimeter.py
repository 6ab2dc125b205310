"""A record of a meter whose knob was turned tells quantity and unit stretch by stretch.

What the meter read is what the scenario says; the rules are our own.
"""

from collections.abc import Iterator
from pathlib import Path

import pytest

from benchmeter.reports.record_json import record_json
from benchmeter.reports.record_text import record_text
from benchmeter.reports.session_record import read_record
from tests.fakes.played import Played, play


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Played]:
    made = play(Path(tmp_path_factory.mktemp("shelf")) / "data", "shop-bench")
    yield made
    made.store.close()


ORDER = [
    "capacitance",
    "resistance",
    "DC voltage",
    "resistance",
    "DC voltage",
    "capacitance",
    "resistance",
]
UNITS = {"capacitance": "µF", "resistance": "Ω", "DC voltage": "V"}


def test_every_reading_stands_with_the_quantity_and_unit_that_held(shelf: Played) -> None:
    document = record_json(shelf.store, shelf.session_id)
    meter = next(c for c in document["channels"] if c["name"] == "meter")
    assert (meter["quantity"], meter["unit"], meter["lowest"], meter["highest"]) == (None,) * 4
    stretches = meter["stretches"]
    assert [s["quantity"] for s in stretches] == ORDER
    assert all(s["unit"] == UNITS[s["quantity"]] for s in stretches)
    assert sum(s["count"] for s in stretches) == meter["count"] == len(meter["readings"])
    for reading in meter["readings"]:
        assert reading["unit"] == UNITS[reading["quantity"]]
    # The charge of 268 V, the 40.6 µF and the 29.49 kΩ of the scenario, each in its own unit.
    assert stretches[4]["highest"] == pytest.approx(267, abs=2)
    assert stretches[5]["highest"] == pytest.approx(40.6, abs=0.2)
    assert stretches[6]["lowest"] == pytest.approx(29490, abs=20)


def test_a_channel_of_one_quantity_has_no_stretches(shelf: Played) -> None:
    document = record_json(shelf.store, shelf.session_id, readings=False)
    probe = next(c for c in document["channels"] if c["name"] == "probe")
    assert "stretches" not in probe
    assert (probe["quantity"], probe["unit"]) == ("temperature", "°C")


def test_stretches_hold_every_sample_once_and_in_order(shelf: Played) -> None:
    record = read_record(shelf.store, shelf.session_id)
    meter = next(c for c in record.channels if c.name == "meter")
    times = [t for s in meter.stretches for t in s.samples.time_ns.tolist()]
    assert times == meter.samples.time_ns.tolist()
    assert [q.value for q in meter.quantities] == list(UNITS)


def test_the_text_never_mixes_two_quantities_in_a_line(shelf: Played) -> None:
    lines = record_text(shelf.store, shelf.session_id).splitlines()
    at = next(i for i, line in enumerate(lines) if line.startswith("meter: "))
    told = lines[at + 1 : at + 1 + len(ORDER)]
    for line, quantity in zip(told, ORDER, strict=True):
        assert f"of {quantity}" in line
        assert line.endswith(UNITS[quantity])
