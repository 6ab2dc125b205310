"""The knob is turned again and again: through bytes, decoder and channel nothing is ever mixed.

What each function must show follows from the scenario; that a reading must never carry the unit
of another function is our own rule.
"""

from pathlib import Path

import pytest

from benchmeter.files.folders import Folders
from benchmeter.links.instruments.setup import Role
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.channel_status import ChannelStatus
from benchmeter.readings.events import EventKind
from benchmeter.readings.status import Status
from benchmeter.session.acquisition.acquisition import Acquisition
from benchmeter.simulator.contact import KNOB
from benchmeter.simulator.scenario import load_scenario
from benchmeter.simulator.virtual_bench import open_scenario

HEAD = """
title = "Knob"
about = "For a test."
place = "Workshop"
seed = {seed}
length_s = 125.0
start = 2026-01-02T03:04:05Z

[[parts]]
name = "capacitor"
label = "45 µF ±6 % 440 VAC"
sections.single = {{ true_uf = 45.2, stored_v = 31.0 }}

[[instruments]]
name = "link"
profile = "{profile}"
virtual = {{ kind = "{kind}", measures = "any function", knob = "DC voltage" }}
channels = [{{ name = "meter" }}]

[[story]]
at_s = 0.1
do = "hands"
act = "leads: single"

[[story]]
at_s = 3.0
do = "hands"
act = "resistor: on"

[[story]]
at_s = 10.0
do = "hands"
act = "resistor: off"
"""
TURN = """
[[story]]
at_s = {at_s}
do = "hands"
act = "knob: {knob}"
"""
EXPECTED = {
    Quantity.CAPACITANCE: (42e-6, 45.5e-6),  # it creeps up to 45.2 µF
    Quantity.RESISTANCE: (0.0, 60e6),  # it climbs
    Quantity.VOLTAGE_DC: (-1e-3, 31.1),
    Quantity.VOLTAGE_AC: (0.0, 1e-3),
    Quantity.CURRENT_AC: (0.0, 5e-3),
}


@pytest.mark.parametrize("seed", [1, 2, 3])
@pytest.mark.parametrize(
    ("profile", "kind"), [("scpi-meter", "scpi meter"), ("lcd-handheld", "handheld")]
)
def test_a_knob_turned_in_mid_stream_never_mixes_two_quantities(
    profile: str, kind: str, seed: int, folders: Folders, tmp_path: Path
) -> None:
    turns = [(10.5 + 6.37 * i + 0.011 * seed, list(KNOB)[i % len(KNOB)]) for i in range(17)]
    text = HEAD.format(seed=seed, profile=profile, kind=kind) + "".join(
        TURN.format(at_s=at_s, knob=knob.value) for at_s, knob in turns
    )
    path = tmp_path / "knob.toml"
    path.write_text(text, encoding="utf-8")
    setup, source = open_scenario(load_scenario(str(path), folders), None)
    acquisition = Acquisition(setup)
    assert setup.channels[0].role is Role.METER

    told: list[Quantity] = []
    with_value: set[Quantity] = set()
    settled: set[Quantity] = set()
    for item in source.inputs():
        batch = acquisition.take(item)
        told += [e.quantity for e in batch.events if e.kind is EventKind.FUNCTION]
        for reading in batch.readings:
            if reading.value is not None:
                low, high = EXPECTED[told[-1]]
                assert low <= reading.value <= high, (told[-1], reading)
                assert reading.status is Status.OK
                with_value.add(told[-1])
        for pulse in batch.states:
            assert all(EXPECTED[told[-1]][0] <= (r.value or 0) for r in pulse.window)
            if pulse.state is ChannelStatus.SETTLED and pulse.quantity is not None:
                settled.add(pulse.quantity)
    assert told == [Quantity.VOLTAGE_DC, *(knob for _, knob in turns)]
    assert with_value == set(KNOB)
    # Ohms climb all the time, and the charge drains by a count a second: a trend, or not yet one.
    drains = {Quantity.VOLTAGE_DC}
    assert settled - drains == set(KNOB) - drains - {Quantity.RESISTANCE}
