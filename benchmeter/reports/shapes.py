"""The shape and the colour that help each verdict, on paper as in the window."""

import tomllib
from functools import cache

from benchmeter.conformity.verdict import Verdict
from benchmeter.files.resources import resource

__all__ = ["VERDICT_TONE", "tone_colour", "verdict_shape", "verdict_svg"]

VERDICT_TONE: dict[Verdict, str] = {
    Verdict.PASS: "good",
    Verdict.CONDITIONAL_PASS: "caution",
    Verdict.CONDITIONAL_FAIL: "caution",
    Verdict.FAIL: "bad",
    Verdict.UNDECIDABLE: "undecided",
    Verdict.MEASURED: "ink",
    Verdict.OPEN: "bad",
    Verdict.SHORTED: "bad",
    Verdict.NO_READING: "undecided",
}
"""Purpose in the palettes; word and shape say it first."""


def verdict_shape(word: Verdict | None) -> str:
    """Name of the verdict's icon; None: there is no verdict yet."""
    return f"verdict-{word.replace(' ', '-')}" if word is not None else "verdict-none"


def verdict_svg(word: Verdict | None, ink: str, ground: str) -> str:
    """The icon as SVG in the colours "#rrggbb"; opaque, as PDF/A-1b allows nothing else."""
    text = resource(f"icons/{verdict_shape(word)}.svg").read_text(encoding="utf-8")
    head, end, rest = text.replace("currentColor", ink).partition(">")
    paper = f'<rect x="-1" y="-1" width="26" height="26" fill="{ground}" stroke="none"/>'
    return f"{head}{end}{paper}{rest}"


def tone_colour(word: Verdict | None) -> str:
    """Colour of the verdict on white paper, "#rrggbb": that of the day palette."""
    return _day()[VERDICT_TONE[word] if word is not None else "edge"]


@cache
def _day() -> dict[str, str]:
    return tomllib.loads(resource("palettes/day.toml").read_text(encoding="utf-8"))
