"""Replies of instruments that are asked in SCPI-1999 over IEEE 488.2 messages."""

import itertools
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from benchmeter.errors import InputError, Message
from benchmeter.links.decoders.open_questions import QUIET_SILENCES
from benchmeter.links.decoders.scpi_dialogue import (
    NO_NUMBER,
    VALUE_ITEM,
    Question,
    Reply,
    ScpiDialogue,
)
from benchmeter.links.decoders.shown_number import base_unit, indicated, unread
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.units import last_digit
from benchmeter.readings.gate import (
    UNKNOWN_FUNCTION,
    Admitted,
    ShownField,
    WrittenUnit,
    written_unit,
)
from benchmeter.readings.reading import Garbled, Indication
from benchmeter.readings.status import Status

__all__ = ["ScpiDecoder", "function_named"]

# Infinity is 9.9E37, "not a number" 9.91E37 (SCPI-1999 volume 1, 7.2.1.4 and 7.2.1.5, from
# memory). Single precision prints 9.8999999E+37 and 9.9099999E+37.
_INFINITY = Decimal("9.89E37")
_NOT_A_NUMBER = (Decimal("9.905E37"), Decimal("9.915E37"))


def _spellings(name: str) -> Iterator[str]:
    """A function's name with each node in its short or its long form."""
    nodes = ((re.sub("[a-z]", "", node), node.upper()) for node in name.split(":"))
    return map(":".join, itertools.product(*nodes))


_FUNCTIONS = {
    spelling: quantity
    for quantity in Quantity
    for name in quantity.row.scpi
    for spelling in _spellings(name)
}


# "CONF?" tells range and resolution behind the function.
_PARAMETERS = re.compile(r"\s+(?:[+-]?[\d.]|DEF).*", re.ASCII)


def _plain(reply: str) -> str:
    name = reply.strip()
    if len(name) >= 2 and name[0] == name[-1] and name[0] in "\"'":
        name = name[1:-1].strip()
    return _PARAMETERS.sub("", name.upper())


def function_named(reply: str, more: Mapping[str, Quantity] | None = None) -> Quantity | None:
    """The quantity that a function reply names; None if the name is not known.

    >>> function_named('"SENSe:VOLTage:AC"')
    <Quantity.VOLTAGE_AC: 'AC voltage'>
    """
    name = _plain(reply)
    for own, quantity in (more or {}).items():
        if _plain(own) == name:
            return quantity
    return _FUNCTIONS.get(re.sub(r"^:?(SENS(E)?1?:)?", "", name))


_NOT_CONFIRMED = Message("decoders.function_not_confirmed")


@dataclass(frozen=True, slots=True)
class _Waiting:
    """What was read of a value, the function named before it, its text and its bytes."""

    said: str
    text: str
    read: list[Indication | Garbled]
    data: bytes


