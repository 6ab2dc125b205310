"""A session in progress: what hands do to it must reach the record whatever it holds."""

from datetime import UTC, datetime

from benchmeter.chain.running import RunningSession
from benchmeter.instruments.setup import BenchSetup
from benchmeter.readings.inputs import Annotate, BeginCheck, Mark
from benchmeter.settings.folders import Folders
from benchmeter.sources.typed import TypedSource
from benchmeter.storage.store import Store


def test_half_a_character_in_a_text_does_not_end_the_session(folders: Folders):
    """No file in UTF-8 can hold a lone surrogate (RFC 3629, section 3)."""
    setup = BenchSetup(origin="typed in", links=(), channels=())
    with Store.open(folders, write=True) as store:
        recorder = store.begin(setup, name="x", started=datetime.now(UTC), zone="UTC")
        session = RunningSession(
            setup, TypedSource(), lambda _: None, session_id=recorder.session_id, recorder=recorder
        )
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
