"""A session in progress: what hands do to it must reach the record whatever it holds."""

from collections.abc import Iterator
from datetime import UTC, datetime

from benchmeter.files.folders import Folders
from benchmeter.links.instruments.setup import BenchSetup
from benchmeter.links.ports.typed_source import TypedSource
from benchmeter.readings.inputs import Annotate, BeginCheck, ClockAnchor, Input, Mark
from benchmeter.record.store import Store
from benchmeter.session.outcome import Outcome
from benchmeter.tasks.running import RunningSession
from tests.fakes.outcomes import notices_in

TYPED_IN = BenchSetup(origin="typed in", links=(), channels=())


class Ending:
    """A source that ends by itself."""

    def inputs(self) -> Iterator[Input]:
        yield ClockAnchor(time_ns=0, utc_us=0)

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
