"""What a stored event or finding says, without the words for people.

Two findings mean the same where their facts are equal: a sentence may be reworded, and what the
check asks for next may change, without a stored session being another one.
"""

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

import msgspec

from benchmeter.readings.events import EventKind
from benchmeter.record.structs.findings import SessionForm
from benchmeter.record.structs.messages import message_in
from benchmeter.record.structs.stored_events import StoredEvent
from benchmeter.record.structs.stored_judged import StoredAccuracy, StoredRating
from benchmeter.record.structs.stored_part_check import StoredPartCheck
from benchmeter.record.structs.stored_recovery import StoredRecovery

__all__ = ["Fact", "facts_of", "untold"]

Fact = str | int | float | Decimal | None

_TEXT_IS_FACT = {
    EventKind.LINK_UP.value,  # the identity of what is plugged in
    *(EventKind.TYPED.value, EventKind.MARK.value, EventKind.REMARK.value),  # a person's words
}
_A_SENTENCE = "events.reported"
_NO_FACTS: dict[type, frozenset[str]] = {
    StoredAccuracy: frozenset({"text"}),
    StoredRating: frozenset({"tolerance"}),  # the limits tell it in numbers
    # The kind stands in the stream; how far the check has come is no finding.
    StoredPartCheck: frozenset({"kind", "expected", "step", "held_si", "moved", "lifted"}),
}


def facts_of(stored: StoredEvent | StoredPartCheck | StoredRecovery) -> dict[str, Fact]:
    """The facts by where they stand: "sections[0].taken[1].verdict.reading_si"."""
    facts = dict(_leaves("", stored))
    if isinstance(stored, StoredEvent):
        del facts["reason"]
        if stored.reason is not None:
            reason = message_in(stored.reason)
            facts["reason.code"] = reason.code
            facts |= {f"reason.{name}": str(v) for name, v in reason.parameters.items()}
        if stored.kind not in _TEXT_IS_FACT:
            del facts["text"]
    return facts


def untold(
    stored: StoredEvent | StoredPartCheck | StoredRecovery, form: int | None
) -> frozenset[str]:
    """Names of what was not told, or by a sentence, when it was stored: no fact to compare.

    The volts left on a capacitor that was checked by its label alone were not followed, nor the AC
    volts on any part.

    Args:
        form: of the session.
    """
    older = form is None or form < SessionForm.CODES
    match stored:
        case StoredEvent() if older:
            return frozenset({"reason", "resolution"})
        case StoredEvent(reason=str(reason)) if message_in(reason).code == _A_SENTENCE:
            return frozenset({"reason"})
        case StoredPartCheck(kind=None) if older:
            return frozenset({"residual", "supply"})
        case StoredPartCheck(supply=msgspec.UNSET):
            return frozenset({"supply"})
    return frozenset()


def _leaves(place: str, value: Any) -> Iterator[tuple[str, Fact]]:
    if isinstance(value, msgspec.Struct):
        left_out = _NO_FACTS.get(type(value), frozenset())
        for name in value.__struct_fields__:
            if name not in left_out and getattr(value, name) is not msgspec.UNSET:
                yield from _leaves(f"{place}.{name}" if place else name, getattr(value, name))
    elif isinstance(value, tuple):
        yield f"{place}.count", len(value)
        for number, held in enumerate(value):
            yield from _leaves(f"{place}[{number}]", held)
    elif isinstance(value, dict):
        for name, held in value.items():
            yield from _leaves(f"{place}.{name}", held)
    elif hasattr(value, "isoformat"):
        yield place, value.isoformat()
    else:
        yield place, value
