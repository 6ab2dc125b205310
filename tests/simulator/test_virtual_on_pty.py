"""Virtual instruments on real lines of the operating system, recorded as any meter would be."""

import sys
import time
from pathlib import Path

import pytest

from benchmeter.files.folders import Folders
from benchmeter.links.instruments.linking import serial_source
from benchmeter.links.instruments.profiles import load_profile
from benchmeter.links.instruments.setup import BenchSetup, ChannelSetup, LinkSetup
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.reading import Reading
from benchmeter.readings.status import Status
from benchmeter.session.acquisition.acquisition import Acquisition
from benchmeter.simulator.scenario import load_scenario
from benchmeter.simulator.virtual_bench import byte_ns, virtual_instrument, world_of
from tests.fakes.pty_bridge import PtyBridge

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="there are no ptys")


@pytest.mark.parametrize(
    ("scenario", "index", "quantity", "low", "high"),
    [
        # The truth of each scenario, give or take the first creep of a capacitance.
        ("short-visit", 0, Quantity.CAPACITANCE, 11.5e-6, 12.6e-6),
        ("handheld-and-modbus", 0, Quantity.CAPACITANCE, 16.8e-6, 18.4e-6),
        ("short-visit", 1, Quantity.TEMPERATURE, 273.15 + 19.2, 273.15 + 20.0),
        ("handheld-and-modbus", 1, Quantity.TEMPERATURE, 273.15 + 23.9, 273.15 + 24.7),
    ],
)
def test_a_virtual_instrument_on_a_pty_is_read_through_the_serial_source(
    scenario: str, index: int, quantity: Quantity, low: float, high: float, folders: Folders
) -> None:
    loaded = load_scenario(scenario, folders)
    plan = loaded.plan
    instrument = plan.instruments[index]
    profile = load_profile(instrument.profile, folders)
    world = world_of(loaded)
    if quantity is Quantity.CAPACITANCE:
        world.do("leads: single", 0)
    virtual = virtual_instrument(plan, instrument, profile, world)
    with PtyBridge(virtual, byte_ns(profile.line)) as bridge:
        setup = BenchSetup(
            origin="serial",
            links=(
                LinkSetup(
                    name="link",
                    address=f"serial:{Path(bridge.path)}?profile={profile.name}",
                    profile=profile,
                ),
            ),
            channels=tuple(
                ChannelSetup(name=c.name, link="link", field=c.field, quantity=quantity)
                for c in instrument.channels
            ),
        )
        readings = _first_readings(setup, wanted=3 * len(setup.channels))
    assert {r.channel for r in readings} == {c.name for c in setup.channels}
    for reading in readings:
        assert reading.status is Status.OK, reading
        assert reading.value is not None and low < reading.value < high


def _first_readings(setup: BenchSetup, wanted: int) -> list[Reading]:
    acquisition, source, readings = Acquisition(setup), serial_source(setup), list[Reading]()
    until = time.monotonic() + 10
    for item in source.inputs():
        readings += acquisition.take(item).readings
        if len(readings) >= wanted or time.monotonic() > until:
            source.close()
    return readings
