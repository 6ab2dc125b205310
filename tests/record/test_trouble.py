"""While the disk refuses, nothing is dropped, and the user is told. Faults are real ones."""

import threading
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from benchmeter.errors import StoreError, StoreFull
from benchmeter.files.folders import Folders
from benchmeter.links.instruments.setup import BenchSetup
from benchmeter.record import recorder as recorder_of
from benchmeter.record.records import SessionState
from benchmeter.record.store import Store
from tests.fakes.full_disk import fill_up
from tests.fakes.refusals import advised, refused, said
from tests.record.recordings import STARTED, chunk, reading


class TroubleLog:
    """Keeps what the recorder tells."""

    def __init__(self) -> None:
        self.told: list[StoreError | None] = []
        self.threads: set[str] = set()

    def __call__(self, trouble: StoreError | None) -> None:
        self.threads.add(threading.current_thread().name)
        self.told.append(trouble)


def wait_until(condition: Callable[[], bool], timeout_s: float = 10) -> None:
    deadline = time.monotonic() + timeout_s
    while not condition():
        assert time.monotonic() < deadline, "waited in vain"
        time.sleep(0.01)


def test_a_full_disk_loses_nothing(disk: Path, setup: BenchSetup) -> None:
    folders = Folders(disk / "data")
    log = TroubleLog()
    with Store.open(folders, write=True) as store:
        recorder = store.begin(setup, name="full", started=STARTED, zone="UTC", on_trouble=log)
        recorder.take(chunk(0), (reading(0),))
        recorder.flush()
        fill_up(disk / "ballast")

        for number in range(1, 20_000):  # more than the write-ahead log has room for
            recorder.take(chunk(number, b"%d" % (number * number)), (reading(number),))
        wait_until(lambda: bool(log.told))
        assert isinstance(log.told[0], StoreFull)
        assert "Free some space" in advised(log.told[0])
        with pytest.raises(StoreFull):
            recorder.flush()
        with pytest.raises(StoreFull):
            recorder.close()
        assert recorder.trouble is not None
        with pytest.raises(StoreFull):
            store.rename(recorder.session_id, "no room for a name" * 10_000)
        for _ in range(2):
            with pytest.raises(StoreFull):
                recorder.flush()
        assert len(log.told) == 1  # told once, not at each attempt

        (disk / "ballast").unlink()
        recorder.close()

        assert log.told[1:] == [None]
        assert log.threads == {"record writer"}
        assert [taken.time_ns for taken in store.inputs(recorder.session_id)] == [
            chunk(number).time_ns for number in range(20_000)
        ]
        assert len(store.samples(recorder.session_id, "discharge")) == 20_000
        assert store.session(recorder.session_id).state is SessionState.ENDED
        assert store.check(recorder.session_id) == ()


def test_a_disk_that_is_full_from_the_start_is_said(disk: Path, setup: BenchSetup) -> None:
    folders = Folders(disk / "data")
    folders.make()
    fill_up(disk / "ballast")
    with pytest.raises(StoreFull):
        Store.open(folders, write=True)
    (disk / "ballast").unlink()
    Store.open(folders, write=True).close()


def test_a_record_that_was_moved_away_is_noticed_and_filled_when_it_is_back(
    folders: Folders, setup: BenchSetup
) -> None:
    log = TroubleLog()
    with Store.open(folders, write=True) as store:
        recorder = store.begin(setup, name="moved", started=STARTED, zone="UTC", on_trouble=log)
        recorder.take(chunk(0), (reading(0),))
        recorder.flush()
        away = folders.data / "away"
        folders.database.rename(away)

        for number in range(1, 50):
            recorder.take(chunk(number), (reading(number),))
        wait_until(lambda: bool(log.told))
        assert log.told[0] is not None
        assert "moved or deleted" in said(log.told[0])
        assert not folders.database.exists()  # never replaced by an empty one

        away.rename(folders.database)
        wait_until(lambda: log.told[-1] is None)
        for number in range(50, 60):
            recorder.take(chunk(number), (reading(number),))
        recorder.close()
        assert list(store.inputs(recorder.session_id)) == [chunk(n) for n in range(60)]
        assert store.check(recorder.session_id) == ()


