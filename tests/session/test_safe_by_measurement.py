"""Safe to touch: AC and DC volts low, by a voltmeter that read a live source before and after.

Live-dead-live: NFPA 70E:2021, 120.5(7), from memory. The limits of 5 V and 20 V: common practice, no
source.
"""

from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from benchmeter.checking.commands import (
    BeginCheck,
    PowerRestored,
    ProveMeter,
    SelectSection,
    TakeReading,
    TakeVolts,
    TypeReading,
)
from benchmeter.checking.safety import Missing, PartSafety
from benchmeter.files.resources import resource
from benchmeter.links.instruments.setup import BenchSetup, ChannelSetup, LinkSetup, Role
from benchmeter.parts.kind_catalogue import read_part_kind
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.inputs import Chunk, Input, LinkChange
from benchmeter.session.engine import MeasuringChain
from benchmeter.words.safety_words import safety_words
from tests.fakes.instruments import text_profile
from tests.fakes.outcomes import notices_in, safety_in

KINDS = sorted(resource("parts").glob("*.toml"), key=lambda path: path.name)


class Bench:
    """A voltmeter whose knob is turned, with a part in hand."""

    def __init__(
        self, role: Role = Role.METER, kind: str = "start-capacitor", *, second: bool = False
    ) -> None:
        profile = text_profile()
        plausible = replace(profile.channels[0], unit="V", highest=1000.0)
        profile = replace(profile, channels=(plausible,))
        links = (LinkSetup(name="link", address="link", profile=profile),)
        channels = (ChannelSetup(name="volts", role=role, link="link"),)
        if second:
            links += (LinkSetup(name="other", address="other", profile=text_profile()),)
            channels += (ChannelSetup(name="second", role=Role.RESIDUAL, link="other"),)
        self.chain = MeasuringChain(BenchSetup(origin="serial", links=links, channels=channels))
        self.now, self.safety, self.said = 0, PartSafety(), [""]
        for link in links:  # what comes right behind the opening may be dropped
            self.feed(Chunk, link=link.name, data=b"")
        self.begin(kind)

    def feed(self, make: Callable[..., Input], **more: object) -> None:
        outcome = self.chain.feed(make(time_ns=self.now, **more))
        self.safety = safety_in(outcome) or self.safety
        self.said += notices_in(outcome)

    def begin(self, kind: str) -> None:
        read = read_part_kind(resource("parts") / f"{kind}.toml")
        label = read.example
        self.feed(BeginCheck, part="x", label=label, kind=read, channel="volts")

    def shows(self, *texts: str, link: str = "link") -> None:
        for text in texts:
            self.now += 250_000_000
            self.feed(Chunk, link=link, data=f"{text}\r\n".encode())

    def shows_second(self, text: str) -> None:
        """Taken off the other voltmeter while the first says nothing of volts."""
        self.shows("0.4 ohm")
        self.shows(text, link="other")
        self.feed(TakeVolts)

    def takes(self, *texts: str) -> None:
        for text in texts:
            self.shows(text)
            self.feed(TakeVolts)

    def proves(self, text: str = "231.2 VAC") -> None:
        """The leads are in the air; announced, then on the source, then in the air again."""
        air = "0.0 VDC" if text.endswith("DC") else "0.0 VAC"
        self.shows(air)
        self.feed(ProveMeter)
        self.shows(text, air)

    def made_safe(self) -> None:
        self.proves()
        for _ in range(len(self.safety.pairs) or 1):
            self.takes("0.3 VDC", "0.2 VAC")
        self.proves()


def test_live_dead_live_makes_a_part_safe_to_touch() -> None:
    bench = Bench()
    missing = [bench.safety.missing]
    bench.proves()
    bench.takes("0.3 VDC")
    missing.append(bench.safety.missing)
    bench.takes("0.2 VAC")
    missing.append(bench.safety.missing)
    bench.proves()
    assert missing == [Missing.CHARGE, Missing.SUPPLY, Missing.PROOF_AFTER]
    assert bench.safety.may_be_touched and not bench.safety.typed
    assert safety_words(bench.safety).startswith("Safe to touch: 0.3 V DC, 0.2 V AC")


