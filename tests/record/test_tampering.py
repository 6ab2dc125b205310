"""A record that was changed behind benchmeter's back is found out, and where."""

import shutil
import sqlite3
import zlib
from collections.abc import Callable
from pathlib import Path

import pytest

from benchmeter.errors import Message, StoreDamaged
from benchmeter.files.folders import Folders
from benchmeter.links.instruments.setup import BenchSetup, ChannelSetup
from benchmeter.readings.events import Event, EventKind
from benchmeter.record.store import Store
from tests.fakes.refusals import said
from tests.record.recordings import STARTED, chunk, reading

DISCHARGE = ChannelSetup(name="discharge", link="probe", field="t")


@pytest.fixture(scope="module")
def recorded(tmp_path_factory: pytest.TempPathFactory) -> dict[bool, tuple[Path, str]]:
    """A session of three packs (sealed: merged) and 9000 readings, sealed and left open."""
    made = {}
    for sealed in (True, False):
        folders = Folders(tmp_path_factory.mktemp("recorded"))
        with Store.open(folders, write=True) as store:
            setup = BenchSetup(origin="simulated", links=(), channels=(DISCHARGE,))
            recorder = store.begin(setup, name="one", started=STARTED, zone="UTC")
            for number in range(9_000):
                recorder.take(
                    chunk(number, b"%d C\r\n" % number),
                    (reading(number, value=300 + number / 10),),
                    (Event(EventKind.MARK, number, text="fan"),) if number == 7 else (),
                )
                if number % 3_000 == 2_999:
                    recorder.flush()
            recorder.close(ended=sealed)
            made[sealed] = folders.data, recorder.session_id
    return made


@pytest.fixture(params=[True, False], ids=["sealed", "open"])
def session(
    request: pytest.FixtureRequest,
    folders: Folders,
    recorded: dict[bool, tuple[Path, str]],
) -> str:
    """A copy of one of them."""
    source, session = recorded[request.param]
    shutil.copytree(source, folders.data, dirs_exist_ok=True)
    return session


def findings(folders: Folders, session: str, *tampering: str) -> tuple[Message, ...]:
    raw = sqlite3.connect(folders.database)
    raw.create_function("rezip", 3, rezipped)
    raw.create_function("flip", 1, flipped)
    for statement in tampering:
        assert raw.execute(statement).rowcount > 0
    raw.commit()
    raw.close()
    with Store.open(folders, write=False) as store:
        return store.check(session)


def flipped(body: bytes) -> bytes:
    """One bit in the middle."""
    middle = len(body) // 2
    return body[:middle] + bytes([body[middle] ^ 0x10]) + body[middle + 1 :]


def rezipped(body: bytes, old: str, new: str) -> bytes:
    text = zlib.decompress(body)
    assert old.encode() in text
    return zlib.compress(text.replace(old.encode(), new.encode(), 1))


def test_an_untouched_session_is_sound(folders: Folders, session: str) -> None:
    assert findings(folders, session) == ()


GAP, END = "record.stream_gap", "record.stream_end_missing"


@pytest.mark.parametrize(
    ("tampering", "codes"),
    [
        pytest.param(
            "UPDATE raw_pack SET body = flip(body) WHERE first_input = (SELECT max(first_input) FROM raw_pack)",
            {"record.stream_unreadable"},
            id="a bit of a pack",
        ),
        pytest.param(  # well packed again: only the digest tells
            """UPDATE raw_pack SET body = rezip(body, '"time_ns":3000000000', '"time_ns":3000000001')
            WHERE first_input = 0""",
            {"record.stream_changed"},
            id="bytes of the wire",
        ),
        pytest.param("DELETE FROM raw_pack WHERE first_input = 0", {GAP, END}, id="no first pack"),
        pytest.param(
            "DELETE FROM raw_pack WHERE first_input = (SELECT max(first_input) FROM raw_pack)",
            {END},
            id="no last pack",
        ),
        pytest.param(
            "UPDATE session SET setup = replace(setup, 'discharge', 'outdoor')",
            {"record.stream_changed"},
            id="setup",
        ),
        pytest.param(
            "UPDATE session SET started = started + 60000000",
            {"record.stream_changed"},
            id="start",
        ),
        pytest.param(
            "UPDATE sample_block SET body = flip(body)", {"record.readings_changed"}, id="block"
        ),
        pytest.param(
            "UPDATE sample_block SET maximum = maximum + 1e-9",
            {"record.readings_changed"},
            id="extreme of a block",
        ),
        pytest.param(
            "DELETE FROM sample_block WHERE first_number = 0",
            {"record.readings_miscounted"},
            id="no block",
        ),
        pytest.param("DELETE FROM event", {"record.events_miscounted"}, id="no event"),
    ],
)
def test_what_was_changed_is_found(
    folders: Folders, session: str, tampering: str, codes: set[str]
) -> None:
    """One of the codes is among the findings."""
    assert codes & {f.code for f in findings(folders, session, tampering)}


