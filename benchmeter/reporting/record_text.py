"""A stored session as text for the terminal."""

from benchmeter.conformity.check import PartCheck
from benchmeter.reporting.not_tested import not_tested, unjudged_parts
from benchmeter.reporting.numbers import duration_text
from benchmeter.reporting.record import Record, read_record
from benchmeter.reporting.wording_events import event_words
from benchmeter.reporting.wording_recovery import phase_words
from benchmeter.reporting.wording_verdict import verdict_in_words, why
from benchmeter.storage.store import Store

__all__ = ["record_text"]


def record_text(store: Store, session_id: str, *, temperature_unit: str = "°C") -> str:
    """Some lines on a session: what was measured, what happened, what was found.

    Raises:
        NoSuchRecord: none of that id.
    """
    record = read_record(store, session_id)
    summary = record.summary
    lines = [
        summary.name or "Session",
        f"{summary.id}",
        f"{record.clock(0):%Y-%m-%d %H:%M} {summary.zone}, "
        f"{duration_text(summary.duration_ns / 1e9)}, {summary.origin}, {summary.state.value}",
        *([summary.remark] if summary.remark else []),
        "",
        *_channels(record),
        "",
        *(f"{_clock(e.time_ns)}  {event_words(e)}" for e in record.events),
        "",
    ]
    for check in record.part_checks():
        lines += _part(check)
    recovery = record.recovery()
    if recovery is not None:
        lines.append(f"Recovery: {phase_words(recovery, temperature_unit)}")
    lines += ["", *unjudged_parts(store, record), *not_tested(record)]
    return "\n".join(lines)


def _channels(record: Record) -> list[str]:
    if not record.channels:
        return ["No channel."]
    return [
        f"{c.name}: {len(c.samples)} readings" + (f" of {c.quantity.value}" if c.quantity else "")
        for c in record.channels
    ]


def _part(check: PartCheck) -> list[str]:
    if check.verdict is None:
        return []
    head = f"{check.part} ({check.rating.text}): {verdict_in_words(check.verdict.verdict)}"
    return [head, *(f"    {s.section.name}: {why(s)}" for s in check.verdict.sections)]


def _clock(time_ns: int) -> str:
    minutes, seconds = divmod(time_ns // 1_000_000_000, 60)
    return f"{minutes:3d}:{seconds:02d}"