def test_a_program_that_holds_the_record_delays_and_loses_nothing(
    folders: Folders, setup: BenchSetup
) -> None:
    """Another tool writes to the file: SQLite waits for it, then the recorder tries again."""
    import sqlite3

    with Store.open(folders, write=True) as store:
        recorder = store.begin(setup, name="held", started=STARTED, zone="UTC")
        other = sqlite3.connect(folders.database, isolation_level=None)
        other.execute("BEGIN IMMEDIATE")
        for number in range(100):
            recorder.take(chunk(number), (reading(number),))
        flushing = threading.Thread(target=recorder.flush)
        flushing.start()
        flushing.join(0.5)
        assert flushing.is_alive()
        assert list(store.inputs(recorder.session_id)) == []
        other.execute("ROLLBACK")
        other.close()
        flushing.join(20)
        assert len(list(store.inputs(recorder.session_id))) == 100
        recorder.close()


def test_a_listener_that_fails_stops_no_writing(disk: Path, setup: BenchSetup) -> None:
    """The window may be gone when the disk is full."""
    folders = Folders(disk / "data")
    told: list[StoreError | None] = []

    def fails(trouble: StoreError | None) -> None:
        told.append(trouble)
        raise RuntimeError("nobody listens")

    with Store.open(folders, write=True) as store:
        recorder = store.begin(setup, name="alone", started=STARTED, zone="UTC", on_trouble=fails)
        fill_up(disk / "ballast")
        inputs = [chunk(n, bytes(range(256)) * 64) for n in range(100)]
        for item in inputs:
            recorder.take(item)
        wait_until(lambda: len(told) == 1)
        (disk / "ballast").unlink()
        wait_until(lambda: len(told) == 2)
        recorder.close()
        assert list(store.inputs(recorder.session_id)) == inputs


def test_taking_never_waits_for_the_disk(folders: Folders, setup: BenchSetup) -> None:
    import sqlite3

    with Store.open(folders, write=True) as store:
        recorder = store.begin(setup, name="quick", started=STARTED, zone="UTC")
        other = sqlite3.connect(folders.database, isolation_level=None)
        other.execute("BEGIN IMMEDIATE")
        for number in range(1_000):
            recorder.take(chunk(number), (reading(number),))
        # The commit is held up all the while, and has not even been given up once.
        assert list(store.inputs(recorder.session_id)) == [] and recorder.trouble is None
        other.execute("ROLLBACK")
        other.close()
        recorder.close()
        assert len(list(store.inputs(recorder.session_id))) == 1_000


def test_where_memory_ends_the_recording_ends_and_what_is_held_is_written(
    disk: Path, setup: BenchSetup, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(recorder_of, "_MOST_WAITING", 40)
    log = TroubleLog()
    with Store.open(Folders(disk / "data"), write=True) as store:
        recorder = store.begin(setup, name="full", started=STARTED, zone="UTC", on_trouble=log)
        fill_up(disk / "ballast")
        taken = 0
        with refused(StoreFull, match="40 readings are held in memory") as told:
            while True:
                recorder.take(chunk(taken, bytes(range(256)) * 64), (reading(taken),))
                taken += 1
        assert "as soon as there is room" in advised(told.value)
        assert recorder.held is not None
        assert recorder.held.readings == 40
        (disk / "ballast").unlink()
        recorder.close()
        assert recorder.held is None
        assert len(store.samples(recorder.session_id, "discharge")) == taken


def test_who_gives_up_is_told_exactly_what_is_lost(disk: Path, setup: BenchSetup) -> None:
    log = TroubleLog()
    with Store.open(Folders(disk / "data"), write=True) as store:
        recorder = store.begin(setup, name="full", started=STARTED, zone="UTC", on_trouble=log)
        fill_up(disk / "ballast")
        for number in range(200):
            recorder.take(chunk(number, bytes(range(256)) * 64), (reading(number),))
        wait_until(lambda: bool(log.told))
        lost = recorder.give_up()
        assert lost is not None
        (disk / "ballast").unlink()
        kept = len(store.samples(recorder.session_id, "discharge"))
        assert (kept + lost.readings, lost.until_ns) == (200, chunk(199).time_ns)
        assert lost.since_ns == chunk(kept).time_ns
        (left,) = store.cut_off()
        store.finish(left.id)
        assert store.check(left.id) == ()
