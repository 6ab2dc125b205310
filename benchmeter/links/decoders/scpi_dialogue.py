"""Which line answers which question (IEEE 488.2): shared by those who decode and those who ask."""

import re
from collections import deque
from dataclasses import dataclass
from enum import StrEnum

from benchmeter.errors import Message
from benchmeter.links.decoders.lines import Line, LineSplitter
from benchmeter.links.decoders.open_questions import QUIET_SILENCES, OpenQuestions

__all__ = ["LONGEST_REPLY", "NO_NUMBER", "VALUE_ITEM", "Question", "Reply", "ScpiDialogue"]

LONGEST_REPLY = 512

VALUE_ITEM = re.compile(
    r"([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,3})?) *([A-Za-z%°µμΩ\u2126]*)", re.ASCII
)
"""NR1, NR2 or NR3 (IEEE 488.2, 8.7.2 to 8.7.4), and the unit that some meters add."""

NO_NUMBER = re.compile(
    r"(?P<overload>[+-]?INF(?:INITY)?|NINF(?:INITY)?|[+-]?(?:[O0]\.?L|OVLD?|OVERLOAD))|NAN",
    re.ASCII | re.IGNORECASE,
)
"""Words that some meters write in place of 9.9E37 (overload) and 9.91E37 (SCPI-1999 volume 1,
7.2.1, from memory; OL and its like: common practice, no source)."""

# An entry of the error queue (SCPI-1999 volume 2, 21.8, from memory), or plain words.
_REFUSAL = re.compile(r"[+-]?\d+ *, *[\"'].*|\W*ERR(?:OR)?\b.*", re.ASCII | re.IGNORECASE)
_LONGEST_QUOTE = 60


class Question(StrEnum):
    """What is asked."""

    IDENTITY = "identity"
    FUNCTION = "function"
    VALUE = "value"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class Reply:
    """A line that the instrument sent.

    Attributes:
        question: what it answers; None if it answers nothing that was asked.
        text: the line, without spaces at its ends.
        data: the same as bytes.
        fault: why it cannot be used; None if it can.
        refused: whether it is an error message: the instrument does not know the question.
    """

    question: Question | None
    text: str
    data: bytes
    fault: Message | None = None
    refused: bool = False


