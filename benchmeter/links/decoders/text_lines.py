"""Lines of text that hold one or several values, cut by a pattern with named groups."""

import re
from collections.abc import Sequence

from benchmeter.errors import InputError, Message
from benchmeter.links.decoders.lines import Line, LineSplitter
from benchmeter.links.decoders.shown_number import (
    ShownField,
    no_indication,
    shown_indication,
    shown_number,
    wrong_function,
)
from benchmeter.quantities.quantity import Quantity, quantity_told_by
from benchmeter.quantities.units import Unit, find_unit, last_digit
from benchmeter.readings.reading import Garbled, Indication, Status

__all__ = ["TextDecoder", "compiled", "group_of"]

_CURRENT_KIND = re.compile(r"(.*?) ?(AC|DC)", re.ASCII | re.IGNORECASE)


def compiled(pattern: str) -> re.Pattern[str]:
    """The pattern of a line, which must match whole lines.

    Raises:
        re.error: it is no regular expression.
    """
    return re.compile(pattern, re.ASCII)


def group_of(field: str) -> str:
    """Name of the group that holds `field`; a field without a name is in the group "value"."""
    return field or "value"


class TextDecoder:
    """Reads whole lines; CR, LF and CRLF end them.

    A line whose beginning may have been missed is never read: "44.10" cut in front would be
    "4.10". So the first line after a start is dropped, unless a silence or a question came before
    it. A line with a pause in it is dropped too.

    Args:
        pattern: as in `compiled`.
        fields: those to be read; group NAME_unit, if the pattern has it, holds the unit.
        overload, no_value, open_probe: words in place of a number, case and spaces ignored.
        longest: of a line, in bytes.
    """

    def __init__(
        self,
        pattern: str,
        fields: Sequence[ShownField],
        *,
        overload: Sequence[str] = (),
        no_value: Sequence[str] = (),
        open_probe: Sequence[str] = (),
        longest: int = 256,
    ) -> None:
        self._pattern = compiled(pattern)
        self._fields = tuple(fields)
        self._words = {
            _word(word): status
            for status, words in (
                (Status.OVERLOAD, overload),
                (Status.NO_VALUE, no_value),
                (Status.NO_CONTACT, open_probe),
            )
            for word in words
        }
        self._lines = LineSplitter(b"\r\n", longest)
        self._at_start_of_line = False

    def sent(self, data: bytes) -> None:
        if self._lines.tail:
            self._lines.spoil(Message("decoders.line_before_question"))
        else:
            self._at_start_of_line = True

    def restart(self) -> None:
        self._lines.clear()
        self._at_start_of_line = False

    def feed(self, data: bytes) -> list[Indication | Garbled]:
        if not data:
            if self._lines.tail:
                self._lines.spoil(Message("decoders.line_in_pieces"))
            else:
                self._at_start_of_line = True
            return []
        found: list[Indication | Garbled] = []
        for line in self._lines.feed(data):
            if not line.blank:
                found += self._read(line)
            self._at_start_of_line = True
        return found

    def _read(self, line: Line) -> list[Indication | Garbled]:
        if line.fault is not None:
            return [Garbled(line.fault, line.data)]
        if not self._at_start_of_line:
            return [Garbled(Message("decoders.line_maybe_cut"), line.data)]
        match = self._pattern.fullmatch(_text(line.data))
        if match is None:
            return [Garbled(Message("decoders.line_unlike_profile"), line.data)]
        read: list[Indication | Garbled] = []
        for field in self._fields:
            groups = match.groupdict()
            shown = groups.get(group_of(field.name))
            if shown is None:
                continue
            one = self._indication(field, shown, groups.get(f"{group_of(field.name)}_unit") or "")
            read.append(Garbled(one.reason, line.data) if isinstance(one, Garbled) else one)
        return read or [Garbled(Message("decoders.line_empty"), line.data)]

    def _indication(self, field: ShownField, shown: str, suffix: str) -> Indication | Garbled:
        text = f"{shown.strip()} {suffix.strip()}".strip()
        unit: Unit | None = None
        quantity = field.quantity
        if suffix.strip():
            try:
                unit, said = _unit_and_quantity(suffix, field)
            except InputError as why:
                return Garbled(Message("decoders.unit_unfit", {"why": why.message}), b"")
            if quantity is not None and (
                unit.kind != quantity.kind or said not in (None, quantity)
            ):
                return wrong_function(field, said, text)
            quantity = quantity or said
        status = self._words.get(_word(shown))
        if status is not None:
            return no_indication(field, quantity, status, text)
        number = shown_number(shown)
        if number is None:
            return Garbled(Message("decoders.not_a_number", {"text": shown.strip()}), b"")
        unit = unit or field.unit
        if unit is None:
            return Garbled(Message("decoders.number_without_unit"), b"")
        if quantity is None:
            # The unit does not tell: volts may be AC or DC.
            return wrong_function(field, None, text)
        return shown_indication(field, quantity, number, unit, text, last_digit(number))


def _unit_and_quantity(suffix: str, field: ShownField) -> tuple[Unit, Quantity | None]:
    """The unit that is written, and the quantity if that unit leaves no choice."""
    current = ""
    name = suffix.strip()
    match = _CURRENT_KIND.fullmatch(name)
    if match and match[1]:
        name, current = match[1], match[2].upper()
    kind = field.quantity.kind if field.quantity else ""
    try:
        unit = find_unit(name, kind)
    except InputError:
        if not kind:
            raise
        unit = find_unit(name)
    if current:
        said = quantity_told_by(unit.kind, current)
        if said is None:
            raise InputError("quantities.unit_unknown", unit=suffix.strip())
        return unit, said
    if kind and unit.kind == kind:
        return unit, None
    return unit, quantity_told_by(unit.kind)


def _word(text: str) -> str:
    return text.replace(" ", "").casefold()


def _text(line: bytes) -> str:
    """UTF-8, else Latin-1, in which meters write ° (B0) and µ (B5)."""
    try:
        return line.decode("utf-8").strip()
    except UnicodeDecodeError:
        return line.decode("latin-1").strip()
