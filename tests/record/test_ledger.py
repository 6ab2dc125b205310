"""What the writer does between the lines: sealing piece by piece, repeating, holding back."""

import hashlib
import sqlite3
import threading
from collections.abc import Iterator
from uuid import UUID

import pytest
from sqlalchemy import Engine, func, select

from benchmeter.files.folders import Folders
from benchmeter.links.instruments.setup import BenchSetup
from benchmeter.record import recorder as recorder_module
from benchmeter.record.engines import writing_engine
from benchmeter.record.ledger import Entry, Ledger
from benchmeter.record.store import Store
from benchmeter.record.tables import packs, sample_blocks, sample_tail
from tests.record.recordings import STARTED, chunk, reading

CHANNELS = ("a", "b", "c")


@pytest.fixture
def session(folders: Folders, setup: BenchSetup) -> UUID:
    with Store.open(folders, write=True) as store:
        return UUID(store.begin(setup, name="", started=STARTED, zone="UTC").session_id)


@pytest.fixture
def engine(folders: Folders, session: UUID) -> Iterator[Engine]:
    opened = writing_engine(folders.database)
    yield opened
    opened.dispose()


def entries(session: UUID, count: int) -> list[Entry]:
    return [
        Entry.of(session, chunk(n), tuple(reading(n, channel) for channel in CHANNELS), (), ())
        for n in range(count)
    ]


def rows(engine: Engine, table: object) -> int:
    with engine.begin() as connection:
        return connection.execute(select(func.count()).select_from(table)).scalar_one()  # type: ignore[arg-type]


def test_sealing_takes_one_channel_at_a_time(engine: Engine, session: UUID) -> None:
    """So that the next commit never waits for all of them."""
    ledger = Ledger(engine, session, hashlib.sha256())
    ledger.append(entries(session, 8_192))
    for sealed in range(1, 4):
        assert ledger.has_chore()
        ledger.do_chore()
        assert rows(engine, sample_blocks) == sealed
        assert rows(engine, sample_tail) == (3 - sealed) * 8_192
    assert not ledger.has_chore()


def test_small_packs_are_merged_as_they_gather(engine: Engine, session: UUID) -> None:
    ledger = Ledger(engine, session, hashlib.sha256())
    for entry in entries(session, 240):
        ledger.append([entry])
    assert rows(engine, packs) == 240
    ledger.do_chore()
    assert rows(engine, packs) == 1
    assert not ledger.has_chore()


def test_a_commit_that_may_have_reached_the_disk_is_repeated_without_harm(
    engine: Engine, session: UUID
) -> None:
    first = Ledger(engine, session, hashlib.sha256())
    first.append(entries(session, 10))
    unaware = Ledger(engine, session, hashlib.sha256())
    unaware.append(entries(session, 10))
    assert rows(engine, packs) == 1
    assert rows(engine, sample_tail) == 30
    more = entries(session, 12)[10:]
    unaware.append(more)
    assert rows(engine, sample_tail) == 36


def test_sealing_that_may_have_reached_the_disk_comes_to_an_end(
    engine: Engine, session: UUID
) -> None:
    aware, unaware = (Ledger(engine, session, hashlib.sha256()) for _ in range(2))
    aware.append(entries(session, 8_192))
    unaware.append(entries(session, 8_192))
    for _ in range(3):  # channels
        aware.do_chore()
    for _ in range(3):
        assert unaware.has_chore()
        unaware.do_chore()
    assert not unaware.has_chore()
    assert rows(engine, sample_blocks) == 3


def test_taking_waits_only_at_an_absurd_length(
    folders: Folders, setup: BenchSetup, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(recorder_module, "_MOST_WAITING", 10)
    with Store.open(folders, write=True) as store:
        recorder = store.begin(setup, name="", started=STARTED, zone="UTC")
        other = sqlite3.connect(folders.database, isolation_level=None)
        other.execute("BEGIN IMMEDIATE")
        taken: list[int] = []

        def take() -> None:
            for number in range(25):
                recorder.take(chunk(number))
                taken.append(number)

        thread = threading.Thread(target=take)
        thread.start()
        thread.join(0.2)
        assert thread.is_alive()
        assert len(taken) == 10
        other.execute("ROLLBACK")
        other.close()
        thread.join(5)
        recorder.close()
        assert list(store.inputs(recorder.session_id)) == [chunk(n) for n in range(25)]