def test_it_is_safe_to_touch_once_each_pair_and_each_end_to_ground_was_measured() -> None:
    """Each conductor to every other and to ground: NFPA 70E:2021, 120.5(7), from memory."""
    bench = Bench(kind="heater")
    bench.proves()
    bench.takes("0.3 VDC", "0.2 VAC")
    asked = []
    for text in ("0.1 VAC", "1.2 VAC", "0.4 VDC", "0.2 VDC"):
        asked.append(safety_words(bench.safety).rpartition("measure the ")[2])
        bench.proves()
        bench.takes(text)
        assert not bench.safety.may_be_touched
    assert asked == [
        "AC volts between end and ground.",
        "AC volts between other end and ground.",
        "DC volts between end and ground.",
        "DC volts between other end and ground.",
    ]
    bench.proves()
    assert bench.safety.may_be_touched
    assert safety_words(bench.safety).startswith("Safe to touch: 0.4 V DC, 1.2 V AC")  # the most


@pytest.mark.parametrize("revoke", ["volts", "lost", "power"])
def test_what_takes_the_word_back_takes_all_pairs_back(revoke: str) -> None:
    bench = Bench(kind="run-capacitor")
    bench.made_safe()
    if revoke == "volts":
        bench.shows("6.0 VAC")
    elif revoke == "lost":
        bench.feed(LinkChange, link="link", up=False)
        bench.feed(LinkChange, link="link", up=True)
        bench.feed(Chunk, link="link", data=b"")
    else:
        bench.feed(PowerRestored)
    bench.proves()
    bench.takes("0.3 VDC", "0.2 VAC")
    bench.proves()
    assert bench.safety.missing in (Missing.AC_PAIR, Missing.DC_PAIR)
    bench.made_safe()
    assert bench.safety.may_be_touched


def test_charge_gone_and_supply_dead_are_two_statements() -> None:
    """372 V AC were across a part whose charge was gone, and nothing was said of it."""
    bench = Bench()
    bench.takes("0.0 VDC")
    assert safety_words(bench.safety).startswith("Charge gone: 0.0 V DC")
    bench.shows("372.0 VAC")
    assert bench.safety.charge_gone and bench.safety.live and bench.safety.to_be_made_safe
    assert safety_words(bench.safety).startswith("372.0 V AC on the part: do not touch it")


def test_a_voltmeter_that_nobody_saw_read_anything_proves_nothing() -> None:
    bench = Bench()
    bench.takes("0.3 VDC", "0.2 VAC")
    assert bench.safety.missing is Missing.PROOF_BEFORE
    bench.proves()
    assert bench.safety.missing is Missing.PROOF_BEFORE  # not before the low volts
    bench.takes("0.3 VDC", "0.2 VAC")
    assert bench.safety.missing is Missing.PROOF_AFTER


def test_what_is_no_live_source_proves_no_meter() -> None:
    bench = Bench()
    bench.proves("19.9 VAC")
    bench.takes("0.3 VDC", "0.2 VAC")
    assert bench.safety.missing is Missing.PROOF_BEFORE
    bench.feed(ProveMeter, text="19.9 V AC")
    assert "prove no voltmeter" in bench.said[-1]


def test_what_is_typed_counts_as_typed() -> None:
    bench = Bench()
    bench.feed(ProveMeter, text="230 V AC")
    bench.feed(TypeReading, channel="residual", text="0.3 V")
    bench.feed(TypeReading, channel="residual", text="0.1 V AC")
    bench.feed(ProveMeter, text="230 V AC")
    assert bench.safety.may_be_touched and bench.safety.typed
    assert "typed by hand" in safety_words(bench.safety)


