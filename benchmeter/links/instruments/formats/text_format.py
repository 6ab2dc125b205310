"""Lines of text, several values in a line: table, conversation, checks."""

import re
import warnings
from collections.abc import Iterator

from benchmeter.errors import Message
from benchmeter.links.decoders.decoder import Decoder
from benchmeter.links.decoders.lines import LineSplitter
from benchmeter.links.decoders.open_questions import OpenQuestions
from benchmeter.links.decoders.text_lines import TextDecoder, compiled, group_of
from benchmeter.links.instruments.formats.wire_format import (
    ChannelOfProfile,
    LineSettings,
    ProfileTable,
    WireFormat,
    asking_faults,
    field_of,
    message_fault,
)
from benchmeter.links.instruments.talk import MS, Ask, Listening, Pause, Script, Talk
from benchmeter.links.ports.source import SILENCE_NS, Conversation

__all__ = ["FORMAT", "TextConversation", "TextFormat"]

_TEXT_TIMEOUT_NS = 2_000 * MS


class TextFormat(ProfileTable, frozen=True, tag="text", tag_field="kind", kw_only=True):
    """Lines of text, several values in a line.

    Attributes:
        pattern: regular expression with named groups, for whole lines. Group NAME is the value of
            field NAME ("value" that of a channel without a field); NAME_unit, if present, its unit.
        overload, no_value: words that stand in place of a number.
        ask: sent every `period_ms`, for instruments that must be asked; "" for none.
    """

    pattern: str
    overload: tuple[str, ...] = ("OL", "0L", "O.L", "0.L", "OVL")
    no_value: tuple[str, ...] = ("---", "--", "----", "N/A")
    open_probe: tuple[str, ...] = ("OPEN", "Err")
    ask: str = ""
    terminator: str = "\r\n"
    period_ms: int = 500
    longest: int = 256


class TextConversation(Talk):
    """Asks for a line, again and again; after a missing one when the line was silent for 5 s."""

    def __init__(self, text: TextFormat) -> None:
        self._text = text
        super().__init__()

    def _forget(self) -> None:
        self._lines = LineSplitter(b"\r\n", self._text.longest)
        self._open: OpenQuestions[str] = OpenQuestions(asks=True)

    def _said(self, data: bytes) -> None:
        self._open.asked(self._text.ask)

    def _answers(self, data: bytes) -> list[bool]:
        if not data:
            self._open.silence()
        lines = [line for line in self._lines.feed(data) if not line.blank]
        for _ in lines:
            self._open.answer(lambda _: True)
        return [True for _ in lines]

    def _script(self) -> Script:
        question = (self._text.ask + self._text.terminator).encode("ascii")
        while True:
            begun_ns = self._now_ns
            yield Ask(question, _TEXT_TIMEOUT_NS)
            while not self._open.told_apart(self._text.ask, lambda _: True):
                yield Pause(self._now_ns + SILENCE_NS)  # a late line comes now
            yield Pause(begun_ns + self._text.period_ms * MS)


def _faults(text: TextFormat, channels: tuple[ChannelOfProfile, ...]) -> Iterator[Message]:
    yield from asking_faults(text.period_ms)
    yield from message_fault("ask", text.ask)
    if text.ask and not text.terminator.isascii():
        yield Message("instruments.ascii", {"field": "format.terminator"})
    if not 8 <= text.longest <= 4096:
        yield Message("instruments.between", {"field": "format.longest", "low": 8, "high": 4096})
    try:
        with warnings.catch_warnings():
            # "[[a]" may come to mean another thing: better refused now than read otherwise then.
            warnings.simplefilter("error", FutureWarning)
            groups = set(compiled(text.pattern).groupindex)
    except (re.error, FutureWarning, OverflowError, RecursionError) as error:
        yield Message("instruments.no_pattern", {"field": "format.pattern", "why": str(error)})
        return
    for i, channel in enumerate(channels):
        group = group_of(channel.field)
        if group not in groups:
            yield Message(
                "instruments.group_missing",
                {"field": "format.pattern", "group": group, "channel": f"channels[{i}]"},
            )
        elif f"{group}_unit" not in groups and not (channel.unit and channel.quantity):
            missing = {"field": f"channels[{i}]", "group": f"{group}_unit"}
            yield Message("instruments.unit_group_missing", missing)


def _decoder(text: TextFormat, channels: tuple[ChannelOfProfile, ...]) -> Decoder:
    return TextDecoder(
        text.pattern,
        [field_of(channel) for channel in channels],
        overload=text.overload,
        no_value=text.no_value,
        open_probe=text.open_probe,
        longest=text.longest,
    )


def _conversation(text: TextFormat, line: LineSettings) -> Conversation:
    return TextConversation(text) if text.ask else Listening()


FORMAT = WireFormat(TextFormat, _decoder, _conversation, _faults, as_text=True)
