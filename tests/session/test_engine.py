"""What the chain refuses to judge, and what it takes off."""

from decimal import Decimal

import pytest

from benchmeter.checking.commands import (
    BeginCheck,
    NullLeads,
    PowerRestored,
    TakeReading,
    TakeVolts,
    TypeReading,
)
from benchmeter.checking.part_check import Step
from benchmeter.checking.safety import PartSafety, SafetyReason
from benchmeter.files.resources import resource
from benchmeter.links.instruments.setup import BenchSetup, ChannelSetup, LinkSetup, Role
from benchmeter.parts.kind_catalogue import read_part_kind
from benchmeter.readings.inputs import Chunk, Ended
from benchmeter.session.engine import MeasuringChain
from benchmeter.words.event_words import event_words
from tests.fakes.instruments import text_profile
from tests.fakes.outcomes import check_in, notices_in, safety_in


def test_a_temperature_is_never_judged_as_a_capacitance():
    profile = text_profile("text-two-probes")
    link = LinkSetup(name="probe", address="serial:probe", profile=profile)
    channel = ChannelSetup(name="discharge", role=Role.DISCHARGE, link="probe", field="T1")
    chain = MeasuringChain(BenchSetup(origin="serial", links=(link,), channels=(channel,)))
    begun = chain.feed(BeginCheck(time_ns=0, part="x", label="45 uF 5 %", channel="discharge"))
    assert "not for capacitance" in notices_in(begun)[0]
    assert check_in(begun) is None
    chain.feed(Chunk(time_ns=1, link="probe", data=b""))
    chain.feed(Chunk(time_ns=2, link="probe", data=b"T1=20.0C T2=20.0C\r\n"))
    assert chain.feed(TakeReading(time_ns=3)).verdicts == ()


def test_joined_tips_are_told_with_their_ohms_and_open_leads_as_the_meter_shows_them():
    profile = text_profile()
    link = LinkSetup(name="line", address="serial:line", profile=profile)
    channel = ChannelSetup(name="meter", role=Role.METER, link="line")
    chain = MeasuringChain(BenchSetup(origin="serial", links=(link,), channels=(channel,)))
    now, said = 0, []
    for text in ("0.21 Ohm", "0.02 uF"):
        for _ in range(18):
            now += 250_000_000
            chain.feed(Chunk(time_ns=now, link="line", data=f"{text}\r\n".encode()))
        (event,) = chain.feed(NullLeads(time_ns=now)).events
        said.append(event_words(event))
    assert said[0] == "Joined leads read 0.21 Ω, taken off every resistance."
    assert said[1].startswith("Open leads taken as zero: 0.02")


class Bench:
    """A capacitance meter and a voltmeter of its own for the charge, both writing lines of text."""

    def __init__(self) -> None:
        profile = text_profile()
        names = {"capacitor": Role.CAPACITOR, "residual": Role.RESIDUAL}
        setup = BenchSetup(
            origin="serial",
            links=tuple(LinkSetup(name=n, address=n, profile=profile) for n in names),
            channels=tuple(ChannelSetup(name=n, role=r, link=n) for n, r in names.items()),
        )
        self.chain, self.now, self.safety, self.check = MeasuringChain(setup), 0, PartSafety(), None
        for name in names:  # silence: what comes next is a whole line
            self.feed(Chunk, link=name, data=b"")

    def feed(self, make, **more):
        outcome = self.chain.feed(make(time_ns=self.now, **more))
        self.safety = safety_in(outcome) or self.safety
        self.check = check_in(outcome) or self.check
        return outcome

    def shows(self, link: str, *texts: str) -> None:
        for text in texts:
            self.now += 250_000_000
            self.feed(Chunk, link=link, data=f"{text}\r\n".encode())

    def begin(self, kind: str = "", part: str = "x") -> None:
        read = read_part_kind(resource("parts") / f"{kind}.toml") if kind else None
        self.feed(BeginCheck, part=part, label="45 uF 5 %" if not kind else "", kind=read)

    def capacitance(self) -> None:
        self.shows("capacitor", *["0.00 uF"] * 10, *["45.00 uF"] * 20)


