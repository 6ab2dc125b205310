"""The check of one part, section by section, as the readings come in."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from benchmeter.conformity.verdict import (
    Accuracy,
    PartVerdict,
    Rating,
    Rule,
    Section,
    SectionVerdict,
)

__all__ = ["PartCheck", "SectionCheck", "Step", "Taken"]


class Step(StrEnum):
    """What the technician should do next; the words are made in `reporting.wording`."""

    CLIP_ON = "clip on"  # leads on C and the expected section
    HOLD = "hold"  # still moving
    LIFT_LEADS = "lift leads"  # still on the section that was taken last
    NOTHING_BETWEEN_LEADS = "nothing between leads"  # check the clips; take it by hand if open
    LOOKS_LIKE_OTHER_SECTION = "looks like other section"
    SET_FUNCTION = "set function"
    OVERLOAD = "overload"  # a higher range, or the part is shorted
    METER_SILENT = "meter silent"
    DONE = "done"


@dataclass(frozen=True, slots=True)
class Taken:
    """One taking of a section. `by_hand`: taken by key, not by the settle rule."""

    time_ns: int
    by_hand: bool
    verdict: SectionVerdict


@dataclass(frozen=True, slots=True)
class SectionCheck:
    """A section and all that was taken of it; the last one counts."""

    section: Section
    taken: tuple[Taken, ...] = ()


@dataclass(frozen=True, slots=True)
class PartCheck:
    """The state of a check.

    Attributes:
        number: 1, 2, ... within the session.
        part: own name of the part.
        channel: whose readings are judged.
        expected: section that is measured next; None when all are taken.
        step: what to do next.
        verdict: as soon as each section has been taken.
    """

    number: int
    part: str
    channel: str
    rating: Rating
    accuracy: Accuracy | None
    rule: Rule
    lead_offset_f: Decimal
    sections: tuple[SectionCheck, ...]
    expected: str | None
    step: Step
    verdict: PartVerdict | None = None
