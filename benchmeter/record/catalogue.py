"""All sessions of the record, and what is asked over all of them."""

from abc import ABC, abstractmethod
from collections.abc import Iterable
from uuid import UUID

from sqlalchemy import select

from benchmeter.checking.part_check import PartCheck
from benchmeter.errors import NoSuchRecord
from benchmeter.record import across, rows
from benchmeter.record.access import RecordAccess
from benchmeter.record.records import ReferenceReading, SessionState, SessionSummary
from benchmeter.record.tables import sessions

__all__ = ["Catalogue"]


class Catalogue(RecordAccess, ABC):
    """The list of sessions. Every method may raise StoreError."""

    def sessions(self, *, removed: bool = False) -> tuple[SessionSummary, ...]:
        """All sessions, newest first; removed ones only if asked for."""
        live = self._live()
        with self._reading() as connection, self._sound():
            return rows.summaries(connection, removed=removed, live=live)

    def session(self, wanted: str) -> SessionSummary:
        """One session, by its id, the beginning or end of its id, or its name.

        Raises:
            NoSuchRecord: none or several fit.
        """
        text = wanted.strip()
        number = text.replace("-", "").lower()
        known = self.sessions(removed=True)
        fitting = [s for s in known if s.id == text.lower()] or [
            s
            for s in known
            if (number and _is_end_of(number, s.id.replace("-", "")))
            or (text and s.name == text and not s.removed)
        ]
        if len(fitting) == 1:
            return fitting[0]
        if fitting:
            raise NoSuchRecord(
                "record.several_fit", count=len(fitting), wanted=text, example=fitting[0].id
            )
        raise NoSuchRecord("record.none_fits", wanted=text)

    def cut_off(self) -> tuple[SessionSummary, ...]:
        """Sessions that a crash or a power cut left open; `finish` closes them."""
        with self._reading() as connection, self._sound():
            found = connection.execute(
                select(sessions.c.id).where(sessions.c.state == SessionState.OPEN.value)
            )
            unfinished = {str(number) for number in found.scalars()}
        return tuple(
            summary
            for summary in self.sessions()
            if summary.id in unfinished and summary.state is SessionState.CUT_OFF
        )

    def checks_of_parts(self, names: Iterable[str]) -> tuple[PartCheck, ...]:
        """Every verdict on parts of these names in all sessions, oldest first."""
        with self._reading() as connection, self._sound():
            return across.checks_of_parts(connection, names)

    def reference_readings(self) -> tuple[ReferenceReading, ...]:
        """The last reading of every check of a reference part in all sessions, oldest first."""
        with self._reading() as connection, self._sound():
            return across.reference_readings(connection)

    @abstractmethod
    def _live(self) -> frozenset[UUID] | None:
        """Sessions that are being recorded here; None: those that are open, by another program."""


def _is_end_of(number: str, whole: str) -> bool:
    return whole.startswith(number) or whole.endswith(number)
