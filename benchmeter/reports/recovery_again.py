"""The recovery of a session that was never closed, computed anew from its readings.

What is stored of a recovery is what was said when it settled and at the session's end. Where a
session has no end yet, it may have stopped since, or have settled only now.
"""

from dataclasses import replace

from benchmeter.record.records import SessionState, StoredVerdict
from benchmeter.record.store import Store
from benchmeter.reports.session_record import Record
from benchmeter.session.analyzers.recovery_analyzer import RecoveryFinding
from benchmeter.session.engine import MeasuringChain

__all__ = ["with_recovery_at_end"]


def with_recovery_at_end(store: Store, record: Record) -> Record:
    """The record with its recovery as it stood at its last reading. Reads the whole stream."""
    if record.summary.state is SessionState.ENDED:
        return record
    chain, last = MeasuringChain(record.setup), None
    for item in store.inputs(record.summary.id):
        last = chain.feed(item).of(RecoveryFinding) or last
    if last is None:
        return record
    found = StoredVerdict.of(last.recovery.time_ns, last.recovery)
    return replace(record, verdicts=(*record.verdicts, found), recomputed=True)
