"""What the chain refuses to judge."""

from pathlib import Path

from benchmeter.chain.measuring import MeasuringChain
from benchmeter.instruments.profiles import load_profile
from benchmeter.instruments.setup import BenchSetup, ChannelSetup, LinkSetup, Role
from benchmeter.readings.inputs import BeginCheck, Chunk, TakeReading
from benchmeter.settings.folders import Folders


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
