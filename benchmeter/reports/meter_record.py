"""What the record says about each meter: its readings of reference parts over all sessions."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from benchmeter.checking.meter_history import Comparison, ReferenceHistory, meter_history
from benchmeter.checking.reference_check import compatibility_of, measured_section
from benchmeter.links.instruments.meter_identity import BY_HAND, Meter
from benchmeter.record.records import ReferenceReading
from benchmeter.record.store import Store

__all__ = ["MeterRecord", "meter_record_of", "meter_records"]


@dataclass(frozen=True, slots=True)
class MeterRecord:
    """A meter and a history for each reference part. `without_value`: checks that gave none."""

    meter: Meter
    histories: tuple[ReferenceHistory, ...]
    without_value: int


def meter_records(readings: Iterable[ReferenceReading]) -> tuple[MeterRecord, ...]:
    """One record for each meter, in the order of the first reading.

    Args:
        readings: `Store.reference_readings`, oldest first.
    """
    by_meter: dict[Meter, list[Comparison | None]] = {}
    for reading in readings:
        by_meter.setdefault(reading.meter, []).append(_comparison(reading))
    return tuple(
        MeterRecord(
            meter,
            meter_history(c for c in found if c is not None),
            sum(c is None for c in found),
        )
        for meter, found in by_meter.items()
    )


def meter_record_of(store: Store, session_id: str, channel: str) -> MeterRecord | None:
    """The record of the meter that a channel of a session is; None before its first reading.

    Its biases may be offered for that channel, and those of no other meter.
    """
    meter = store.meter(session_id, channel)
    if meter == BY_HAND:
        return None
    found = meter_records(r for r in store.reference_readings() if r.meter == meter)
    return found[0] if found else None


def _comparison(reading: ReferenceReading) -> Comparison | None:
    compatibility = compatibility_of(reading.check, reading.read_on)
    section = measured_section(reading.check)
    if compatibility is None or section is None:
        return None
    return Comparison(compatibility, section.resolution_si or Decimal(0))
