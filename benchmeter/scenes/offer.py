"""An action as a page offers it, and the line of text that it may ask for first."""

from dataclasses import dataclass
from enum import StrEnum

from benchmeter.checking.commands import Command, Mark, ProveMeter, TypeReading
from benchmeter.words.presentation import Presentation, Told

__all__ = ["LineKind", "LineWanted", "Offer", "ShapedLine", "line_command", "marker_line"]


class LineKind(StrEnum):
    """What a line of text is for."""

    MARK = "mark"
    READING = "reading"
    LIVE_SOURCE = "live source"
    TAG = "tag"
    TAGS = "tags"
    REPORT = "report"
    RENAME = "rename"
    REMARK = "remark"
    FIND = "find"


@dataclass(frozen=True, slots=True)
class LineWanted:
    """A line of text that is asked for.

    Attributes:
        subject: channel, or session, that it is about; "" none.
        check: number of the check that it is about.
        text: what stands there at first; None: what was put off before.
        file: the text is the name of a file in the person's home folder.
    """

    kind: LineKind
    prompt: str
    example: str = ""
    text: str | None = None
    subject: str = ""
    check: int | None = None
    file: bool = False

    @property
    def draft(self) -> tuple[str, str, int | None]:
        """What is put off is kept by it."""
        return (self.kind, self.subject, self.check)


@dataclass(frozen=True, slots=True)
class Offer:
    """An action as it stands now.

    Attributes:
        shown: it belongs to the moment.
        why_not: what keeps it from being done now; "": nothing does.
        primary: it comes next.
        command: what it sends to the session; None: it opens something.
        ask: the line of text that it needs first.
        notice: what is said where it leads elsewhere.
    """

    title: str
    shown: bool = True
    why_not: str = ""
    primary: bool = False
    command: Command | None = None
    ask: LineWanted | None = None
    notice: Told | None = None

    @property
    def enabled(self) -> bool:
        return not self.why_not

    @property
    def offered(self) -> bool:
        """Whether it can be done now."""
        return self.shown and self.enabled


@dataclass(frozen=True, slots=True)
class ShapedLine:
    """A line of a list with its shape, and the tone of that."""

    words: str
    shape: str
    tone: str


def line_command(wanted: LineWanted, text: str) -> Command | None:
    """What a line that was typed sends to the session; None: it is for the record."""
    match wanted.kind:
        case LineKind.MARK:
            return Mark(time_ns=0, text=text)
        case LineKind.READING:
            return TypeReading(time_ns=0, channel=wanted.subject, text=text)
        case LineKind.LIVE_SOURCE:
            return ProveMeter(time_ns=0, text=text)
        case _:
            return None


def marker_line(tell: Presentation) -> LineWanted:
    """Asks for the words of a marker."""
    return LineWanted(
        LineKind.MARK, tell.text("pages.marker_what_happened"), tell.text("pages.fan_blade_rubs")
    )
