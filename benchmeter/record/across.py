"""What is asked over all sessions. Each function runs in the caller's transaction."""

from collections.abc import Iterable
from datetime import timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from sqlalchemy import Connection, bindparam, func, select

from benchmeter.checking.part_check import PartCheck
from benchmeter.links.instruments.meter_identity import BY_HAND, Meter, meter_of
from benchmeter.readings.events import EventKind
from benchmeter.record.records import ReferenceReading, VerdictKind
from benchmeter.record.rows import setup_of
from benchmeter.record.structs.findings import part_check_in
from benchmeter.record.tables import events, sessions, verdicts

__all__ = ["checks_of_parts", "meter_in", "reference_readings"]

_BODY = (
    select(verdicts.c.body, sessions.c.form)
    .join(sessions, sessions.c.id == verdicts.c.session_id)
    .where(verdicts.c.id == bindparam("number"))
)


def checks_of_parts(connection: Connection, names: Iterable[str]) -> tuple[PartCheck, ...]:
    """Every verdict on parts of these names, whatever their letter case, oldest first.

    Those of removed sessions are left out.
    """
    wanted = {_folded(name) for name in names}
    if not wanted:
        return ()
    # Compared here, since no database folds letters beyond ASCII alike.
    rows = connection.execute(
        select(verdicts.c.id, verdicts.c.subject)
        .join(sessions, sessions.c.id == verdicts.c.session_id)
        .where(verdicts.c.kind == VerdictKind.PART.value, ~sessions.c.removed)
        .order_by(sessions.c.started, verdicts.c.id)
    )
    numbers = [row.id for row in rows if _folded(row.subject) in wanted]
    bodies = (connection.execute(_BODY, {"number": number}).one() for number in numbers)
    return tuple(part_check_in(found.body, found.form).restored() for found in bodies)


def reference_readings(connection: Connection) -> tuple[ReferenceReading, ...]:
    """The last reading of every check of a reference part, oldest first; no removed sessions."""
    last = (
        select(func.max(verdicts.c.id))
        .where(verdicts.c.kind == VerdictKind.REFERENCE.value)
        .group_by(verdicts.c.session_id, verdicts.c.number)
    )
    rows = connection.execute(
        select(
            verdicts.c.session_id,
            verdicts.c.time_ns,
            verdicts.c.body,
            sessions.c.form,
            sessions.c.started,
            sessions.c.zone,
        )
        .join(sessions, sessions.c.id == verdicts.c.session_id)
        .where(verdicts.c.id.in_(last), ~sessions.c.removed)
        .order_by(sessions.c.started, verdicts.c.id)
    ).all()
    found = []
    for row in rows:
        check = part_check_in(row.body, row.form).restored()
        read_at = row.started + timedelta(microseconds=row.time_ns // 1000)
        read_on = read_at.astimezone(ZoneInfo(row.zone)).date()
        typed = _was_typed(connection, row.session_id, check.channel, row.time_ns)
        meter = (
            BY_HAND if typed else meter_in(connection, row.session_id, check.channel, row.time_ns)
        )
        found.append(ReferenceReading(str(row.session_id), meter, read_on, check))
    return tuple(found)


def meter_in(
    connection: Connection, session: UUID, channel: str, time_ns: int = 2**63 - 1
) -> Meter:
    """Which meter a channel was at a moment; at the latest one by default."""
    setup = setup_of(connection, session)
    link = next((c.link for c in setup.channels if c.name == channel), "")
    told = connection.execute(
        select(events.c.text)
        .where(
            events.c.session_id == session,
            events.c.kind == EventKind.LINK_UP.value,
            events.c.subject == link,
            events.c.time_ns <= time_ns,
        )
        .order_by(events.c.id.desc())
        .limit(1)
    ).scalar_one_or_none()
    return meter_of(setup, channel, told or "")


def _was_typed(connection: Connection, session: UUID, channel: str, time_ns: int) -> bool:
    found = connection.execute(
        select(events.c.id).where(
            events.c.session_id == session,
            events.c.kind == EventKind.TYPED.value,
            events.c.subject == channel,
            events.c.time_ns == time_ns,
        )
    )
    return found.first() is not None


def _folded(text: str) -> str:
    return " ".join(text.casefold().split())