class ScpiDecoder:
    """Reads replies in the light of what was asked.

    The function that the meter names holds for the value that is asked for next, and for that
    one only: the knob may be turned. It speaks for the first field. A meter that has never named
    its function is taken to measure what the profile says; one that names it, but not this time,
    gives no value. Where the function is asked once more behind each value, the value counts only
    if the answer is the same: the knob may be turned while the meter measures.

    Args:
        fields: the values of a reply, in order.
        identify, ask_function, read: the questions; `ask_function` "" if it is never asked.
        functions: names of functions besides the standard's.
        confirm_function: whether the function is asked once more behind each value.
        quiet: see OpenQuestions.
    """

    def __init__(
        self,
        fields: Sequence[ShownField],
        *,
        identify: str = "*IDN?",
        ask_function: str = "",
        read: str = "READ?",
        functions: Mapping[str, Quantity] | None = None,
        confirm_function: bool = False,
        quiet: int = QUIET_SILENCES,
    ) -> None:
        self._fields = tuple(fields)
        self._functions = dict(functions or {})
        self._dialogue = ScpiDialogue(identify, ask_function, read, quiet)
        self._said = ""  # the function, as the meter named it, for the next value
        self._names_function = False
        self._value_open = False
        self._confirms = confirm_function
        self._waiting: _Waiting | None = None  # for the function behind it
        self._unconfirmed: list[Garbled] = []

    @property
    def identity(self) -> str:
        """What the meter calls itself; "" until it has said so."""
        return self._dialogue.identity

    def sent(self, data: bytes) -> None:
        asked = self._dialogue.sent(data)
        if asked and asked[0] is not Question.FUNCTION:
            self._give_up_waiting()
        again = Question.VALUE in asked and self._value_open
        if again or Question.FUNCTION in asked or Question.IDENTITY in asked:
            self._said = ""
        if asked:
            self._value_open = Question.VALUE in asked

    def restart(self) -> None:
        self._dialogue.restart()
        self._give_up_waiting()
        self._said = ""
        self._names_function = False
        self._value_open = False

    def feed(self, data: bytes) -> list[Indication | Garbled]:
        found: list[Indication | Garbled] = [*self._unconfirmed]
        self._unconfirmed.clear()
        for reply in self._dialogue.feed(data):
            found += self._read(reply)
        return found

    def _give_up_waiting(self) -> None:
        if self._waiting is not None:
            self._unconfirmed.append(self._unconfirmed_value())

    def _unconfirmed_value(self) -> Garbled:
        assert self._waiting is not None
        data, self._waiting = self._waiting.data, None
        return Garbled(_NOT_CONFIRMED, data)

    def _read(self, reply: Reply) -> list[Indication | Garbled]:
        if reply.question is Question.FUNCTION and not reply.refused:
            self._names_function = True
            self._said = reply.text if reply.fault is None else ""
            if self._waiting is not None:
                return self._confirmed(self._waiting, reply)
        said = self._said
        if reply.question is Question.VALUE:
            self._said, self._value_open = "", False
        if reply.fault is not None:
            if reply.question is None and self._waiting is not None:
                # Two lines came for one question: which of them is the answer?
                return [Garbled(reply.fault, reply.data), self._unconfirmed_value()]
            return [Garbled(reply.fault, reply.data)]
        if reply.question is not Question.VALUE:
            return []
        items = [item.strip() for item in reply.text.split(",")]
        if len(items) != len(self._fields):
            counts = {"count": len(items), "expected": len(self._fields)}
            return [Garbled(Message("decoders.reply_count", counts), reply.data)]
        read = [
            self._indication(field, item, said, reply.data, first=i == 0)
            for i, (field, item) in enumerate(zip(self._fields, items, strict=True))
        ]
        if self._confirms and said:
            self._waiting = _Waiting(said, items[0], read, reply.data)
            return []
        return _all_or_none(read)

    def _confirmed(self, value: "_Waiting", reply: Reply) -> list[Indication | Garbled]:
        """The value that waits, if the meter was set to the same function before and after."""
        self._waiting, self._said = None, ""
        if reply.fault is not None:
            return [Garbled(reply.fault, reply.data), Garbled(_NOT_CONFIRMED, value.data)]
        if _plain(reply.text) == _plain(value.said):
            return _all_or_none(value.read)
        # The knob was turned while the meter measured: of which function is the value?
        none = Admitted(None, None, Status.NO_VALUE)
        return [unread(self._fields[0], none, value.text), *_all_or_none(value.read[1:])]

    def _indication(
        self, field: ShownField, item: str, said: str, data: bytes, *, first: bool
    ) -> Indication | Garbled:
        told: Quantity | None = None
        if first and said:
            told = function_named(said, self._functions)
            if told is None:
                return unread(field, UNKNOWN_FUNCTION, f"{said} {item}")
        elif first and self._names_function:
            return Garbled(Message("decoders.function_missing"), data)
        quantity = told or field.quantity
        if quantity is None:
            return Garbled(Message("decoders.function_unknown"), data)
        try:
            return _value(field, quantity, told, item)
        except InputError as refused:
            return Garbled(refused.message, data)


def _all_or_none(read: list[Indication | Garbled]) -> list[Indication | Garbled]:
    """A reply of which one value cannot be read is no reply."""
    return next(([one] for one in read if isinstance(one, Garbled)), read)


def _value(field: ShownField, quantity: Quantity, told: Quantity | None, item: str) -> Indication:
    if word := NO_NUMBER.fullmatch(item):
        status = Status.OVERLOAD if word["overload"] else Status.NO_VALUE
        return indicated(field, item, None, None, told=told, status=status)
    match = VALUE_ITEM.fullmatch(item)
    assert match is not None, "the dialogue lets nothing else through"
    number, suffix = Decimal(match[1]), match[2]
    unit = written_unit(suffix, quantity) if suffix else WrittenUnit(base_unit(quantity, field))
    status = Status.OK
    if _NOT_A_NUMBER[0] <= abs(number) < _NOT_A_NUMBER[1]:
        status = Status.NO_VALUE
    elif abs(number) >= _INFINITY:
        status = Status.OVERLOAD
    step = last_digit(number) if status is Status.OK else None
    return indicated(field, item, number, unit, told=told, status=status, step=step)
