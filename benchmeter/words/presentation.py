"""How things are told to a person: language, decimal sign, degrees. Made once, passed down."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import Enum
from pathlib import PurePath
from string import Formatter
from typing import TYPE_CHECKING, Any

from benchmeter.errors import Amount, Message, WorldError
from benchmeter.words.catalogue import ENGLISH, find
from benchmeter.words.numbers import exact_text

if TYPE_CHECKING:  # a part is judged without any
    from benchmeter.files.preferences import Preferences

__all__ = ["PLAIN", "Presentation", "Told", "capitalized"]

_FAHRENHEIT = {"°C": "°F", "Δ°C": "Δ°F"}
_OF_TEXT = ("whole", "and", "or", "clause")
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
        unit_space: between a number and its unit; a no-break space where lines are broken.
    """

    language: str = ENGLISH
    decimal_sign: str = "."
    temperature_unit: str = "°C"
    unit_space: str = " "

    @classmethod
    def of(cls, preferences: "Preferences") -> "Presentation":
        """As the person has chosen."""
        return cls(preferences.language, preferences.decimal_sign, preferences.temperature_unit)

    def unit(self, symbol: str) -> str:
        """In which unit a value of this one is shown: °C in the person's degrees.

        What is marked in °F stays as it stands on the part.
        """
        return _FAHRENHEIT.get(symbol, symbol) if self.temperature_unit == "°F" else symbol

    def number(self, digits: str) -> str:
        """A number of ours in this person's decimal sign."""
        return digits.replace(".", self.decimal_sign)

    def amount(self, digits: str, unit: str) -> str:
        """A number of ours and its unit, tied together; a difference has the unit's own sign."""
        told = f"{self.number(digits)}{self.unit_space}{unit.removeprefix('Δ')}"
        return told.strip()

    def exact(self, value_si: Decimal, symbol: str) -> str:
        """An exact value with every digit, in the unit in which it is shown."""
        unit = self.unit(symbol)
        return self.amount(exact_text(value_si, unit), unit)

    def tell(self, message: Message | WorldError) -> Told:
        """A message in this person's language."""
        if isinstance(message, WorldError):
            message = message.message
        found = find(self.language, message.code)
        if found is None:
            return Told(message.code)
        return Told(*(self.filled(part, message.parameters) for part in found))

    def knows(self, code: str) -> bool:
        """Whether the catalogue has words for a code."""
        return find(self.language, code) is not None

    def text(self, code: str, **parameters: Any) -> str:
        """One sentence, term or title of the catalogue.

        Raises:
            KeyError: the catalogue does not know the code.
        """
        found = find(self.language, code)
        if found is None:
            raise KeyError(code)
        return self.filled(found[0], parameters)

    def filled(self, template: str, parameters: Mapping[str, Any]) -> str:
        """A sentence of the catalogue with its parameters in it."""
        return _Form(self).vformat(template, (), parameters)

    def listed(self, names: Sequence[str], how: str = "") -> str:
        """Names in a row; `how`: "and" or "or" before the last one."""
        code = {"and": "lists.and", "or": "lists.or"}.get(how)
        if code is None or len(names) < 2:
            return ", ".join(names)
        return self.text(code, rest=", ".join(names[:-1]), last=names[-1])


PLAIN = Presentation()
"""English, a decimal point, temperatures in °C: what the command line prints."""


def capitalized(text: str) -> str:
    """As the beginning of a sentence: its first letter large."""
    at = next((i for i, sign in enumerate(text) if sign.isalpha()), 0)
    return f"{text[:at]}{text[at : at + 1].upper()}{text[at + 1 :]}"


class _Form(Formatter):
    """Writes each parameter as its type asks."""

    def __init__(self, presentation: Presentation) -> None:
        self._as = presentation

    def format_field(self, value: Any, spec: str) -> str:
        if spec in _OF_TEXT and not isinstance(value, str | Message | WorldError | Sequence):
            spec = ""  # a path or a number is told whole as it is
        match value:
            case Message() | WorldError():
                told = self._as.tell(value)
                return told.text.rstrip(".") if spec == "clause" else str(told)
            case Amount():
                return self._as.exact(value.value_si, value.unit)
            case Enum():
                return self.format_field(value.value, spec)
            case bool() | int() | date() | PurePath():
                return format(value, spec) if spec else str(value)
            case float() | Decimal():
                return self._as.number(format(value, spec) if spec else f"{value:f}")
            case str():
                return value if spec == "whole" else _clipped(value)
            case Sequence():
                return self._as.listed([_clipped(str(v)) for v in value], spec)
        raise TypeError(f"{value!r} in a message")


def _clipped(text: str) -> str:
    return text if len(text) <= _CLIPPED else text[: _CLIPPED - 1] + "…"
