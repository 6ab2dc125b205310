"""All sessions of the record, and what is asked over all of them."""

from abc import ABC, abstractmethod
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import timedelta
from hashlib import sha256
from operator import itemgetter
from uuid import UUID
from zoneinfo import ZoneInfo

from sqlalchemy import text

from benchmeter.checking.part_check import PartCheck
from benchmeter.errors import NoSuchRecord, StoreDamaged
from benchmeter.links.instruments.meter_identity import BY_HAND
from benchmeter.readings.events import EventKind
from benchmeter.record import rows
from benchmeter.record.records import ReferenceReading, SessionState, SessionSummary, VerdictKind
from benchmeter.record.session_reader import SessionReader, meter_in
from benchmeter.record.session_rows import all_sessions
from benchmeter.record.store_faults import GARBAGE, damaged, session_damaged
from benchmeter.record.structs.session import StoredSession

__all__ = ["Catalogue", "Listed"]

_NOTHING: tuple[rows.Findings, bytes] = ({}, sha256().digest())


@dataclass(frozen=True, slots=True)
class Listed:
    """The list of sessions, newest first.

    Attributes:
        sessions: those that hold together, removed ones included.
        unfinished: numbers of those that a crash or a power cut left open.
        damaged: numbers of the others, as they lie.
    """

    sessions: tuple[SessionSummary, ...]
    unfinished: frozenset[str]
    damaged: tuple[str, ...]


class Catalogue(SessionReader, ABC):
    """The list of sessions. Every method may raise StoreError."""

    def listed(self) -> Listed:
        """All sessions, each compared with its digests."""
        live = self._live()
        found: list[SessionSummary] = []
        unfinished, broken = set(), []
        with self._reading() as connection, self._finding():
            # What is missing from the list would be missed by no digest.
            pages = connection.execute(text("PRAGMA main.integrity_check(session)")).scalars().all()
            if pages != ["ok"] and not self._trusting:
                raise damaged(self._path, "; ".join(pages))
            findings = rows.findings_in(connection)
            for lies in connection.execute(all_sessions()).mappings():
                try:
                    row = StoredSession.of(lies)
                    last, digest = findings.get(row.id.hex, _NOTHING)
                    if row.verdict_digest is None:
                        holds = rows.holds_by_seal(connection, row)
                    else:
                        holds = row.holds() and digest == row.verdict_digest
                    self._require(holds)
                    summary = rows.summary_of(row, last, live)
                except (*GARBAGE, StoreDamaged):
                    broken.append(str(lies["id"]))
                    continue
                found.append(summary)
                if row.state == SessionState.OPEN and summary.state is SessionState.CUT_OFF:
                    unfinished.add(summary.id)
        return Listed(tuple(found), frozenset(unfinished), tuple(broken))

    def sessions(self, *, removed: bool = False) -> tuple[SessionSummary, ...]:
        """All sessions that hold together, newest first; removed ones only if asked for."""
        return tuple(s for s in self.listed().sessions if removed or not s.removed)

    def session(self, wanted: str) -> SessionSummary:
        """One session, by its id, the beginning or end of its id, or its name.

        Raises:
            NoSuchRecord: none or several fit.
            StoreDamaged: it may be one that is damaged.
        """
        asked = wanted.strip()
        number = asked.replace("-", "").lower()
        listed = self.listed()
        fitting = [s for s in listed.sessions if s.id == asked.lower()] or [
            s
            for s in listed.sessions
            if (number and _is_end_of(number, s.id.replace("-", "")))
            or (asked and s.name == asked and not s.removed)
        ]
        if len(fitting) == 1:
            return fitting[0]
        if fitting:
            raise NoSuchRecord(
                "record.several_fit", count=len(fitting), wanted=asked, example=fitting[0].id
            )
        if listed.damaged:
            raise session_damaged(self._path, f"damaged: {listed.damaged}")
        raise NoSuchRecord("record.none_fits", wanted=asked)

    def cut_off(self) -> tuple[SessionSummary, ...]:
        """Sessions that a crash or a power cut left open; `finish` closes them."""
        listed = self.listed()
        return tuple(s for s in listed.sessions if s.id in listed.unfinished and not s.removed)

    def checks_of_parts(self, names: Iterable[str]) -> tuple[PartCheck, ...]:
        """Every verdict on parts of these names, whatever their letter case, oldest first.

        Those of removed sessions are left out.
        """
        wanted = {_folded(name) for name in names}
        return tuple(
            verdict.finding
            for session in reversed(self._whole() if wanted else ())
            if any(
                f.kind is VerdictKind.PART and _folded(f.subject) in wanted
                for f in session.findings
            )
            for verdict in self.verdicts(session.id)
            if isinstance(verdict.finding, PartCheck)
            and verdict.kind is VerdictKind.PART
            and _folded(verdict.subject) in wanted
        )

    def reference_readings(self) -> tuple[ReferenceReading, ...]:
        """The last reading of each check of a reference part, oldest first.

        Those of removed sessions are left out.
        """
        return tuple(
            reading
            for session in reversed(self._whole())
            if any(f.kind is VerdictKind.REFERENCE for f in session.findings)
            for reading in self._reference_readings_of(session)
        )

    def _whole(self) -> tuple[SessionSummary, ...]:
        """All sessions that are not removed: what is asked over all needs every one."""
        listed = self.listed()
        self._require(not listed.damaged)
        return tuple(s for s in listed.sessions if not s.removed)

    def _reference_readings_of(self, session: SessionSummary) -> Iterable[ReferenceReading]:
        setup, events = self.setup(session.id), self.events(session.id)
        last = {
            v.finding.number: (v.time_ns, v.finding)
            for v in self.verdicts(session.id)
            if v.kind is VerdictKind.REFERENCE and isinstance(v.finding, PartCheck)
        }
        for time_ns, check in sorted(last.values(), key=itemgetter(0)):
            typed = any(
                e.kind is EventKind.TYPED and e.subject == check.channel and e.time_ns == time_ns
                for e in events
            )
            meter = BY_HAND if typed else meter_in(setup, events, check.channel, time_ns)
            read_at = session.started + timedelta(microseconds=time_ns // 1000)
            read_on = read_at.astimezone(ZoneInfo(session.zone)).date()
            yield ReferenceReading(session.id, meter, read_on, check)

    @abstractmethod
    def _live(self) -> frozenset[UUID] | None:
        """Sessions that are being recorded here; None: those that are open, by another program."""


def _is_end_of(number: str, whole: str) -> bool:
    return whole.startswith(number) or whole.endswith(number)


def _folded(text: str) -> str:
    # Compared here, since no database folds letters beyond ASCII alike.
    return " ".join(text.casefold().split())
