"""The form for a further part of known value: what was typed, and what of it cannot be used."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from benchmeter.errors import Message, WorldError

__all__ = ["FieldFault", "ReferenceEntry", "ReferenceField", "faulty_field", "reference_entry"]


class ReferenceField(StrEnum):
    """The fields, by the names of the file."""

    NAME = "name"
    BY = "from"
    VALUE = "value"
    UNCERTAINTY = "uncertainty"
    DATE = "date"
    DUE = "due"


NEEDED = (
    ReferenceField.NAME,
    ReferenceField.VALUE,
    ReferenceField.UNCERTAINTY,
    ReferenceField.DATE,
)


@dataclass(frozen=True, slots=True)
class ReferenceEntry:
    """What was typed; dates are dates, the rest is as it was typed."""

    name: str
    value: str
    uncertainty: str
    valued_on: date
    valued_by: str
    due: date | None


@dataclass(frozen=True, slots=True)
class FieldFault:
    """What is wrong in a field; without a message it is only empty."""

    field: ReferenceField
    message: Message | None = None


def reference_entry(typed: Mapping[ReferenceField, str]) -> ReferenceEntry | FieldFault:
    """What the fields hold, or the first one that is to be mended."""
    for field in NEEDED:
        if not typed[field].strip():
            return FieldFault(field)
    dates: dict[ReferenceField, date | None] = {}
    for field in (ReferenceField.DATE, ReferenceField.DUE):
        text = typed[field].strip()
        try:
            dates[field] = date.fromisoformat(text) if text else None
        except ValueError:
            return FieldFault(field, Message("page_meter.no_date", {"text": text}))
    valued_on = dates[ReferenceField.DATE]
    assert valued_on is not None  # it is one of those that are needed
    return ReferenceEntry(
        typed[ReferenceField.NAME],
        typed[ReferenceField.VALUE],
        typed[ReferenceField.UNCERTAINTY],
        valued_on,
        typed[ReferenceField.BY],
        dates[ReferenceField.DUE],
    )


def faulty_field(fault: WorldError) -> ReferenceField | None:
    """The field that a refusal is about; None: it is about none of them."""
    named = fault.message.parameters.get("where")
    return next((field for field in ReferenceField if field.value == named), None)
