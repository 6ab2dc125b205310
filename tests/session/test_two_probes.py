"""The air of a unit by two probes on one line: what counts of it, and what does not."""

import pytest

from benchmeter.links.instruments.setup import BenchSetup, ChannelSetup, LinkSetup, Role
from benchmeter.readings.channel_status import ChannelStatus
from benchmeter.readings.inputs import Chunk
from benchmeter.session.engine import MeasuringChain
from tests.fakes.instruments import text_profile
from tests.fakes.outcomes import recovery_in

SETUP = BenchSetup(
    origin="serial",
    links=(LinkSetup(name="line", address="line", profile=text_profile("text-two-probes")),),
    channels=(
        ChannelSetup(name="discharge", role=Role.DISCHARGE, link="line", field="T1"),
        ChannelSetup(name="outdoor", role=Role.OUTDOOR, link="line", field="T2"),
    ),
)


def watched(first: str, second: str, seconds: int = 40):
    """The last recovery, and the states, after so many seconds of the same line."""
    chain = MeasuringChain(SETUP)
    chain.feed(Chunk(time_ns=0, link="line", data=b""))
    recovery, states = None, {}
    for second_ns in range(1_000_000_000, seconds * 1_000_000_000, 1_000_000_000):
        line = f"T1={first} T2={second}\r\n".encode()
        outcome = chain.feed(Chunk(time_ns=second_ns, link="line", data=line))
        recovery = recovery_in(outcome) or recovery
        states |= {s.channel: s.state for s in outcome.states}
    return recovery, states


def test_both_probes_are_followed():
    recovery, states = watched("30.0C", "20.0C")
    assert recovery.discharge_k == pytest.approx(303.15)
    assert recovery.outdoor_k == pytest.approx(293.15)
    assert set(states.values()) == {ChannelStatus.SETTLED}


def test_a_suspect_reading_enters_neither_the_settling_nor_the_recovery():
    """85 °C is what digital probes show at power-up (data sheets of 1-wire thermometers)."""
    recovery, states = watched("85.0C", "85.0C")
    assert recovery.discharge_k is None and recovery.outdoor_k is None
    assert set(states.values()) == {ChannelStatus.SUSPECT}


@pytest.mark.parametrize(
    ("first", "second", "discharge_k", "outdoor_k"),
    [("OPEN", "20.0C", None, 293.15), ("30.0C", "OPEN", 303.15, None)],
)
def test_a_probe_that_is_missing_does_not_take_the_other_along(
    first, second, discharge_k, outdoor_k
):
    recovery, states = watched(first, second)
    assert (recovery.discharge_k, recovery.outdoor_k) == (
        pytest.approx(discharge_k) if discharge_k else None,
        pytest.approx(outdoor_k) if outdoor_k else None,
    )
    assert sorted(states.values()) == [ChannelStatus.NO_CONTACT, ChannelStatus.SETTLED]
