"""What goes wrong in the decoder of one link stays there. The rules are our own."""

import pytest

from benchmeter.readings.channel_status import ChannelStatus
from benchmeter.readings.events import EventKind
from benchmeter.readings.inputs import Chunk, Input, LinkChange
from benchmeter.session.engine import MeasuringChain
from benchmeter.session.outcome import Outcome
from tests.fakes.decoders import TWO_LINKS, raises, spoil_decoder, stream, values
from tests.fakes.outcomes import notices_in


def fold(*items: Input) -> list[Outcome]:
    chain = MeasuringChain(TWO_LINKS)
    return [chain.feed(item) for item in items]


def kinds(outcomes: list[Outcome]) -> list[EventKind]:
    told = (EventKind.DECODER_FAULT, EventKind.DECODER_GIVEN_UP)
    return [e.kind for o in outcomes for e in o.events if e.kind in told]


def test_a_fault_in_a_decoder_is_told_and_reading_goes_on(monkeypatch: pytest.MonkeyPatch) -> None:
    spoil_decoder(monkeypatch, "text-value-unit", raises, b"bad")
    outcomes = fold(*stream(b"1.0 uF", b"bad", b"lost", b"2.0 uF"))
    # A decoder that begins anew does not know where a line begins: it drops the first one.
    assert values(outcomes, "meter") == ["1.0 uF", "2.0 uF"]
    assert values(outcomes, "T1") == ["1.0 C", "2.0 C", "3.0 C", "4.0 C"]
    assert kinds(outcomes) == [EventKind.DECODER_FAULT]
    [told] = [notice for o in outcomes for notice in notices_in(o) if "ZeroDivision" in notice]
    assert told.startswith("Bytes from meter gave no value (a fault in the program, ZeroDivision")


def test_after_three_faults_a_decoder_is_given_up_until_the_link_is_opened_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    spoil_decoder(monkeypatch, "text-value-unit", raises, b"bad")
    before = stream(*[b"bad"] * 5, b"1.0 uF", b"2.0 uF")
    again: list[Input] = [
        LinkChange(time_ns=9, link="meter", up=True),
        Chunk(time_ns=9, link="meter", data=b""),
        Chunk(time_ns=9, link="meter", data=b"3.0 uF\r\n"),
    ]
    outcomes = fold(*before, *again)
    assert kinds(outcomes) == [EventKind.DECODER_FAULT] * 2 + [EventKind.DECODER_GIVEN_UP]
    assert values(outcomes, "meter") == ["3.0 uF"]
    assert len(values(outcomes, "T1")) == 7
    [lost] = [s for o in outcomes for s in o.states if s.state is ChannelStatus.LOST]
    assert lost.channel == "meter"
    assert lost.reason is not None


def test_a_fault_at_what_is_sent_is_none_of_the_others_either(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    spoil_decoder(monkeypatch, "text-value-unit", raises, b"ask")
    items = [*stream(b"1.0 uF"), Chunk(time_ns=2, link="meter", data=b"ask", sent=True)]
    assert kinds(fold(*items)) == [EventKind.DECODER_FAULT]
