"""How things are told to a person: language, decimal sign, degrees. Made once, passed down."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import Enum
from pathlib import PurePath
from string import Formatter
from typing import Any

from benchmeter.errors import Amount, Message, WorldError
from benchmeter.words.catalogue import ENGLISH, find
from benchmeter.words.numbers import exact_text

__all__ = ["Presentation", "Told"]

_CLIPPED = 40  # characters of a person's words that a message repeats


@dataclass(frozen=True, slots=True)
class Told:
    """A message in words: what happened and what it means; what to do, or ""."""

    text: str
    advice: str = ""

    def __str__(self) -> str:
        return f"{self.text} {self.advice}".strip()


@dataclass(frozen=True, slots=True)
class Presentation:
    """What a person prefers.

    Attributes:
        language: a folder of the catalogue.
        decimal_sign: "." or ",".
        temperature_unit: "°C" or "°F".
    """

    language: str = ENGLISH
    decimal_sign: str = "."
    temperature_unit: str = "°C"

    def tell(self, message: Message | WorldError) -> Told:
        """A message in this person's language."""
        if isinstance(message, WorldError):
            if find(self.language, message.message.code) is None:
                return Told(message.user_text(), message.advice())
            message = message.message
        found = find(self.language, message.code)
        if found is None:
            return Told(message.code)
        form = _Form(self)
        return Told(*(form.vformat(part, (), message.parameters) for part in found))

    def text(self, code: str, **parameters: Any) -> str:
        """One sentence, term or title of the catalogue.

        Raises:
            KeyError: the catalogue does not know the code.
        """
        found = find(self.language, code)
        if found is None:
            raise KeyError(code)
        return _Form(self).vformat(found[0], (), parameters)

    def with_sign(self, number: str) -> str:
        """A number of ours in this person's decimal sign."""
        return number.replace(".", self.decimal_sign)


class _Form(Formatter):
    """Writes each parameter as its type asks."""

    def __init__(self, presentation: Presentation) -> None:
        self._as = presentation

    def format_field(self, value: Any, spec: str) -> str:
        match value:
            case Message() | WorldError():
                told = self._as.tell(value)
                return told.text.rstrip(".") if spec == "clause" else str(told)
            case Amount():
                number = exact_text(value.value_si, value.unit)
                return f"{self._as.with_sign(number)} {value.unit}"
            case Enum():
                return self.format_field(value.value, spec)
            case bool() | int() | date() | PurePath():
                return format(value, spec) if spec else str(value)
            case float() | Decimal():
                return self._as.with_sign(format(value, spec) if spec else f"{value:f}")
            case str():
                return value if spec == "whole" else _clipped(value)
            case Sequence():
                return self._listed([_clipped(str(v)) for v in value], spec)
        raise TypeError(f"{value!r} in a message")

    def _listed(self, names: list[str], spec: str) -> str:
        code = {"and": "lists.and", "or": "lists.or"}.get(spec)
        if code is None or len(names) < 2:
            return ", ".join(names)
        return self._as.text(code, rest=", ".join(names[:-1]), last=names[-1])


def _clipped(text: str) -> str:
    return text if len(text) <= _CLIPPED else text[: _CLIPPED - 1] + "…"
