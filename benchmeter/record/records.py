"""What the record gives back."""

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from benchmeter.checking.check import PartCheck
from benchmeter.checking.reference_check import word_of
from benchmeter.cooling.recovery import Recovery
from benchmeter.links.instruments.meter_identity import Meter
from benchmeter.record.structs.stored_part_check import StoredPartCheck
from benchmeter.record.structs.stored_recovery import StoredRecovery

__all__ = [
    "LastVerdict",
    "Overview",
    "ReferenceReading",
    "Revision",
    "SessionState",
    "SessionSummary",
    "StoredVerdict",
    "VerdictKind",
]


class SessionState(StrEnum):
    """How a session stands."""

    OPEN = "open"  # being recorded
    ENDED = "ended"
    CUT_OFF = "cut off"  # by a crash or a power cut; all but the last second is there
    UNKNOWN = "unknown"  # stored by a newer benchmeter

    @classmethod
    def of(cls, stored: str) -> "SessionState":
        """The state that is stored."""
        try:
            return cls(stored)
        except ValueError:
            return cls.UNKNOWN


class VerdictKind(StrEnum):
    PART = "part"
    RECOVERY = "recovery"
    REFERENCE = "reference"  # on the meter, by a part of known value
    UNKNOWN = "unknown"  # stored by a newer benchmeter

    @classmethod
    def of(cls, stored: str) -> "VerdictKind":
        """The kind that is stored."""
        try:
            return cls(stored)
        except ValueError:
            return cls.UNKNOWN


@dataclass(frozen=True, slots=True)
class LastVerdict:
    """The last verdict on a part or a recovery, in a word.

    Attributes:
        subject: own name of the part; "" for a recovery.
        word: Word of a part, MeterVerdict of a reference part, "" while it has none; "phase,
            judgement" of a recovery.
    """

    kind: VerdictKind
    subject: str
    word: str


@dataclass(frozen=True, slots=True)
class SessionSummary:
    """A session without its content.

    Attributes:
        id: UUID as text.
        started: UTC, aware.
        zone: IANA name of where it was recorded.
        duration_ns: time of the last input.
        findings: of the parts in the order of their checks, then of the recovery, then of the
            reference parts.
        form: that it is stored in, a SessionForm; None: it was stored before sessions told.
    """

    id: str
    name: str
    remark: str
    origin: str
    started: datetime
    zone: str
    duration_ns: int
    state: SessionState
    removed: bool
    app_version: str
    input_count: int
    reading_count: int
    event_count: int
    verdict_count: int
    findings: tuple[LastVerdict, ...]
    form: int | None = None


@dataclass(frozen=True, slots=True)
class StoredVerdict:
    """A verdict as it was given at `time_ns`. `stored`: the finding as it lies in the record."""

    kind: VerdictKind
    time_ns: int
    subject: str
    word: str
    finding: PartCheck | Recovery
    stored: StoredPartCheck | StoredRecovery

    @classmethod
    def of(cls, time_ns: int, found: PartCheck | Recovery) -> "StoredVerdict":
        """What is stored of a finding that was made at `time_ns`."""
        if isinstance(found, Recovery):
            word = f"{found.phase.value}, {found.judgement.value}"
            stored = StoredRecovery.of(found)
            return cls(VerdictKind.RECOVERY, found.time_ns, "", word, found, stored)
        kind, word = VerdictKind.PART, found.verdict.verdict.value if found.verdict else ""
        if found.reference is not None:
            of_meter = word_of(found)
            kind, word = VerdictKind.REFERENCE, of_meter.value if of_meter else ""
        return cls(kind, time_ns, found.part, word, found, StoredPartCheck.of(found))


@dataclass(frozen=True, slots=True)
class ReferenceReading:
    """A check of a reference part.

    Attributes:
        session_id: UUID as text.
        meter: that was asked; `BY_HAND` where the reading was typed in.
        read_on: date at the place of recording.
    """

    session_id: str
    meter: Meter
    read_on: date
    check: PartCheck


@dataclass(frozen=True, slots=True)
class Revision:
    """One edit of a session's name, remark or visit, or its removal."""

    made: datetime
    field: str
    text: str


@dataclass(frozen=True, slots=True, eq=False)
class Overview:
    """A channel block by block, without its samples; the unsealed rest is the last block.

    Attributes:
        first_ns, last_ns: int64.
        minimum, maximum: float64 in SI; NaN where no sample has a value.
        count: int64, samples.
    """

    first_ns: NDArray[np.int64]
    last_ns: NDArray[np.int64]
    minimum: NDArray[np.float64]
    maximum: NDArray[np.float64]
    count: NDArray[np.int64]