REVOKED = {
    "AC volts": lambda bench: bench.shows("5.0 VAC"),
    "DC volts": lambda bench: bench.shows("-5.0 VDC"),
    "AC volts beyond the range": lambda bench: bench.shows("OL VAC"),
    "typed volts": lambda bench: bench.feed(TypeReading, channel="residual", text="6 V AC"),
    "power restored": lambda bench: bench.feed(PowerRestored),
    "another part": lambda bench: bench.begin("run-capacitor"),
    "a lost link": lambda bench: bench.feed(LinkChange, link="link", up=False),
}


@pytest.mark.parametrize("what", REVOKED)
def test_the_word_is_taken_back_at_once(what: str) -> None:
    bench = Bench()
    bench.made_safe()
    assert bench.safety.may_be_touched
    REVOKED[what](bench)
    assert not bench.safety.may_be_touched


@pytest.mark.parametrize("shown", ["6.0 VDC", "0.0 VAC", "372.0 VAC"])
def test_a_voltmeter_for_dc_takes_it_back_where_it_shows_volts_or_is_set_to_ac(shown: str) -> None:
    bench = Bench(Role.RESIDUAL)
    bench.proves("48.1 VDC")
    bench.feed(ProveMeter, text="230 V AC")  # of the one whose volts are typed
    bench.feed(TypeReading, channel="residual", text="0.1 V AC")
    bench.takes("0.3 VDC")
    bench.proves("48.1 VDC")
    assert bench.safety.missing is Missing.PROOF_AFTER
    bench.feed(ProveMeter, text="230 V AC")
    assert bench.safety.may_be_touched
    bench.shows(shown)
    assert not bench.safety.may_be_touched


def test_a_live_test_takes_the_word_back() -> None:
    """DC volts that the part is judged by: they are no charge, but the circuit has power."""
    bench = Bench(kind="sensor-thermocouple")
    bench.made_safe()
    kind = read_part_kind(resource("parts") / "sensor-thermocouple.toml")
    name = next(m.name for m in kind.measures if m.quantity is Quantity.VOLTAGE_DC)
    bench.feed(SelectSection, section=name)
    bench.shows("24.0 VDC")
    assert not bench.safety.may_be_touched


def test_leads_that_slip_off_a_low_source_prove_nothing() -> None:
    """24 V of a control circuit, and at once nothing: no charge falls like that (R·C)."""
    bench = Bench(Role.RESIDUAL)
    bench.shows("24.0 VDC", "24.1 VDC", "24.0 VDC", "0.0 VDC")
    assert not bench.safety.charge_gone


@pytest.mark.parametrize("path", KINDS, ids=lambda path: path.stem)
def test_with_an_ac_source_on_it_no_part_is_safe_to_touch(path) -> None:
    """A source across the part in every kind, by bytes and typed."""
    kind = path.stem
    for put in (
        lambda bench: bench.shows(*["372.0 VAC"] * 8),
        lambda bench: bench.feed(TypeReading, channel="residual", text="372 V AC"),
    ):
        bench = Bench(kind=kind)
        bench.made_safe()
        put(bench)
        assert not bench.safety.may_be_touched
        bench.shows(*["0.0 VDC"] * 8, *["0.0 VAC"] * 8)  # slipped off, or switched off
        assert not bench.safety.may_be_touched
        bench.feed(TakeReading)
        assert not bench.safety.may_be_touched


def test_volts_on_the_part_are_not_explained_away() -> None:
    """Whoever proves the meter says so before the leads go to the source."""
    bench = Bench()
    bench.made_safe()
    bench.shows("231.2 VAC")
    bench.feed(ProveMeter)
    assert not bench.safety.may_be_touched and bench.safety.live


def test_who_stays_on_a_live_circuit_after_the_proof_is_on_the_part_again() -> None:
    bench = Bench()
    bench.made_safe()
    bench.feed(ProveMeter)
    assert safety_words(bench.safety).endswith(
        "Now touch a live source of 20 V or more with the voltmeter."
    )
    bench.shows("231.2 VAC")
    assert bench.safety.may_be_touched
    bench.shows(*["231.2 VAC"] * 48)
    assert not bench.safety.may_be_touched