class ScpiDialogue:
    """Pairs lines with questions in the order in which they were asked.

    One message at a time: the answer to an earlier one is dropped, and so is one that may be. While
    the identity is asked for, every other line is dropped: so step is found again after a late or
    lost reply.
    LF, CR, CRLF and LFCR end a line. A line that repeats what was sent is an echo, and no reply.

    Args:
        identify, ask_function, read: the questions, as sent, without terminator; "" for none.
        quiet, asks: see OpenQuestions.
    """

    def __init__(
        self,
        identify: str,
        ask_function: str,
        read: str,
        quiet: int = QUIET_SILENCES,
        *,
        asks: bool = False,
    ) -> None:
        self._kinds = {
            read.strip(): Question.VALUE,
            ask_function.strip(): Question.FUNCTION,
            identify.strip(): Question.IDENTITY,
        }
        self.identity = ""
        self.names_function = False  # whether it has ever said what it measures
        self._open: deque[Question] = deque()
        self._asked: OpenQuestions[Question] = OpenQuestions(quiet, asks=asks)
        self._said: tuple[str, ...] = ()
        self._lines = LineSplitter(b"\r\n", LONGEST_REPLY)
        self._ended_by = b""
        self._block = _DataBlock()

    def restart(self) -> None:
        """Forget all."""
        self.identity = ""
        self.names_function = False
        self._open.clear()
        self._asked.clear()
        self._said = ()
        self._lines.clear()
        self._ended_by = b""
        self._block = _DataBlock()

    def sent(self, data: bytes) -> list[Question]:
        """This was sent; the questions in it: what holds a question mark wants a reply."""
        self._said = tuple(m.strip() for m in re.split(r"[\r\n]+", data.decode("ascii", "replace")))
        asked = [self._kinds.get(m, Question.OTHER) for m in self._said if "?" in m]
        if not asked:
            return []
        if self._lines.tail or self._block.open:
            self._lines.spoil(Message("decoders.line_before_question"))
            self._block = _DataBlock()
        self._open = deque(asked)
        for question in asked:
            self._asked.asked(question)
        return asked

    def told_apart(self, *questions: Question) -> bool:
        """Whether nothing may still come that would be taken for an answer to one of these."""
        return all(self._asked.told_apart(q, lambda other, q=q: other is q) for q in questions)  # type: ignore[misc]

    def feed(self, data: bytes) -> list[Reply]:
        """The lines that end in `data`, or that silence (b"") has ended."""
        if not data:
            return self._silence()
        replies = []
        for byte in data:
            if self._block.takes(byte, at_start=not self._lines.tail):
                self._lines.spoil(Message("decoders.line_is_block"))
                self._ended_by = b""
                continue
            sign = bytes([byte])
            if self._is_rest_of_end(sign):
                continue
            for line in self._lines.feed(sign):
                if not self._is_echo(line) and (self._open or not line.blank):
                    replies.append(self._reply(line))
        return replies

    def _is_rest_of_end(self, sign: bytes) -> bool:
        """Whether `sign` is the LF of CRLF, or the CR of LFCR, of a line that is read already."""
        before, self._ended_by = self._ended_by, b""
        if sign not in (b"\r", b"\n"):
            return False
        if before == b"\r":
            self._ended_by = b"" if sign == b"\n" else b"\r"
            return True
        if before == b"\n" and sign == b"\r":
            return True
        self._ended_by = sign
        return False

    def _is_echo(self, line: Line) -> bool:
        text = line.data.decode("latin-1").strip()
        return text != "" and (text in self._said or ("?" in text and text in self._kinds))

    def _silence(self) -> list[Reply]:
        self._asked.silence()
        self._block = _DataBlock()
        if not self._lines.tail:
            return []
        if self._open:
            self._lines.spoil(Message("decoders.line_in_pieces"))
            return []
        noise = self._lines.clear()
        return [Reply(None, "", noise, Message("decoders.line_without_end"))]

    def _reply(self, line: Line) -> Reply:
        data = line.data
        text = data.decode("latin-1").strip()
        sure = line.fault is not None or line.blank or self._is_sure(text)
        if not self._open:
            return Reply(None, text, data, Message("decoders.reply_not_asked"))
        if line.blank:
            return Reply(None, text, data, Message("decoders.reply_empty"))
        identity = line.fault is None and self._is_identity(text)
        if self._open[0] is Question.IDENTITY:
            if not identity:
                return Reply(None, text, data, line.fault or Message("decoders.reply_no_identity"))
            self._open.popleft()
            self.identity = self.identity or text
            return Reply(Question.IDENTITY, text, data)
        if identity:
            return Reply(None, text, data, Message("decoders.reply_identity_late"))
        question = self._open.popleft()
        if line.fault is None and question is not Question.OTHER and _REFUSAL.fullmatch(text):
            return Reply(
                question,
                text,
                data,
                Message("decoders.reply_is_error", {"reply": _printable(text)}),
                refused=True,
            )
        fault = line.fault or _misfit(question, text)
        if fault is None and not sure:
            fault = Message("decoders.maybe_old")
        return Reply(question, text, data, fault)

    def _is_sure(self, text: str) -> bool:
        """Whether a line answers one open question, and no other."""
        if self._is_identity(text):
            return self._asked.answer(lambda asked: asked is Question.IDENTITY)[1]
        refused = _REFUSAL.fullmatch(text) is not None
        question, sure = self._asked.answer(
            lambda asked: asked is not Question.IDENTITY and (refused or not _misfit(asked, text))
        )
        if question is Question.FUNCTION and not refused:
            self.names_function = True
        return sure

    def _is_identity(self, text: str) -> bool:
        """Four comma-separated fields (IEEE 488.2, 10.14), the maker not a number."""
        if text and text == self.identity:
            return True
        fields = text.split(",")
        return len(fields) >= 4 and text.isascii() and not VALUE_ITEM.fullmatch(fields[0].strip())


def _misfit(question: Question, text: str) -> Message | None:
    """Why `text` cannot answer `question`; None if it can."""
    items = [item.strip() for item in text.split(",")]
    numbers = all(VALUE_ITEM.fullmatch(item) or NO_NUMBER.fullmatch(item) for item in items)
    if question is Question.VALUE and not numbers:
        return Message("decoders.reply_not_a_number", {"reply": _printable(text)})
    if question is Question.FUNCTION and numbers:
        return Message("decoders.reply_is_number")
    if question is Question.FUNCTION and not (text.isascii() and text.isprintable()):
        return Message("decoders.reply_no_function", {"reply": _printable(text)})
    return None


def _printable(text: str) -> str:
    return "".join(sign if sign.isprintable() else "\ufffd" for sign in text[:_LONGEST_QUOTE])


class _DataBlock:
    """Swallows a block of data, `#<n><length><bytes>` (IEEE 488.2, 8.7.9), line ends included."""

    def __init__(self) -> None:
        self._header = b""
        self._left = 0

    @property
    def open(self) -> bool:
        return bool(self._header) or self._left > 0

    def takes(self, byte: int, *, at_start: bool) -> bool:
        """Whether `byte` belongs to a block."""
        if self._left:
            self._left -= 1
            return True
        sign = bytes([byte])
        if not self._header:
            if not (at_start and sign == b"#"):
                return False
            self._header = sign
            return True
        if not sign.isdigit() or self._header + sign == b"#0":
            self._header = b""  # no block, or one that ends with the line
            return False
        self._header += sign
        if len(self._header) == 2 + int(self._header[1:2]):
            self._left = int(self._header[2:])
            self._header = b""
        return True