def test_a_finding_tells_where_and_how_much(folders: Folders, session: str) -> None:
    found = findings(
        folders, session, "UPDATE sample_block SET maximum = maximum + 1", "DELETE FROM event"
    )
    assert {said(f) for f in found} >= {
        "The readings of discharge from 0:00:00 on were changed.",
        "0 events are stored, 1 were recorded.",
    }


@pytest.mark.parametrize("session", [True], indirect=True, ids=["sealed"])
@pytest.mark.parametrize(
    "tampering",
    [
        "UPDATE event SET text = 'compressor'",
        "UPDATE event SET time_ns = time_ns + 1",
        "UPDATE session SET stream_digest = zeroblob(32)",
        "UPDATE session SET seal = zeroblob(32)",
    ],
)
def test_a_change_after_sealing_is_found(folders: Folders, session: str, tampering: str) -> None:
    found = findings(folders, session, tampering)
    assert "record.changed_after_sealing" in {f.code for f in found}


@pytest.mark.parametrize("session", [True], indirect=True, ids=["sealed"])
def test_a_lost_seal_is_found(folders: Folders, session: str) -> None:
    found = findings(folders, session, "UPDATE session SET seal = NULL")
    assert found == (Message("record.row_changed"), Message("record.seal_missing"))


@pytest.mark.parametrize(
    ("tampering", "read"),
    [
        ("UPDATE raw_pack SET body = x'78'", lambda store, s: list(store.inputs(s))),
        ("UPDATE sample_block SET body = x'78'", lambda store, s: store.samples(s, "discharge")),
        ("UPDATE session SET setup = '{}'", lambda store, s: store.setup(s)),
        ("UPDATE event SET kind = 'x'", lambda store, s: store.events(s)),
    ],
)
def test_what_cannot_be_read_is_told_as_damage(
    folders: Folders, session: str, tampering: str, read: Callable[[Store, str], object]
) -> None:
    assert findings(folders, session, tampering)
    with Store.open(folders, write=False) as store, pytest.raises(StoreDamaged):
        read(store, session)


def test_text_that_is_no_utf_8_is_told_as_damage(folders: Folders, session: str) -> None:
    """One byte of a stored text that has gone bad: found by writing random bytes into records."""
    raw = sqlite3.connect(folders.database)
    raw.execute("UPDATE session SET setup = CAST(x'7b87' AS TEXT)")
    raw.commit()
    raw.close()
    with Store.open(folders, write=False) as store, pytest.raises(StoreDamaged):
        store.setup(session)


@pytest.mark.parametrize("write", [True, False])
def test_a_schema_that_is_no_utf_8_is_told_as_damage(
    folders: Folders, session: str, write: bool
) -> None:
    data = folders.database.read_bytes()
    assert b"CREATE TABLE raw_pack" in data
    # SQLite shows the broken name in its complaint, which the driver cannot decode.
    folders.database.write_bytes(
        data.replace(b"CREATE TABLE raw_pack", b"CREATE TA\x87LE raw_pack")
    )
    with pytest.raises(StoreDamaged):
        Store.open(folders, write=write)


@pytest.mark.usefixtures("session")
def test_a_session_whose_number_has_gone_bad_is_told_as_damage(
    folders: Folders,
) -> None:
    raw = sqlite3.connect(folders.database)
    raw.execute("UPDATE session SET id = replace(id, '7', '|'), state = 'open'")
    raw.commit()
    raw.close()
    with Store.open(folders, write=False) as store:
        assert len(store.listed().damaged) == 1
        for look in (lambda: store.session("one"), store.reference_readings):
            with pytest.raises(StoreDamaged):
                look()


def test_a_missing_piece_of_the_stream_stops_the_reading(folders: Folders, session: str) -> None:
    findings(
        folders, session,
        "UPDATE raw_pack SET first_input = first_input + 1000000 WHERE first_input = 0",
    )  # fmt: skip
    with Store.open(folders, write=False) as store, pytest.raises(StoreDamaged):
        list(store.inputs(session))
