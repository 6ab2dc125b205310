"""A stored session as one JSON document, in the units that people use.

Numbers are exact to the last digit that the meter showed: 44.1 µF is held as 4.41e-05 F and
written as 44.1.
"""

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

import msgspec
import numpy as np

from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.units import Unit
from benchmeter.readings.events import Event
from benchmeter.record.blocks import Samples
from benchmeter.record.records import SessionSummary, StoredVerdict
from benchmeter.record.store import Store
from benchmeter.reports.session_record import ChannelRecord, local_start, read_record
from benchmeter.reports.visit_table import visit_json
from benchmeter.words.event_words import event_text, event_words

__all__ = ["record_json", "session_json"]


def session_json(summary: SessionSummary) -> dict[str, Any]:
    """A session without its content."""
    return {
        "id": summary.id,
        "name": summary.name,
        "remark": summary.remark,
        "origin": summary.origin,
        "started": summary.started.isoformat(),
        "started_local": local_start(summary).isoformat(),
        "zone": summary.zone,
        "duration_s": summary.duration_ns / 1e9,
        "state": summary.state.value,
        "readings": summary.reading_count,
        "verdicts": [
            {"kind": f.kind.value, "subject": f.subject, "verdict": f.word}
            for f in summary.findings
        ],
    }


def record_json(store: Store, session_id: str, *, readings: bool = True) -> dict[str, Any]:
    """A whole session.

    Args:
        readings: whether each reading is listed; else their number, lowest and highest only.

    Raises:
        NoSuchRecord: none of that id.
    """
    record = read_record(store, session_id)
    document = session_json(record.summary)
    parts = {check.number: check.part for check in record.part_checks()}
    document["visit"] = visit_json(record.visit, parts)
    document["channels"] = [_channel(c, readings=readings) for c in record.channels]
    document["events"] = [_event(e) for e in record.events]
    document["verdicts"] = [_verdict(v) for v in record.verdicts]
    return document


def _channel(channel: ChannelRecord, *, readings: bool) -> dict[str, Any]:
    document: dict[str, Any] = {
        "name": channel.name,
        "role": channel.setup.role.value if channel.setup else None,
        "link": channel.setup.link if channel.setup else None,
        **_summary(channel.quantity, channel.samples),
    }
    if channel.stretches:
        document["stretches"] = [
            {
                "first_s": int(s.samples.time_ns[0]) / 1e9,
                "last_s": int(s.samples.time_ns[-1]) / 1e9,
                **_summary(s.quantity, s.samples),
            }
            for s in channel.stretches
        ]
    if readings:
        document["readings"] = [
            reading
            | {"quantity": s.quantity.value if s.quantity else None, "unit": _symbol(s.quantity)}
            for s in channel.stretches
            for reading in _readings(s.quantity, s.samples)
        ] or list(_readings(channel.quantity, channel.samples))
    return document


def _summary(quantity: Quantity | None, samples: Samples) -> dict[str, Any]:
    """What is measured and how often; lowest and highest only where all is of one quantity."""
    unit = quantity.plain_unit if quantity else None
    with_value = samples.value[~np.isnan(samples.value)]
    return {
        "quantity": quantity.value if quantity else None,
        "unit": _symbol(quantity),
        "si_unit": quantity.row.si_unit if quantity else None,
        "count": len(samples),
        "without_value": len(samples) - len(with_value),
        "lowest": _shown(float(with_value.min()), unit) if len(with_value) else None,
        "highest": _shown(float(with_value.max()), unit) if len(with_value) else None,
    }


def _readings(quantity: Quantity | None, samples: Samples) -> Iterator[dict[str, Any]]:
    unit = quantity.plain_unit if quantity else None
    rows = zip(
        samples.time_ns.tolist(),
        samples.value.tolist(),
        samples.statuses(),
        samples.resolution.tolist(),
        strict=True,
    )
    for time_ns, value, status, resolution in rows:
        yield {
            "time_s": time_ns / 1e9,
            "value": _shown(value, unit),
            "si_value": None if value != value else value,
            "status": status.value,
            "resolution": _shown_step(resolution, unit),
        }


def _symbol(quantity: Quantity | None) -> str | None:
    return quantity.plain_unit.symbol if quantity else None


def _shown(value_si: float, unit: Unit | None) -> float | None:
    if unit is None or value_si != value_si:
        return None
    return float(Decimal(repr(value_si)) / unit.scale - unit.zero)


def _shown_step(step_si: float, unit: Unit | None) -> float | None:
    if unit is None or step_si != step_si:
        return None
    return float(Decimal(repr(step_si)) / unit.scale)


def _event(event: Event) -> dict[str, Any]:
    return {
        "time_s": event.time_ns / 1e9,
        "kind": event.kind.value,
        "subject": event.subject,
        "text": event_text(event),
        "words": event_words(event),
        "until_s": None if event.until_ns is None else event.until_ns / 1e9,
        "number": event.number,
    }


def _verdict(verdict: StoredVerdict) -> dict[str, Any]:
    return {
        "kind": verdict.kind.value,
        "time_s": verdict.time_ns / 1e9,
        "subject": verdict.subject,
        "verdict": verdict.word,
        "finding": msgspec.to_builtins(verdict.stored),
    }
