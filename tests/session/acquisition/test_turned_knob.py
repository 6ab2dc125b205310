"""A multimeter whose knob is turned: one channel, never two quantities in one line (our own rule)."""

from pathlib import Path

import pytest

from benchmeter.errors import Message
from benchmeter.files.folders import Folders
from benchmeter.links.instruments.profiles import load_profile
from benchmeter.links.instruments.setup import BenchSetup, ChannelSetup, LinkSetup, Role
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.channel_status import ChannelStatus
from benchmeter.readings.events import EventKind
from benchmeter.readings.inputs import Chunk, LinkChange
from benchmeter.readings.status import Status
from benchmeter.session.acquisition.acquisition import Acquisition
from benchmeter.session.acquisition.channel_state import Batch

CAP, RES = Quantity.CAPACITANCE, Quantity.RESISTANCE


class Meter:
    """A channel on a meter that sends a number and its unit as text, four a second."""

    def __init__(self, name: str = "meter", quantity: Quantity | None = None) -> None:
        profile = load_profile("text-value-unit", Folders(Path("no such folder")))
        role = Role(name) if name in tuple(Role) else Role.OTHER
        self._acquisition = Acquisition(
            BenchSetup(
                origin="serial",
                links=(LinkSetup(name="link", address="serial:link", profile=profile),),
                channels=(ChannelSetup(name=name, role=role, link="link", quantity=quantity),),
            )
        )
        self._ns = 0
        self._acquisition.take(Chunk(time_ns=0, link="link", data=b""))

    def says(self, *lines: str) -> Batch:
        """What the last of these lines gave."""
        for line in lines:
            self._ns += 400_000_000
            data = line.encode() + b"\r\n"
            batch = self._acquisition.take(Chunk(time_ns=self._ns, link="link", data=data))
        return batch

    def loses_its_link(self) -> None:
        lost = LinkChange(
            time_ns=self._ns, link="link", up=False, reason=Message("links.lost", {"port": "x"})
        )
        self._acquisition.take(lost)

    @property
    def pulse(self):
        return self._acquisition.states()[0]


def functions(batch: Batch) -> list[str]:
    return [e.quantity.value for e in batch.events if e.kind is EventKind.FUNCTION]


def test_the_channel_measures_what_the_meter_says() -> None:
    meter = Meter()
    assert meter.pulse.quantity is None
    assert functions(meter.says("44.10 uF")) == [CAP.value]
    assert meter.pulse.quantity is CAP
    assert functions(meter.says("44.11 uF")) == []
    batch = meter.says("2.6 ohm")
    assert functions(batch) == [RES.value]
    assert [(r.value, r.status) for r in batch.readings] == [(2.6, Status.OK)]
    assert batch.events[0].time_ns == batch.readings[0].time_ns
    assert batch.states[0].quantity is RES


def test_ac_and_dc_are_two_functions() -> None:
    meter = Meter()
    batches = [meter.says(line) for line in ("24.1 VAC", "24.1 VDC", "1.20 AAC", "1.20 ADC")]
    assert [functions(b) for b in batches] == [
        ["AC voltage"],
        ["DC voltage"],
        ["AC current"],
        ["DC current"],
    ]


def test_what_was_settled_is_not_settled_in_another_function() -> None:
    meter = Meter()
    meter.says(*["10.0 ohm"] * 12)
    assert meter.pulse.state is ChannelStatus.SETTLED
    meter.says("10.0 VAC")
    assert meter.pulse.state is ChannelStatus.MOVING
    assert len(meter.pulse.window) == 1
    meter.says(*["10.0 VAC"] * 11)
    assert meter.pulse.state is ChannelStatus.SETTLED


def test_a_knob_that_is_turned_and_turned_back_starts_anew() -> None:
    meter = Meter()
    meter.says(*["10.0 ohm"] * 6, "1.000 uF")
    batch = meter.says("10.0 ohm")
    assert functions(batch) == [RES.value]
    assert (meter.pulse.state, len(meter.pulse.window)) == (ChannelStatus.MOVING, 1)


@pytest.mark.parametrize(
    ("line", "status"),
    [("OL", Status.OVERLOAD), ("----", Status.NO_VALUE), ("230.1 V", Status.WRONG_FUNCTION)],
)
def test_a_reading_that_does_not_say_what_it_measures_is_not_taken_for_the_last_function(
    line: str, status: Status
) -> None:
    # A bare V may be AC or DC.
    meter = Meter()
    meter.says("10.0 ohm")
    batch = meter.says(line)
    assert [(r.value, r.status) for r in batch.readings] == [(None, status)]
    assert meter.pulse.quantity is None
    assert functions(meter.says("10.0 ohm")) == []  # it has never been another one
    assert meter.pulse.quantity is RES


def test_an_overload_in_another_function_is_told_as_that_function() -> None:
    meter = Meter()
    meter.says("44.10 uF")
    batch = meter.says("OL Mohm")
    assert functions(batch) == [RES.value]
    assert (meter.pulse.state, meter.pulse.quantity) == (ChannelStatus.OVERLOAD, RES)


def test_a_lost_link_does_not_forget_the_function() -> None:
    meter = Meter()
    meter.says("10.0 ohm")
    meter.loses_its_link()
    assert (meter.pulse.state, meter.pulse.quantity) == (ChannelStatus.LOST, RES)


def test_a_channel_of_another_role_keeps_its_quantity_and_tells_a_turned_knob() -> None:
    meter = Meter("capacitor")
    meter.says("44.10 uF")
    batch = meter.says("2.6 ohm")
    assert [(r.value, r.status) for r in batch.readings] == [(None, Status.WRONG_FUNCTION)]
    assert (functions(batch), meter.pulse.quantity) == ([], CAP)

    other = Meter("other meter")
    assert functions(other.says("2.6 ohm")) == [RES.value]
    batch = other.says("44.10 uF")
    assert [(r.value, r.status) for r in batch.readings] == [(None, Status.WRONG_FUNCTION)]


def test_a_meter_of_one_function_is_not_followed_into_another() -> None:
    meter = Meter("meter", CAP)
    batch = meter.says("44.10 uF", "2.6 ohm")
    assert [r.status for r in batch.readings] == [Status.WRONG_FUNCTION]
    assert meter.pulse.quantity is CAP
