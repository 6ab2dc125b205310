"""The stored form of a session's stream."""

from decimal import Decimal

import msgspec

from benchmeter.errors import Message
from benchmeter.readings.events import reported
from benchmeter.readings.inputs import (
    AcceptBias,
    Annotate,
    BeginCheck,
    Chunk,
    ClockAnchor,
    Ended,
    Input,
    LinkChange,
    Mark,
    NullLeads,
    PowerRestored,
    RepeatSection,
    SelectSection,
    TakeReading,
    TakeVolts,
    TypeReading,
)
from benchmeter.record.structs.messages import message_in, message_text

__all__ = ["StoredInput", "restored_input", "stored_input"]


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
    | StoredPowerRestored
    | StoredMark
    | StoredAnnotate
)


def stored_input(taken: Input) -> StoredInput:
    at = taken.time_ns
    match taken:
        case Chunk():
            return StoredChunk(time_ns=at, link=taken.link, data=taken.data, sent=taken.sent)
        case ClockAnchor():
            return StoredClockAnchor(time_ns=at, utc_us=taken.utc_us)
        case LinkChange():
            return StoredLinkChange(
                time_ns=at,
                link=taken.link,
                up=taken.up,
                identity=taken.identity,
                message="" if taken.reason is None else message_text(taken.reason),
            )
        case Ended():
            return StoredEnded(time_ns=at)
        case BeginCheck():
            return StoredBeginCheck(
                time_ns=at,
                part=taken.part,
                label=taken.label,
                kind=taken.kind,
                lot=taken.lot,
                tolerance=taken.tolerance,
                accuracy=taken.accuracy,
                rule=taken.rule,
                channel=taken.channel,
                reference=taken.reference,
            )
        case TakeReading():
            return StoredTakeReading(time_ns=at)
        case SelectSection():
            return StoredSelectSection(time_ns=at, section=taken.section)
        case RepeatSection():
            return StoredRepeatSection(time_ns=at, section=taken.section)
        case NullLeads():
            return StoredNullLeads(time_ns=at)
        case AcceptBias():
            return StoredAcceptBias(
                time_ns=at,
                channel=taken.channel,
                bias_si=taken.bias_si,
                uncertainty_si=taken.uncertainty_si,
                reference=taken.reference,
                text=taken.text,
            )
        case TypeReading():
            return StoredTypeReading(time_ns=at, channel=taken.channel, text=taken.text)
        case TakeVolts():
            return StoredTakeVolts(time_ns=at)
        case PowerRestored():
            return StoredPowerRestored(time_ns=at)
        case Mark():
            return StoredMark(time_ns=at, text=taken.text)
        case Annotate():
            return StoredAnnotate(time_ns=at, text=taken.text)


def _reason(stored: StoredLinkChange) -> Message | None:
    if stored.message:
        return message_in(stored.message)
    return reported(stored.reason, stored.advice) if stored.reason else None


def restored_input(stored: StoredInput) -> Input:
    at = stored.time_ns
    match stored:
        case StoredChunk():
            return Chunk(time_ns=at, link=stored.link, data=stored.data, sent=stored.sent)
        case StoredClockAnchor():
            return ClockAnchor(time_ns=at, utc_us=stored.utc_us)
        case StoredLinkChange():
            return LinkChange(
                time_ns=at,
                link=stored.link,
                up=stored.up,
                identity=stored.identity,
                reason=_reason(stored),
            )
        case StoredEnded():
            return Ended(time_ns=at)
        case StoredBeginCheck():
            return BeginCheck(
                time_ns=at,
                part=stored.part,
                label=stored.label,
                kind=stored.kind,
                lot=stored.lot,
                tolerance=stored.tolerance,
                accuracy=stored.accuracy,
                rule=stored.rule,
                channel=stored.channel,
                reference=stored.reference,
            )
        case StoredTakeReading():
            return TakeReading(time_ns=at)
        case StoredSelectSection():
            return SelectSection(time_ns=at, section=stored.section)
        case StoredRepeatSection():
            return RepeatSection(time_ns=at, section=stored.section)
        case StoredNullLeads():
            return NullLeads(time_ns=at)
        case StoredAcceptBias():
            return AcceptBias(
                time_ns=at,
                channel=stored.channel,
                bias_si=stored.bias_si,
                uncertainty_si=stored.uncertainty_si,
                reference=stored.reference,
                text=stored.text,
            )
        case StoredTypeReading():
            return TypeReading(time_ns=at, channel=stored.channel, text=stored.text)
        case StoredTakeVolts():
            return TakeVolts(time_ns=at)
        case StoredPowerRestored():
            return PowerRestored(time_ns=at)
        case StoredMark():
            return Mark(time_ns=at, text=stored.text)
        case StoredAnnotate():
            return Annotate(time_ns=at, text=stored.text)
