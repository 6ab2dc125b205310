"""Lines of text that hold one or several values, cut by a pattern with named groups."""

import re
from collections.abc import Sequence
from typing import TYPE_CHECKING

from benchmeter.errors import InputError, Message
from benchmeter.links.decoders.lines import Line, LineSplitter
from benchmeter.links.decoders.shown_number import indicated, shown_number
from benchmeter.quantities.units import last_digit
from benchmeter.readings.gate import ShownField, written_unit
from benchmeter.readings.reading import Garbled, Indication
from benchmeter.readings.status import Status

__all__ = ["TextDecoder", "compiled", "group_of"]


if TYPE_CHECKING:
    import regex

_LONGEST_MATCH_S = 0.5  # some 10 µs are usual


def compiled(pattern: str) -> "regex.Pattern[str]":
    """The pattern of a line, which must match whole lines.

    It is one of the standard library; another engine runs it, whose matches can be given up.

    Raises:
        re.error: it is no regular expression.
    """
    import regex

    re.compile(pattern, re.ASCII)
    try:
        return regex.compile(pattern, regex.ASCII | regex.VERSION0)
    except regex.error as why:
        raise re.error(str(why)) from why


def group_of(field: str) -> str:
    """Name of the group that holds `field`; a field without a name is in the group "value"."""
    return field or "value"


class TextDecoder:
    """Reads whole lines; CR, LF and CRLF end them.

    A line whose beginning may have been missed is never read: "44.10" cut in front would be
    "4.10". So the first line after a start is dropped, unless a silence or a question came before
    it. A line with a pause in it is dropped too.

    A pattern that takes longer than 0.5 s for a line is a TimeoutError: the link's wall counts it.

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
        match = self._pattern.fullmatch(_text(line.data), timeout=_LONGEST_MATCH_S)
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
        status = self._words.get(_word(shown), Status.OK)
        number = shown_number(shown) if status is Status.OK else None
        if number is None and status is Status.OK:
            return Garbled(Message("decoders.not_a_number", {"text": shown.strip()}), b"")
        step = None if number is None else last_digit(number)
        try:
            unit = written_unit(suffix, field.quantity) if suffix.strip() else None
            return indicated(field, text, number, unit, status=status, step=step)
        except InputError as refused:
            return Garbled(refused.message, b"")


def _word(text: str) -> str:
    return text.replace(" ", "").casefold()


def _text(line: bytes) -> str:
    """UTF-8, else Latin-1, in which meters write ° (B0) and µ (B5)."""
    try:
        return line.decode("utf-8").strip()
    except UnicodeDecodeError:
        return line.decode("latin-1").strip()
