"""Spans of time as people say them."""

import math

from benchmeter.words.numbers import NOTHING
from benchmeter.words.presentation import Presentation

__all__ = ["about_text", "age", "duration_text"]


def duration_text(seconds: float, presentation: Presentation) -> str:
    """A span of time: "40 s", "about 6 min", "about 1 h 20 min"."""
    if not math.isfinite(seconds):
        return NOTHING
    whole = round(max(seconds, 0))
    return about_text(seconds, presentation) if whole >= 90 else f"{whole} s"


def about_text(seconds: float, presentation: Presentation) -> str:
    """A span of time that is not known to the second: "about 40 s", "about 1 h 20 min"."""
    whole, minutes = round(max(seconds, 0)), round(seconds / 60)
    if whole < 90:
        span = f"{whole} s"
    elif minutes < 60:
        span = f"{minutes} min"
    else:
        hours, rest = divmod(round(seconds / 300) * 5, 60)
        span = f"{hours} h {rest} min" if rest else f"{hours} h"
    return presentation.text("durations.about", span=span)


def age(span_ns: int, presentation: Presentation) -> str:
    """How long something lasts or is ago: "0.4 s", "12 s", "2 h 5 min"."""
    seconds = max(span_ns, 0) / 1e9
    if seconds < 0.95:
        return f"{presentation.number(f'{seconds:.1f}')} s"
    if seconds < 119.5:
        return f"{seconds:.0f} s"
    minutes = round(seconds / 60)
    if minutes < 120:
        return f"{minutes} min"
    return f"{minutes // 60} h {minutes % 60} min"