def test_an_announced_proof_is_over_with_the_next_low_volts() -> None:
    bench = Bench()
    bench.made_safe()
    bench.shows("0.0 VAC", "231.2 VAC")
    assert not bench.safety.may_be_touched


def test_volts_count_whatever_is_shown_in_the_same_moment() -> None:
    bench = Bench()
    bench.made_safe()
    bench.now += 250_000_000
    bench.feed(Chunk, link="link", data=b"230.0 VAC\r\n0.4 ohm\r\n")
    assert not bench.safety.may_be_touched


def test_volts_that_are_hardly_possible_count_as_well() -> None:
    bench = Bench()
    bench.made_safe()
    bench.shows("1400.0 VAC")
    assert not bench.safety.may_be_touched


def test_one_voltmeter_does_not_prove_another() -> None:
    bench = Bench(second=True)
    bench.feed(ProveMeter)
    bench.shows("231.2 VAC")
    bench.shows("0.0 VAC")
    bench.shows_second("0.3 VDC")
    bench.feed(TypeReading, channel="residual", text="0.1 V AC")
    bench.feed(ProveMeter)
    bench.shows("231.2 VAC")
    assert not bench.safety.may_be_touched
    bench = Bench(second=True)
    bench.made_safe()
    bench.shows("48.0 VDC", link="other")  # it counts at once, whichever shows it
    assert not bench.safety.may_be_touched


def test_each_voltmeter_that_read_a_pair_is_proved_again() -> None:
    bench = Bench(kind="run-capacitor", second=True)
    bench.proves()
    bench.feed(ProveMeter, text="230 V AC")
    bench.takes("0.3 VDC")
    for _ in range(2):
        bench.feed(TypeReading, channel="residual", text="0.2 V AC")
    bench.shows("0.4 ohm")  # the other voltmeter, by itself
    bench.shows("0.1 VDC", link="other")
    bench.feed(ProveMeter)
    bench.shows("48.0 VDC", "0.0 VDC", link="other")
    bench.shows("0.2 VDC", link="other")
    bench.feed(TakeVolts)
    assert bench.safety.missing is Missing.PROOF_AFTER
    bench.feed(ProveMeter, text="230 V AC")
    bench.feed(ProveMeter)
    bench.shows("48.0 VDC", "0.0 VDC", link="other")
    assert not bench.safety.may_be_touched, "the first one was not proved after it"
    bench.proves()
    assert bench.safety.may_be_touched


def test_low_first_digits_at_the_source_take_nothing_back() -> None:
    bench = Bench(kind="run-capacitor")
    bench.made_safe()
    bench.feed(ProveMeter)
    bench.shows("14.0 VAC")
    assert not bench.safety.may_be_touched
    bench.shows("231.0 VAC", "0.0 VAC")
    assert bench.safety.may_be_touched


@pytest.mark.parametrize(
    "between",
    [
        lambda bench: bench.feed(TypeReading, channel="residual", text="14 V AC"),
        lambda bench: bench.feed(TypeReading, channel="residual", text="230 V AC"),
        lambda bench: bench.feed(PowerRestored),
        lambda bench: bench.shows("14.0 VDC", link="other"),
    ],
)
def test_what_is_seen_on_the_way_to_the_source_and_is_not_its_own_stays(between) -> None:
    bench = Bench(second=True)
    bench.made_safe()
    bench.feed(ProveMeter)
    between(bench)
    bench.shows("231.0 VAC", "0.0 VAC")
    assert not bench.safety.may_be_touched


def test_the_proof_of_what_was_typed_is_asked_for_by_hand() -> None:
    """A voltmeter for DC is connected; the AC volts come from another one."""
    bench = Bench(Role.RESIDUAL)
    bench.proves("48.1 VDC")
    assert not bench.safety.proof_by_hand
    bench.takes("0.3 VDC")
    bench.feed(TypeReading, channel="residual", text="0.1 V AC")
    assert bench.safety.missing is Missing.PROOF_BEFORE and bench.safety.proof_by_hand
    bench.feed(ProveMeter, text="230 V AC")
    bench.feed(TypeReading, channel="residual", text="0.1 V AC")
    assert bench.safety.missing is Missing.PROOF_AFTER and not bench.safety.proof_by_hand
    bench.proves("48.1 VDC")
    assert bench.safety.proof_by_hand
    bench.feed(ProveMeter, text="230 V AC")
    assert bench.safety.may_be_touched and not bench.safety.proof_by_hand


