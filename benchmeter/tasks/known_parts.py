"""Parts of known value: what they say about a meter, and one more of them."""

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from benchmeter.checking.reference_parts import all_reference_parts
from benchmeter.conformity.reference_part import ReferencePart
from benchmeter.errors import WorldError
from benchmeter.files.folders import Folders

if TYPE_CHECKING:  # what a scene draws needs no record
    from benchmeter.record.store import Store
    from benchmeter.reports.meter_record import MeterRecord

__all__ = ["MeterFound", "find_meter"]


@dataclass(frozen=True, slots=True)
class MeterFound:
    """The reference parts in the list at `path`, and what they have said about a meter.

    Attributes:
        broken: what is wrong with those that cannot be used.
        record: of the meter; None before its first reading, and where nobody knows which it is.
    """

    path: Path
    parts: tuple[ReferencePart, ...] = ()
    broken: tuple[WorldError, ...] = ()
    record: "MeterRecord | None" = None


def find_meter(folders: Folders, store: "Store", session_id: str, channel: str) -> MeterFound:
    """The reference parts, and the history of the meter that a channel of a session is.

    Args:
        channel: "" none.
    """
    from benchmeter.reports.meter_record import meter_record_of

    record = meter_record_of(store, session_id, channel) if channel else None
    return MeterFound(folders.reference_parts, *all_reference_parts(folders), record=record)
