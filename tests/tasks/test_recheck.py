"""Each of these tests changes one thing of a stored session and names what a recheck must find.

Whoever changes it also seals the session anew, so that nothing but the comparison can tell.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any
from uuid import UUID

import msgspec
import numpy as np
import pytest
from sqlalchemy import Connection, text

from benchmeter.files.folders import Folders
from benchmeter.readings.status import Status
from benchmeter.record.blocks import Block, Samples, code_of_status, unpack
from benchmeter.record.engines import reading_engine, writing_engine
from benchmeter.record.migrations import AS_NOW
from benchmeter.record.migrations.m0003_digests import digest_session
from benchmeter.record.sealing import seal_of
from benchmeter.record.session_rows import session_row
from benchmeter.record.store import Store
from benchmeter.record.stored_stream import body_of, lines_in
from benchmeter.record.tables import SCHEMA_VERSION
from benchmeter.session.engine import MeasuringChain
from benchmeter.tasks.recheck import Difference, Place, recheck
from tests.record.frozen import unpack as unpack_record

METER, VISIT, SHOP = "reference-parts", "short-visit", "shop-bench"
NAMES = {METER: "bias taken off", VISIT: "Short visit", SHOP: "Shelf of pulled parts"}


class Forger:
    """Changes what lies in the tables of one session."""

    def __init__(self, connection: Connection, session: UUID) -> None:
        self.connection = connection
        self.session = session

    def run(self, statement: str, **values: Any) -> list[Any]:
        found = self.connection.execute(text(statement), {"s": self.session.hex, **values})
        return list(found) if found.returns_rows else []

    def samples(self, channel: str, change: Callable[[Samples], Samples]) -> None:
        """The first block of a channel, with a digest that fits."""
        row = self.run(
            "SELECT id, body, sample_count FROM sample_block"
            " WHERE session_id = :s AND channel = :c AND first_number = 0",
            c=channel,
        )[0]
        block = Block.of(channel, 0, change(unpack(row.body, row.sample_count)))
        self.run(
            "UPDATE sample_block SET sample_count = :n, first_ns = :f, last_ns = :l,"
            " minimum = :a, maximum = :z, body = :b, digest = :d WHERE id = :i",
            n=block.count, f=block.first_ns, l=block.last_ns, a=block.minimum, z=block.maximum,
            b=block.body, d=block.digest(self.session), i=row.id,
        )  # fmt: skip

    def finding(self, subject: str, path: tuple[str | int, ...], value: Any) -> None:
        """One value in the body of the last verdict on a subject."""
        row = self.run(
            "SELECT id, body FROM verdict WHERE session_id = :s AND subject = :n"
            " ORDER BY id DESC LIMIT 1",
            n=subject,
        )[0]
        whole = held = msgspec.msgpack.decode(row.body)
        for step in path[:-1]:
            held = held[step]
        assert held[path[-1]] != value
        held[path[-1]] = value
        self.run(
            "UPDATE verdict SET body = :b WHERE id = :i", b=msgspec.msgpack.encode(whole), i=row.id
        )

    def event(self, kind: str, change: str) -> None:
        self.run(
            f"UPDATE event SET {change} WHERE id ="
            " (SELECT min(id) FROM event WHERE session_id = :s AND kind = :k)",
            k=kind,
        )

    def stream(self, before: bytes, after: bytes) -> None:
        """The first such bytes in the stream; the digests are left as they are."""
        for row in self.run("SELECT id, body FROM raw_pack WHERE session_id = :s ORDER BY id"):
            lines = lines_in(row.body)
            if before in lines:
                body = body_of([lines.replace(before, after, 1)])
                self.run("UPDATE raw_pack SET body = :b WHERE id = :i", b=body, i=row.id)
                return
        raise AssertionError(before)


Forge = Callable[[Forger], object]


def differences(
    tmp_path: Path, record: str, forge: Forge, *, anew: bool = False
) -> tuple[Difference, ...]:
    """What a recheck finds after the forgery. `anew`: of the same stream, recorded today."""
    folders = Folders(unpack_record(record, tmp_path / "data"))
    if anew:
        folders = recorded_anew(folders, NAMES[record], tmp_path / "anew")
    with Store.open(folders, write=False) as store:
        session = store.session(NAMES[record]).id
    number = UUID(session)
    engine = writing_engine(folders.database)
    with engine.begin() as connection:
        forge(Forger(connection, number))
        version = connection.execute(text("PRAGMA user_version")).scalar_one()
    reading = reading_engine(folders.database, AS_NOW.get(version, ()))
    with reading.begin() as connection:
        seal = seal_of(connection, number)
    reading.dispose()
    with engine.begin() as connection:
        Forger(connection, number).run("UPDATE session SET seal = :x WHERE id = :s", x=seal)
        if version == SCHEMA_VERSION:
            forged = session_row(connection, number)
            digest_session(connection, msgspec.structs.replace(forged, digest=None))
    engine.dispose()
    with Store.open(folders, write=False) as store:
        return recheck(store, session).differences


def recorded_anew(folders: Folders, name: str, folder: Path) -> Folders:
    made = Folders(folder)
    with Store.open(folders, write=False) as old, Store.open(made, write=True) as new:
        session = old.session(name)
        setup = old.setup(session.id)
        chain = MeasuringChain(setup)
        recorder = new.begin(setup, name=name, started=session.started, zone=session.zone)
        for item in old.inputs(session.id):
            outcome = chain.feed(item)
            recorder.take(item, outcome.readings, outcome.events, outcome.verdicts)
        recorder.close()
    return made


def found(tmp_path: Path, record: str, forge: Forge) -> list[tuple[str, str, str]]:
    """Place, subject and fact of each difference, but what the raw record itself tells."""
    return [
        (d.place.value, d.subject, d.fact)
        for d in differences(tmp_path, record, forge)
        if d.place is not Place.RAW_RECORD
    ]


def at(number: int, **values: Any) -> Callable[[Samples], Samples]:
    """One sample of a block with other values."""

    def change(samples: Samples) -> Samples:
        columns = {name: getattr(samples, name).copy() for name in values}
        for name, value in values.items():
            assert columns[name][number] != value
            columns[name][number] = value
        return replace(samples, **columns)

    return change


def without_one(samples: Samples) -> Samples:
    columns = ("time_ns", "value", "status", "resolution")
    return replace(samples, **{c: np.delete(getattr(samples, c), 5) for c in columns})


VERDICT = ("verdict", "sections", 0)
AFTER = "part after"


@pytest.mark.parametrize(
    ("change", "fact"),
    [
        (at(20, value=42.61e-6), "value"),
        (at(20, status=code_of_status[Status.SUSPECT]), "status"),
        (at(20, resolution=1e-7), "resolution"),
        (at(20, time_ns=1), "time_ns"),
    ],
)
def test_a_sample_that_was_changed(tmp_path: Path, change: Any, fact: str) -> None:
    forge = lambda f: f.samples("capacitor", change)  # noqa: E731
    assert found(tmp_path, METER, forge) == [("readings", "capacitor", fact)]


def test_a_sample_that_was_dropped(tmp_path: Path) -> None:
    first, *more = found(tmp_path, METER, lambda f: f.samples("capacitor", without_one))
    assert first == ("readings", "capacitor", "count")
    assert ("readings", "capacitor", "time_ns") in more


def test_a_channel_that_is_missing(tmp_path: Path) -> None:
    forge = lambda f: f.run("DELETE FROM sample_block WHERE channel = 'capacitor'")  # noqa: E731
    assert found(tmp_path, METER, forge) == [("readings", "capacitor", "count")]


def test_a_byte_of_the_stream_that_was_changed(tmp_path: Path) -> None:
    """“42.60 uF” in the stream's base 64: the reading is another one, and the stream's digest."""
    everything = differences(
        tmp_path, METER, lambda f: f.stream(b"NDIuNjAgdUYNCg", b"NDIuNzAgdUYNCg")
    )
    assert {(d.place, d.subject, d.fact) for d in everything} >= {
        (Place.READINGS, "capacitor", "value"),
    }
    assert [d for d in everything if d.place is Place.RAW_RECORD] != []


@pytest.mark.parametrize(
    ("path", "value", "fact"),
    [
        (("verdict", "verdict"), "pass", "verdict.verdict"),
        ((*VERDICT, "verdict"), "pass", "verdict.sections[0].verdict"),
        ((*VERDICT, "reason"), "inside", "verdict.sections[0].reason"),
        ((*VERDICT, "section", "low_si"), "0.00004", "verdict.sections[0].section.low_si"),
        ((*VERDICT, "section", "unit"), "nF", "verdict.sections[0].section.unit"),
        ((*VERDICT, "reading_si"), "0.0000422", "verdict.sections[0].reading_si"),
        ((*VERDICT, "readings_si"), [], "verdict.sections[0].readings_si.count"),
        ((*VERDICT, "bias_si"), "0", "verdict.sections[0].bias_si"),
        ((*VERDICT, "lead_offset_si"), "1E-9", "verdict.sections[0].lead_offset_si"),
        (
            (*VERDICT, "expanded_uncertainty_si"),
            2.7e-7,
            "verdict.sections[0].expanded_uncertainty_si",
        ),
        ((*VERDICT, "guard_band_si"), 0.0, "verdict.sections[0].guard_band_si"),
        (
            (*VERDICT, "conformance_probability"),
            0.5,
            "verdict.sections[0].conformance_probability",
        ),
        (("verdict", "rule"), "simple", "verdict.rule"),
        (("verdict", "accuracy", "percent"), "0.4", "verdict.accuracy.percent"),
        (("sections", 0, "taken", 0, "time_ns"), 1, "sections[0].taken[0].time_ns"),
        (("sections", 0, "taken", 0, "by_hand"), True, "sections[0].taken[0].by_hand"),
        (("biases", 0, "reference", "valued_on"), "2026-01-11", "biases[0].reference.valued_on"),
        (("rating", "text"), "45 µF ±10 %", "rating.text"),
        (("lot",), "carton", "lot"),
    ],
)
def test_a_fact_of_a_verdict(tmp_path: Path, path: Any, value: Any, fact: str) -> None:
    forged = found(tmp_path, METER, lambda f: f.finding("after", path, value))
    assert ("verdict", AFTER, fact) in forged
    assert {tuple(where) for *where, _ in forged} == {("verdict", AFTER)}


def test_a_verdict_s_word_in_the_list(tmp_path: Path) -> None:
    forge = lambda f: f.run("UPDATE verdict SET word = 'pass' WHERE subject = 'after'")  # noqa: E731
    assert found(tmp_path, METER, forge) == [("verdict", AFTER, "word")]


def test_a_verdict_that_was_dropped(tmp_path: Path) -> None:
    forge = lambda f: f.run("DELETE FROM verdict WHERE subject = 'after'")  # noqa: E731
    assert found(tmp_path, METER, forge) == [("verdict", AFTER, "")]


@pytest.mark.parametrize(
    ("kind", "change", "where", "fact"),
    [
        ("gap", "until_ns = until_ns + 1", "gap capacitor", "until_ns"),
        ("gap", "time_ns = time_ns - 1", "gap capacitor", "time_ns"),
        ("garbled", "number = 7", "garbled line", "number"),
        ("bias accepted", "number = 0.0000006", "bias accepted capacitor", "number"),
        ("leads nulled", "subject = 'other'", "leads nulled other", "subject"),
        ("clock step", "number = 0", "clock step", "number"),
        ("typed", "text = '45.1'", "typed capacitor", "text"),
        ("link lost", "kind = 'link up'", "link up line", "kind"),
    ],
)
def test_a_fact_of_an_event(tmp_path: Path, kind: str, change: str, where: str, fact: str) -> None:
    assert ("event", where, fact) in found(tmp_path, METER, lambda f: f.event(kind, change))


def test_an_event_that_was_dropped(tmp_path: Path) -> None:
    forge = lambda f: f.run("DELETE FROM event WHERE kind = 'clock step'")  # noqa: E731
    assert found(tmp_path, METER, forge) == [("event", "clock step", "")]


def test_the_words_of_a_person_that_were_changed(tmp_path: Path) -> None:
    forged = found(tmp_path, VISIT, lambda f: f.event("mark", "text = 'other'"))
    assert forged == [("event", "mark", "text")]


@pytest.mark.parametrize(
    ("path", "value", "fact"),
    [
        (("phase",), "settled", "phase"),
        (("settled_k", "value"), 300.0, "settled_k.value"),
        (("rise_k", "low"), 0.5, "rise_k.low"),
        (("fit", "time_constant_s", "value"), 9.0, "fit.time_constant_s.value"),
        (("judgement",), "usual", "judgement"),
    ],
)
def test_a_fact_of_a_recovery(tmp_path: Path, path: Any, value: Any, fact: str) -> None:
    forged = found(tmp_path, VISIT, lambda f: f.finding("", path, value))
    assert forged == [("verdict", "recovery", fact)]


def test_a_conclusion_that_was_changed(tmp_path: Path) -> None:
    def forge(forger: Forger) -> None:
        name = "compressor, bakery"
        forger.finding(name, ("verdict", "conclusions", 0, "word"), "fail")
        forger.finding(name, ("verdict", "conclusions", 0, "finding"), "sum larger than S-R")
        forger.finding(name, ("verdict", "conclusions", 0, "value_si"), 0.7)

    where = ("verdict", "part compressor, bakery")
    assert found(tmp_path, SHOP, forge) == [
        (*where, f"verdict.conclusions[0].{fact}") for fact in ("word", "finding", "value_si")
    ]


def wordings() -> Iterator[Any]:
    yield pytest.param(lambda f: f.event("garbled", "text = 'no such line'"), id="garbled")
    yield pytest.param(lambda f: f.event("link lost", "text = 'Unplugged.'"), id="link lost")
    yield pytest.param(lambda f: f.event("bias accepted", "text = 'Taken off.'"), id="bias")
    yield pytest.param(lambda f: f.event("leads nulled", "text = '12 nF'"), id="nulled")
    for name, path, value in (
        ("accuracy", ("accuracy", "text"), "0.5 %\n+ 2 × 0.01 µF"),
        ("judged by", ("verdict", "accuracy", "text"), "0.5 %; 2 counts"),
        ("tolerance", ("rating", "tolerance"), "plus or minus six per cent"),
        ("next step", ("step",), "clip on"),
    ):
        yield pytest.param(lambda f, p=path, v=value: f.finding("after", p, v), id=name)


@pytest.mark.parametrize("reword", list(wordings()))
def test_other_words_for_the_same_are_no_difference(tmp_path: Path, reword: Forge) -> None:
    """A session that an older program stored means what it meant, however that was said."""
    assert differences(tmp_path, METER, reword) == ()


REASON = 'reason = \'{{"code":"{}","parameters":{{"reason":"so","advice":""}}}}\''


@pytest.mark.parametrize(
    ("kind", "change", "where", "fact"),
    [
        ("bias accepted", REASON.format("meters.other"), "bias accepted capacitor", "reason.code"),
        (
            "bias accepted",
            "reason = replace(reason, 'R45', 'R46')",
            "bias accepted capacitor",
            "reason.part",
        ),
        ("leads nulled", "quantity = 'resistance'", "leads nulled capacitor", "quantity"),
        ("leads nulled", "resolution = 0.5", "leads nulled capacitor", "resolution"),
        ("garbled", REASON.format("decoders.other"), "garbled line", "reason.code"),
    ],
)
def test_a_fact_of_an_event_that_is_stored_in_codes(
    tmp_path: Path, kind: str, change: str, where: str, fact: str
) -> None:
    forged = differences(tmp_path, METER, lambda f: f.event(kind, change), anew=True)
    assert ("event", where, fact) in [(d.place, d.subject, d.fact) for d in forged]


def test_a_session_that_was_recorded_today_agrees(tmp_path: Path) -> None:
    assert differences(tmp_path, METER, lambda f: None, anew=True) == ()


def test_a_sentence_that_stands_for_a_reason_is_none(tmp_path: Path) -> None:
    forge = lambda f: f.event("link lost", REASON.format("events.reported"))  # noqa: E731
    assert differences(tmp_path, METER, forge, anew=True) == ()


def test_numbers_that_another_library_computed_may_part_in_their_last_digits(
    tmp_path: Path,
) -> None:
    def forge(forger: Forger, factor: float) -> None:
        row = forger.run(
            "SELECT id, body FROM verdict WHERE session_id = :s AND kind = 'recovery'"
        )[-1]
        body = msgspec.msgpack.decode(row.body)
        body["settled_k"]["value"] *= factor
        forger.run(
            "UPDATE verdict SET body = :b WHERE id = :i", b=msgspec.msgpack.encode(body), i=row.id
        )

    assert differences(tmp_path / "a", VISIT, lambda f: forge(f, 1 + 2e-9)) == ()
    forged = found(tmp_path / "b", VISIT, lambda f: forge(f, 1 + 1e-6))
    assert forged == [("verdict", "recovery", "settled_k.value")]
