"""The notices since the start: what was said, how often, when last."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from benchmeter.words.notice_words import ToldNotice
from benchmeter.words.presentation import Presentation

__all__ = ["CountedNotice", "NoticesScene", "notices_scene"]


@dataclass(frozen=True, slots=True)
class CountedNotice:
    """A notice, how often it came, and when it came last."""

    notice: ToldNotice
    count: int
    at: datetime


@dataclass(frozen=True, slots=True)
class NoticesScene:
    """The list, the latest first."""

    lines: tuple[str, ...]
    about: str
    next_step: str


def notices_scene(history: Sequence[CountedNotice], tell: Presentation) -> NoticesScene:
    """The notices as they are to be drawn.

    Args:
        history: the latest first.
    """
    if not history:
        about, following = "page_notices.nothing_has_been_noticed", "page_notices.all_well_go_at"
    else:
        about = "page_notices.since_benchmeter_was_opened"
        following = "page_notices.read_what_happened_what"
    lines = tuple(_line(counted, tell) for counted in history)
    return NoticesScene(lines, tell.text(about), tell.text(following))


def _line(counted: CountedNotice, tell: Presentation) -> str:
    notice = counted.notice
    word = tell.text(f"page_notices.severity_{notice.severity.name.lower()}")
    times = f"  ×{counted.count}" if counted.count > 1 else ""
    said = f"{notice.text} {notice.advice}".strip()
    return f"{counted.at:%H:%M:%S}  ·  {word}{times}  ·  {said}"