@pytest.mark.parametrize("typed", [True, False])
def test_amps_of_a_running_motor_take_the_word_back(typed: bool) -> None:
    bench = Bench(kind="motor-single-phase-running")
    bench.made_safe()
    bench.feed(SelectSection, section="amps")
    if typed:
        bench.feed(TypeReading, channel="volts", text="8.1 A")
    else:
        bench.shows("8.1 AAC")
        bench.feed(TakeReading)
    assert not bench.safety.may_be_touched


ACTS = st.lists(
    st.one_of(
        st.tuples(st.just("shows"), st.sampled_from([0.0, 3.0, 12.0, 24.0, 230.0]), st.booleans()),
        st.tuples(st.just("takes"), st.sampled_from([0.0, 3.0, 12.0, 230.0]), st.booleans()),
        st.tuples(st.just("types"), st.sampled_from([0.0, 3.0, 12.0]), st.booleans()),
        st.tuples(st.sampled_from(["proves", "power", "part", "lost", "explains"])),
    ),
    max_size=24,
)


@settings(max_examples=150)
@given(acts=ACTS, begun=st.booleans())
def test_each_safe_stands_on_all_its_grounds(acts: list[tuple], begun: bool) -> None:
    """An account of its own: after the last act that takes ground away there were a live source,
    low DC and AC volts that somebody took or typed, or a fall, and a live source again."""
    bench = Bench()
    if begun:
        bench.made_safe()
    log: list[str] = ["proved", "dc", "ac", "proved"] if begun else []
    for act, *told in acts:
        if act == "shows":
            volts, ac = told
            bench.shows(f"{volts} {'VAC' if ac else 'VDC'}")
            if volts >= 5:
                log.append("high ac" if ac else "high dc")
            elif not ac:
                log.append("fell dc" if log and log[-1] == "high dc" else "")
        elif act in ("takes", "types"):
            volts, ac = told
            unit = "V AC" if ac else "V DC"
            if act == "takes":
                bench.takes(f"{volts} {unit.replace(' ', '')}")
            else:
                bench.feed(TypeReading, channel="residual", text=f"{volts} {unit}")
            log.append(("high " if volts >= 5 else "") + ("ac" if ac else "dc"))
        elif act == "proves":
            bench.proves()
            log.append("proved")
        elif act == "explains":
            bench.shows("230.0 VAC")
            bench.feed(ProveMeter)
            log += ["high ac", "proved"]
        elif act == "lost":
            bench.feed(LinkChange, link="link", up=False)
            bench.feed(LinkChange, link="link", up=True)
            bench.feed(Chunk, link="link", data=b"")
            log.append("gone")
        else:
            (bench.feed(PowerRestored) if act == "power" else bench.begin("run-capacitor"))
            log.clear()
        if bench.safety.may_be_touched:
            assert _grounds(log), log


def _grounds(log: list[str]) -> bool:
    stated: dict[str, list[str]] = {"dc": [], "ac": []}
    for said in log:
        if said and said not in ("proved", "gone"):
            stated[said[-2:]].append(said)
    low = {of: [i for i, said in enumerate(log) if said and said[-2:] == of] for of in stated}
    proved = [i for i, said in enumerate(log) if said == "proved"]
    gone = max((i for i, said in enumerate(log) if said == "gone"), default=-1)
    return (
        all(said and not said[-1].startswith("high") for said in stated.values())
        and bool(proved)
        and proved[0] < min(low["dc"][-1], low["ac"][-1])
        and proved[-1] > max(low["dc"][0], low["ac"][0])
        and gone < max(low["dc"][-1], low["ac"][-1])
    )
