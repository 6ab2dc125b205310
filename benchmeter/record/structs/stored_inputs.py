"""The stored form of a session's stream."""

from collections.abc import Callable
from decimal import Decimal
from typing import TypeVar

import msgspec
from msgspec.structs import asdict

from benchmeter.checking.commands import (
    AcceptBias,
    Annotate,
    BeginCheck,
    Mark,
    NullLeads,
    PowerRestored,
    ProveMeter,
    RepeatSection,
    SelectSection,
    TakeReading,
    TakeVolts,
    TypeReading,
)
from benchmeter.conformity.reference_part import ReferencePart
from benchmeter.conformity.verdict import Budget
from benchmeter.errors import InputError, Message
from benchmeter.parts.kind_catalogue import kind_in, kind_text
from benchmeter.readings.events import reported
from benchmeter.readings.inputs import Chunk, ClockAnchor, Ended, Input, LinkChange
from benchmeter.record.structs.messages import message_in, message_text
from benchmeter.record.structs.older_kinds import kind_text_now

__all__ = ["StoredInput", "restored_input", "stored_input"]

_T = TypeVar("_T")


class _Stored(msgspec.Struct, frozen=True, kw_only=True):
    time_ns: int


class StoredChunk(_Stored, frozen=True, tag="Chunk"):
    link: str
    data: bytes
    sent: bool = False


class StoredLinkChange(_Stored, frozen=True, tag="LinkChange"):
    link: str
    up: bool
    identity: str = ""
    reason: str = ""  # with its advice a sentence, in records of before there were messages
    advice: str = ""
    message: str = ""


class StoredClockAnchor(_Stored, frozen=True, tag="ClockAnchor"):
    utc_us: int


class StoredEnded(_Stored, frozen=True, tag="Ended"):
    pass


class StoredBeginCheck(_Stored, frozen=True, tag="BeginCheck"):
    part: str
    label: str
    kind: str = ""
    lot: str = ""
    tolerance: str = ""
    accuracy: str = ""
    rule: str = "guarded"
    channel: str = "capacitor"
    reference: str = ""
    seen: str = ""
    photo: str = ""
    budget: str = Budget.FIRST.value  # of records that do not tell


class StoredTakeReading(_Stored, frozen=True, tag="TakeReading"):
    pass


class StoredSelectSection(_Stored, frozen=True, tag="SelectSection"):
    section: str


class StoredRepeatSection(_Stored, frozen=True, tag="RepeatSection"):
    section: str


class StoredNullLeads(_Stored, frozen=True, tag="NullLeads"):
    pass


class StoredAcceptBias(_Stored, frozen=True, tag="AcceptBias"):
    channel: str
    bias_si: Decimal
    uncertainty_si: Decimal
    reference: str
    text: str = ""


class StoredTypeReading(_Stored, frozen=True, tag="TypeReading"):
    channel: str
    text: str


class StoredTakeVolts(_Stored, frozen=True, tag="TakeVolts"):
    pass


class StoredProveMeter(_Stored, frozen=True, tag="ProveMeter"):
    text: str = ""


class StoredPowerRestored(_Stored, frozen=True, tag="PowerRestored"):
    pass


class StoredMark(_Stored, frozen=True, tag="Mark"):
    text: str


class StoredAnnotate(_Stored, frozen=True, tag="Annotate"):
    text: str


StoredInput = (
    StoredChunk
    | StoredLinkChange
    | StoredClockAnchor
    | StoredEnded
    | StoredBeginCheck
    | StoredTakeReading
    | StoredSelectSection
    | StoredRepeatSection
    | StoredNullLeads
    | StoredAcceptBias
    | StoredTypeReading
    | StoredTakeVolts
    | StoredProveMeter
    | StoredPowerRestored
    | StoredMark
    | StoredAnnotate
)


_ALIKE: tuple[tuple[type[Input], type[StoredInput]], ...] = (
    (Chunk, StoredChunk),
    (ClockAnchor, StoredClockAnchor),
    (Ended, StoredEnded),
    (TakeReading, StoredTakeReading),
    (SelectSection, StoredSelectSection),
    (RepeatSection, StoredRepeatSection),
    (NullLeads, StoredNullLeads),
    (TypeReading, StoredTypeReading),
    (TakeVolts, StoredTakeVolts),
    (ProveMeter, StoredProveMeter),
    (PowerRestored, StoredPowerRestored),
    (Mark, StoredMark),
    (Annotate, StoredAnnotate),
)
"""Those whose stored form has the same fields."""

_STORED = dict(_ALIKE)
_RESTORED = {stored: taken for taken, stored in _ALIKE}
_reference = msgspec.json.Decoder(ReferencePart).decode


def stored_input(taken: Input) -> StoredInput:
    """What is kept of an element of the stream."""
    match taken:
        case Chunk():  # the many
            return StoredChunk(
                time_ns=taken.time_ns, link=taken.link, data=taken.data, sent=taken.sent
            )
        case LinkChange():
            return StoredLinkChange(
                time_ns=taken.time_ns,
                link=taken.link,
                up=taken.up,
                identity=taken.identity,
                message="" if taken.reason is None else message_text(taken.reason),
            )
        case BeginCheck():
            kind = "" if taken.kind is None else kind_text(taken.kind)
            reference = "" if taken.reference is None else _reference_text(taken.reference)
            told = {"kind": kind, "reference": reference, "budget": taken.budget.value}
            return StoredBeginCheck(**asdict(taken) | told)
        case AcceptBias():
            reference = _reference_text(taken.reference)
            return StoredAcceptBias(**asdict(taken) | {"reference": reference})
    return _STORED[type(taken)](**asdict(taken))


def restored_input(stored: StoredInput) -> Input:
    """What was taken in.

    Raises:
        ValueError: a kind of part or a reference part in it is none.
    """
    match stored:
        case StoredChunk():
            return Chunk(
                time_ns=stored.time_ns, link=stored.link, data=stored.data, sent=stored.sent
            )
        case StoredLinkChange():
            return LinkChange(
                time_ns=stored.time_ns,
                link=stored.link,
                up=stored.up,
                identity=stored.identity,
                reason=_reason(stored),
            )
        case StoredBeginCheck():
            kind = _read(kind_in, kind_text_now(stored.kind)) if stored.kind else None
            reference = _read(_reference, stored.reference) if stored.reference else None
            told = {"kind": kind, "reference": reference, "budget": Budget(stored.budget)}
            return BeginCheck(**asdict(stored) | told)
        case StoredAcceptBias():
            reference = _read(_reference, stored.reference)
            return AcceptBias(**asdict(stored) | {"reference": reference})
    return _RESTORED[type(stored)](**asdict(stored))


def _reference_text(part: ReferencePart) -> str:
    return msgspec.json.encode(part).decode()


def _read(read: Callable[[str], _T], text: str) -> _T:
    try:
        return read(text)
    except InputError as error:
        raise ValueError(str(error)) from error


def _reason(stored: StoredLinkChange) -> Message | None:
    if stored.message:
        return message_in(stored.message)
    return reported(stored.reason, stored.advice) if stored.reason else None
