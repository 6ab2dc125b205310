"""A record with judged parts, made by hand, for the tests of tags. All invented."""

from collections.abc import Iterable
from datetime import UTC, datetime

from benchmeter.checking.part_check import PartCheck
from benchmeter.conformity.verdict import Verdict
from benchmeter.readings.events import Event
from benchmeter.record.records import SessionState, SessionSummary, StoredVerdict
from benchmeter.reports.session_record import Record
from tests.fakes.bench_states import FINDINGS, SECOND, SETUP, judged_check

SESSION = "019aba52-7f31-7c55-8a6e-1c2d9c1f03ab"


def eight_checks() -> tuple[PartCheck, ...]:
    """One check for each verdict."""
    checks = tuple(
        judged_check(fan, number, f"part number {number}")
        for number, fan in enumerate(FINDINGS.values(), 1)
    )
    words = set(Verdict) - {Verdict.MEASURED}  # no word of a capacitor
    assert {c.verdict.verdict for c in checks if c.verdict} == words
    return checks


def record_of(
    checks: Iterable[PartCheck], *, events: tuple[Event, ...] = (), origin: str = "serial"
) -> Record:
    """A session that was begun in Chicago on 25 November 2026, at 14:32 there (UTC − 6 h)."""
    started = datetime(2026, 11, 25, 20, 32, tzinfo=UTC)
    summary = SessionSummary(
        id=SESSION,
        name="Roof unit 3",
        remark="",
        origin=origin,
        started=started,
        zone="America/Chicago",
        duration_ns=100 * SECOND,
        state=SessionState.ENDED,
        removed=False,
        app_version="0",
        input_count=1,
        reading_count=1,
        event_count=1,
        verdict_count=1,
        findings=(),
    )
    verdicts = tuple(StoredVerdict.of(20 * SECOND, c) for c in checks)
    return Record(summary, SETUP, (), events, verdicts)