def test_nothing_is_taken_of_a_capacitor_by_its_label_alone_while_the_voltmeter_shows_volts():
    bench = Bench()
    bench.begin()
    bench.shows("residual", "310.0 VDC")
    bench.capacitance()
    assert bench.check.step is Step.MAKE_SAFE
    for refused in (
        bench.feed(TakeReading),
        bench.feed(TypeReading, channel="capacitor", text="45 uF"),
    ):
        assert "310.0 volts are left" in notices_in(refused)[0]
    assert bench.check.sections[0].taken == ()
    bench.shows("residual", "96 VDC", "14 VDC", "0.3 VDC")
    assert bench.safety.charge_gone
    bench.capacitance()
    assert bench.check.verdict is not None


def test_a_label_alone_is_judged_where_no_volts_are_seen():
    bench = Bench()
    bench.begin()
    bench.shows("residual", *["0.1 VDC"] * 4)  # in the air, as far as anybody knows
    bench.capacitance()
    assert bench.check.verdict is not None


@pytest.mark.parametrize("drained_first", [False, True])
def test_a_voltmeter_in_the_air_says_nothing_of_the_next_part(drained_first):
    """It came down to 0 V on the part before; that it hangs in the air now, nobody can see."""
    bench = Bench()
    if drained_first:  # before anything was begun: of what part is not known
        bench.shows("residual", "310.0 VDC", "20 VDC", "0.3 VDC")
    else:
        bench.begin("compressor-single-phase", "old")
        bench.shows("residual", "310.0 VDC", "20 VDC", "0.3 VDC")
        assert bench.safety.charge_gone
    bench.begin("compressor-single-phase", "new")
    assert not bench.safety.charge_gone
    bench.shows("residual", *["0.2 VDC"] * 20)
    assert not bench.safety.charge_gone and bench.check.step is Step.MAKE_SAFE
    bench.feed(TakeVolts)
    assert bench.safety.charge_gone and not bench.check.safety.to_be_made_safe


def test_volts_seen_before_the_first_part_was_named_are_those_of_that_part():
    bench = Bench()
    bench.shows("residual", "310.0 VDC")
    bench.begin(part="old")
    bench.capacitance()
    assert bench.check.sections[0].taken == ()
    bench.begin(part="new")
    assert bench.safety == PartSafety()


def test_after_power_came_back_nothing_is_taken_until_the_volts_are_known():
    bench = Bench()
    bench.begin()
    bench.feed(TypeReading, channel="residual", text="0.4 V")
    assert bench.safety.reason is SafetyReason.TYPED
    bench.feed(PowerRestored)
    bench.capacitance()
    assert (bench.safety.reason, bench.check.step) == (SafetyReason.UNKNOWN, Step.MAKE_SAFE)


@pytest.mark.parametrize(
    "leave", [(Ended, {}), (BeginCheck, {"part": "next", "label": "5 uF 5 %"})], ids=["end", "next"]
)
def test_a_bad_section_is_kept_though_the_other_one_gave_nothing(leave):
    """One bad section makes the part bad, whatever the other one is (common practice)."""
    make, more = leave
    for shown, word in (("31.20", "fail"), ("45.02", None)):
        bench = Bench()
        bench.feed(BeginCheck, part="old", label="45/5 uF 5 %")
        bench.shows("capacitor", *["0.00 uF"] * 4, *[f"{shown} uF"] * 20)
        assert bench.check.verdict is None
        stored = bench.feed(make, **more).verdicts
        assert [check.verdict.verdict.value for check in stored] == ([word] if word else [])
        for check in stored:
            herm, fan = check.verdict.sections
            assert (check.part, herm.reading_si, fan.reason.value) == (
                "old", Decimal("31.20e-6"), "not measured",
            )  # fmt: skip
        assert bench.feed(Ended).verdicts == () or make is BeginCheck
