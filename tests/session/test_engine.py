"""What the chain refuses to judge, and what it takes off."""

from pathlib import Path

from benchmeter.files.folders import Folders
from benchmeter.links.instruments.profiles import load_profile
from benchmeter.links.instruments.setup import BenchSetup, ChannelSetup, LinkSetup, Role
from benchmeter.readings.inputs import BeginCheck, Chunk, NullLeads, TakeReading, TypeReading
from benchmeter.session.engine import MeasuringChain
from benchmeter.words.events import event_words


def test_a_temperature_is_never_judged_as_a_capacitance():
    profile = load_profile("text-two-probes", Folders(Path("no such folder")))
    link = LinkSetup(name="probe", address="serial:probe", profile=profile)
    channel = ChannelSetup(name="discharge", role=Role.DISCHARGE, link="probe", field="T1")
    chain = MeasuringChain(BenchSetup(origin="serial", links=(link,), channels=(channel,)))
    begun = chain.feed(BeginCheck(time_ns=0, part="x", label="45 uF 5 %", channel="discharge"))
    assert "not for capacitance" in begun.notices[0].text
    assert begun.check is None
    chain.feed(Chunk(time_ns=1, link="probe", data=b""))
    chain.feed(Chunk(time_ns=2, link="probe", data=b"T1=20.0C T2=20.0C\r\n"))
    assert chain.feed(TakeReading(time_ns=3)).judged is None


def test_joined_tips_are_told_with_their_ohms_and_open_leads_as_the_meter_shows_them():
    profile = load_profile("text-value-unit", Folders(Path("no such folder")))
    link = LinkSetup(name="line", address="serial:line", profile=profile)
    channel = ChannelSetup(name="meter", role=Role.METER, link="line")
    chain = MeasuringChain(BenchSetup(origin="serial", links=(link,), channels=(channel,)))
    now, said = 0, []
    for text in ("0.21 Ohm", "0.02 uF"):
        for _ in range(16):
            now += 250_000_000
            chain.feed(Chunk(time_ns=now, link="line", data=f"{text}\r\n".encode()))
        (event,) = chain.feed(NullLeads(time_ns=now)).events
        said.append(event_words(event))
    assert said[0] == "Joined leads read 0.21 Ω, taken off every resistance."
    assert said[1].startswith("Open leads taken as zero: 0.02")


def test_volts_of_the_other_current_never_make_a_part_safe():
    """A charge is DC: a meter set to AC volts shows next to nothing of it."""
    chain = MeasuringChain(BenchSetup(origin="serial", links=(), channels=()))
    typed = chain.feed(TypeReading(time_ns=0, channel="residual", text="3 VAC"))
    assert typed.made_safe is None
    assert "says nothing of DC voltage" in typed.notices[0].text
    typed = chain.feed(TypeReading(time_ns=1, channel="residual", text="3 VDC"))
    assert typed.made_safe is not None
    assert typed.made_safe.safe
