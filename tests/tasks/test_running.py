"""A session in progress: what hands do to it must reach the record whatever it holds."""

import threading
from collections.abc import Callable, Iterator
from datetime import UTC, datetime

import pytest

from benchmeter.checking.commands import Annotate, BeginCheck, Mark
from benchmeter.files.folders import Folders
from benchmeter.links.instruments.setup import BenchSetup
from benchmeter.links.ports.typed_source import TypedSource
from benchmeter.readings.inputs import Chunk, ClockAnchor, Input
from benchmeter.record.store import Store
from benchmeter.session.engine import MeasuringChain
from benchmeter.session.outcome import Outcome
from benchmeter.tasks import running
from benchmeter.tasks.running import RunningSession
from tests.fakes.decoders import TWO_LINKS, loops, raises, spoil_decoder, stream, values, waits
from tests.fakes.outcomes import notices_in

TYPED_IN = BenchSetup(origin="typed in", links=(), channels=())


class Ending:
    """A source that ends by itself."""

    def __init__(self, *items: Input) -> None:
        self._items = items or (ClockAnchor(time_ns=0, utc_us=0),)

    def inputs(self) -> Iterator[Input]:
        yield from self._items

    def close(self) -> None:
        pass


def test_a_command_after_the_end_is_refused_in_words(folders: Folders):
    """Nothing is lost unseen: it is in the record, or it is said that it is not (our own rule)."""
    outcomes: list[Outcome] = []
    with Store.open(folders, write=True) as store:
        recorder = store.begin(TYPED_IN, name="x", started=datetime.now(UTC), zone="UTC")
        session = RunningSession(
            TYPED_IN, Ending(), outcomes.append,
            session_id=recorder.session_id, recorder=recorder,
        )  # fmt: skip
        session.send(Mark(time_ns=0, text="in time"))
        session.start()
        assert session.wait(10)
        assert not any(o.notices for o in outcomes)
        session.send(Mark(time_ns=0, text="too late"))
        assert "not in its record" in notices_in(outcomes[-1])[0]
        kept = [i.text for i in store.inputs(recorder.session_id) if isinstance(i, Mark)]
    assert kept == ["in time"]


def test_half_a_character_in_a_text_does_not_end_the_session(folders: Folders):
    """No file in UTF-8 can hold a lone surrogate (RFC 3629, section 3)."""
    with Store.open(folders, write=True) as store:
        recorder = store.begin(TYPED_IN, name="x", started=datetime.now(UTC), zone="UTC")
        session = RunningSession(
            TYPED_IN, TypedSource(), lambda _: None,
            session_id=recorder.session_id, recorder=recorder,
        )  # fmt: skip
        session.start()
        session.send(Mark(time_ns=0, text="half \ud83d, whole \ud83d\ude00"))
        session.send(BeginCheck(time_ns=0, part="\udcff", label="\udcff"))
        session.send(Annotate(time_ns=0, text="as it was"))
        session.stop()
        assert session.failure is None
        texts = [
            i.text for i in store.inputs(recorder.session_id) if isinstance(i, Mark | Annotate)
        ]
    assert texts == ["half \ufffd, whole \N{GRINNING FACE}", "as it was"]


@pytest.mark.parametrize("hang", [loops, waits])
def test_a_decoder_that_never_ends_stops_no_other_link_and_loses_no_byte(
    folders: Folders, monkeypatch: pytest.MonkeyPatch, hang: Callable[[], None]
):
    """Our own rule: a wall around each link."""
    monkeypatch.setattr(running, "_LONGEST_DECODING_S", 0.05)
    spoil_decoder(monkeypatch, "text-value-unit", hang, b"bad")
    items = stream(b"1.0 uF", b"bad", b"lost", b"2.0 uF", *[b"bad"] * 2, b"3.0 uF")
    outcomes: list[Outcome] = []
    with Store.open(folders, write=True) as store:
        recorder = store.begin(TWO_LINKS, name="x", started=datetime.now(UTC), zone="UTC")
        session = RunningSession(
            TWO_LINKS, Ending(*items), outcomes.append,
            session_id=recorder.session_id, recorder=recorder,
        )  # fmt: skip
        session.start()
        assert session.wait(10)
        assert session.failure is None
        kept = [i for i in store.inputs(recorder.session_id) if isinstance(i, Chunk)]
    assert kept == items
    assert values(outcomes, "meter") == ["1.0 uF", "2.0 uF"]
    assert values(outcomes, "T1") == [f"{n}.0 C" for n in range(1, 8)]
    told = [notice for o in outcomes for notice in notices_in(o)]
    assert sum("reading them takes too long" in notice for notice in told) == 3


def test_an_input_whose_reading_fails_is_in_the_record(
    folders: Folders, monkeypatch: pytest.MonkeyPatch
):
    """Whatever a fault of ours does, what was sent is kept (our own rule)."""
    monkeypatch.setattr(MeasuringChain, "feed", lambda _chain, _item: raises())
    monkeypatch.setattr(threading, "excepthook", lambda _: None)
    item = Chunk(time_ns=0, link="x", data=b"1.0 uF")
    with Store.open(folders, write=True) as store:
        recorder = store.begin(TYPED_IN, name="x", started=datetime.now(UTC), zone="UTC")
        session = RunningSession(
            TYPED_IN, Ending(item), lambda _: None,
            session_id=recorder.session_id, recorder=recorder,
        )  # fmt: skip
        session.start()
        assert session.wait(10)
        assert isinstance(session.failure, ZeroDivisionError)
        assert list(store.inputs(recorder.session_id)) == [item]
