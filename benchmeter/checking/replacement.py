"""What may replace a capacitor: the rule, and whether the replacement itself was measured.

Same µF in each section, rated voltage equal or higher, same kind: common practice, no standard
known here. A looser tolerance, another shape or frequency is worth a look and refuses nothing.
A new part is no better for being new: it is offered as good by its own verdict only.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import IntEnum, StrEnum
from itertools import count

from benchmeter.checking.part_check import PartCheck
from benchmeter.conformity.verdict import (
    Measurement,
    Rule,
    Verdict,
)
from benchmeter.errors import InputError
from benchmeter.parts.conclusion import (
    PartVerdict,
)
from benchmeter.parts.nameplate.label import ToleranceMissing, parse_label
from benchmeter.parts.rated_part import (
    CapacitorKind,
    Rating,
)
from benchmeter.quantities.quantity import Quantity

__all__ = [
    "Candidate",
    "Fit",
    "FitReason",
    "Rank",
    "Ranked",
    "Standing",
    "StockItem",
    "capacitor_of",
    "compare",
    "judged",
    "ranked",
    "replacement_name",
    "shape_on",
    "to_be_replaced",
    "verdict_of",
]

_SHAPE = re.compile(r"\b(oval|round)\b", re.IGNORECASE)
_REPLACEMENT = "replacement"  # how a new part is called in a check: "replacement 1"


class Fit(StrEnum):
    """The answer in a word."""

    FITS = "fits"
    LOOK_FIRST = "look first"
    DOES_NOT_FIT = "does not fit"


class FitReason(StrEnum):
    """Why; the sentence is made in `reporting.wording_replacement`."""

    OTHER_KIND = "other kind"  # a start capacitor is no run capacitor
    OTHER_SECTIONS = "other sections"
    OTHER_CAPACITANCE = "other capacitance"
    LOWER_VOLTAGE = "lower voltage"
    LOOSER_TOLERANCE = "looser tolerance"
    OLD_VOLTAGE_UNKNOWN = "old voltage unknown"
    NEW_VOLTAGE_UNKNOWN = "new voltage unknown"
    OTHER_FREQUENCY = "other frequency"
    OTHER_SHAPE = "other shape"
    SHAPE_UNKNOWN = "shape unknown"
    NONE_LEFT = "none left"
    COUNT_UNKNOWN = "count unknown"


_REFUSALS = {
    FitReason.OTHER_KIND,
    FitReason.OTHER_SECTIONS,
    FitReason.OTHER_CAPACITANCE,
    FitReason.LOWER_VOLTAGE,
}
_SUPPLY = {FitReason.NONE_LEFT, FitReason.COUNT_UNKNOWN}  # they say nothing about the fit


class Standing(StrEnum):
    """What measuring has said about a candidate."""

    NOT_MEASURED = "not measured yet"
    OTHER_LABEL = "measured by another label"
    OTHER_RULE = "measured by another rule"
    GOOD = "measured good"
    CLOSE = "measured good, closely"
    BAD = "measured bad"
    UNDECIDED = "measured, not decided"


_STANDING = {
    Verdict.PASS: Standing.GOOD,
    Verdict.CONDITIONAL_PASS: Standing.CLOSE,
    **dict.fromkeys(
        (Verdict.CONDITIONAL_FAIL, Verdict.FAIL, Verdict.OPEN, Verdict.SHORTED), Standing.BAD
    ),
    Verdict.NO_READING: Standing.NOT_MEASURED,
}


class Rank(IntEnum):
    """What to reach for, best first."""

    GOOD = 0  # it fits and was measured good: it may go in
    GOOD_LOOK_FIRST = 1
    MEASURE_FIRST = 2
    LOOK_AND_MEASURE_FIRST = 3
    NONE_LEFT = 4
    BAD = 5
    DOES_NOT_FIT = 6


@dataclass(frozen=True, slots=True)
class StockItem:
    """A line of the stock list.

    Attributes:
        line: in the list, from 1.
        shape: "round", "oval", or a word of the user's; "" if not written.
        count: how many are left; None if not written.
        own_number: of a single part that was marked; "" for several alike.
    """

    line: int
    rating: Rating
    shape: str = ""
    count: int | None = None
    place: str = ""
    own_number: str = ""


@dataclass(frozen=True, slots=True)
class Candidate:
    """An item of the stock against the old part. `reasons`: all of them; none if it simply fits."""

    item: StockItem
    fit: Fit
    reasons: tuple[FitReason, ...]


@dataclass(frozen=True, slots=True)
class Ranked:
    """A candidate and what measuring has said about it."""

    candidate: Candidate
    standing: Standing

    @property
    def offered(self) -> bool:
        """Whether it may go in as it is; everything else is measured first, or left in its box."""
        good = self.standing in (Standing.GOOD, Standing.CLOSE)
        return good and self.candidate.fit is not Fit.DOES_NOT_FIT

    @property
    def rank(self) -> Rank:
        """Where it stands among the others."""
        if self.candidate.fit is Fit.DOES_NOT_FIT:
            return Rank.DOES_NOT_FIT
        look = self.candidate.fit is Fit.LOOK_FIRST
        if self.offered:
            return Rank.GOOD_LOOK_FIRST if look else Rank.GOOD
        if self.standing is Standing.BAD:
            return Rank.BAD
        if FitReason.NONE_LEFT in self.candidate.reasons:
            return Rank.NONE_LEFT
        return Rank.LOOK_AND_MEASURE_FIRST if look else Rank.MEASURE_FIRST


def ranked(
    old: Rating,
    rule: Rule,
    stock: Iterable[StockItem],
    checks: Sequence[PartCheck],
    shape: str = "",
) -> tuple[Ranked, ...]:
    """Every item of the stock against the old part, best first; of one rank by the list.

    Args:
        rule: by which the old part was judged.
        checks: see `verdict_of`.
        shape: of the old part; "": it is not compared.
    """
    found = (
        Ranked(compare(old, item, shape), judged(item, verdict_of(item, checks), rule))
        for item in stock
    )
    return tuple(sorted(found, key=lambda line: line.rank))


def compare(old: Rating, item: StockItem, shape: str = "") -> Candidate:
    """Whether the item may take the place of the old part.

    >>> from benchmeter.parts.nameplate.label import parse_label
    >>> item = StockItem(1, parse_label("45/5 µF ±6 % 370 V"), count=1)
    >>> compare(parse_label("45/5 µF ±6 % 440 V"), item).reasons
    (<FitReason.LOWER_VOLTAGE: 'lower voltage'>,)
    """
    old = capacitor_of(old) or old
    reasons = [
        *_parts(old, item.rating),
        *_volts(old.voltages_v, item.rating.voltages_v),
        *_frequency(old.frequencies_hz, item.rating.frequencies_hz),
        *_shape(shape, item.shape),
    ]
    if not _REFUSALS.isdisjoint(reasons):
        fit = Fit.DOES_NOT_FIT
    else:
        fit = Fit.LOOK_FIRST if reasons else Fit.FITS
    if item.count is None:
        reasons.append(FitReason.COUNT_UNKNOWN)
    elif item.count == 0:
        reasons.append(FitReason.NONE_LEFT)
    return Candidate(item, fit, tuple(reasons))


def capacitor_of(rating: Rating) -> Rating | None:
    """The same part as its label alone tells it, by whatever kind it was rated.

    None where the label is not that of a capacitor.
    """
    try:
        try:
            found = parse_label(rating.text)
        except ToleranceMissing:
            found = parse_label(rating.text, rating.tolerance)
    except InputError:
        return None
    started = rating.kind.replace("-", " ").startswith(CapacitorKind.START.value)
    return replace(found, kind=CapacitorKind.START) if started else found


def shape_on(label: str) -> str:
    """The shape that a label tells; "" if none."""
    found = {word.lower() for word in _SHAPE.findall(label)}
    return found.pop() if len(found) == 1 else ""


def to_be_replaced(checks: Sequence[PartCheck], stock: Iterable[StockItem]) -> PartCheck | None:
    """The part that a replacement is looked for: the last one that is none itself.

    Args:
        checks: of this visit, oldest first.
    """
    own = {_folded(item.own_number) for item in stock if item.own_number}

    def is_old(check: PartCheck) -> bool:
        name = _folded(check.part)
        return check.reference is None and not name.startswith(_REPLACEMENT) and name not in own

    return next((c for c in reversed(checks) if is_old(c)), None)


def replacement_name(item: StockItem, checks: Iterable[PartCheck]) -> str:
    """How the check of an item is named: by its own number, else the next "replacement 3"."""
    if item.own_number:
        return item.own_number
    names = {_folded(check.part) for check in checks}
    return next(n for n in (f"{_REPLACEMENT} {i}" for i in count(1)) if n not in names)


def verdict_of(item: StockItem, checks: Sequence[PartCheck]) -> PartVerdict | None:
    """The last verdict on this item among the checks, oldest first; None: it was not measured.

    A part with a number of its own is known by it. Of several alike none is known from another:
    a check of a "replacement" by the same label counts, unless that tells another shape, so hand
    in the checks of this visit only.
    """
    own = _folded(item.own_number)

    def is_of_item(check: PartCheck) -> bool:
        name = _folded(check.part)
        if own:
            return name == own
        told = shape_on(check.rating.text)
        other = bool(told and _folded(item.shape)) and told != _folded(item.shape)
        return (
            name.startswith(_REPLACEMENT) and not other and _same_label(check.rating, item.rating)
        )

    return next((c.verdict for c in reversed(checks) if c.verdict and is_of_item(c)), None)


def judged(item: StockItem, verdict: PartVerdict | None, rule: Rule) -> Standing:
    """What a verdict is worth for this item: only one by its own label and the same rule counts."""
    if verdict is None:
        return Standing.NOT_MEASURED
    if not _same_label(verdict.rating, item.rating):
        return Standing.OTHER_LABEL
    standing = _STANDING.get(verdict.verdict, Standing.UNDECIDED)
    # A part that is bad by another rule is still not one to fit.
    if verdict.rule is not rule and standing is not Standing.BAD:
        return Standing.OTHER_RULE
    return standing


def _parts(old: Rating, new: Rating) -> list[FitReason]:
    if old.kind != new.kind or not all(_is_capacitance(s) for s in (*old.sections, *new.sections)):
        return [FitReason.OTHER_KIND]
    if [s.name for s in old.sections] != [s.name for s in new.sections]:
        return [FitReason.OTHER_SECTIONS]
    pairs = list(zip(old.sections, new.sections, strict=True))
    if not all(_same_capacitance(a, b) for a, b in pairs):
        return [FitReason.OTHER_CAPACITANCE]
    return [] if all(_within(b, a) for a, b in pairs) else [FitReason.LOOSER_TOLERANCE]


def _is_capacitance(section: Measurement) -> bool:
    return section.quantity is Quantity.CAPACITANCE


def _same_capacitance(old: Measurement, new: Measurement) -> bool:
    """Rated alike; where a label gives a range, one range lies within the other."""
    if old.rated_si is not None and new.rated_si is not None:
        return old.rated_si == new.rated_si
    return _within(new, old) or _within(old, new)


def _within(inner: Measurement, outer: Measurement) -> bool:
    low, high = inner.low_si, inner.high_si
    least, most = outer.low_si, outer.high_si
    if low is None or high is None or least is None or most is None:
        return False
    return least <= low and high <= most


def _volts(old: tuple[int, ...], new: tuple[int, ...]) -> list[FitReason]:
    """The highest that each label gives: 370/440 V is a part for 440 V."""
    unknown = [] if old else [FitReason.OLD_VOLTAGE_UNKNOWN]
    if not new:
        return [*unknown, FitReason.NEW_VOLTAGE_UNKNOWN]
    return [FitReason.LOWER_VOLTAGE] if old and max(new) < max(old) else unknown


def _frequency(old: tuple[int, ...], new: tuple[int, ...]) -> list[FitReason]:
    return [FitReason.OTHER_FREQUENCY] if old and new and set(old) - set(new) else []


def _shape(old: str, new: str) -> list[FitReason]:
    if not _folded(old):
        return []
    if not _folded(new):
        return [FitReason.SHAPE_UNKNOWN]
    return [] if _folded(old) == _folded(new) else [FitReason.OTHER_SHAPE]


def _same_label(judged_by: Rating, item: Rating) -> bool:
    one = capacitor_of(judged_by)

    def limits(rating: Rating) -> list[tuple[str, Decimal | None, Decimal | None, Decimal | None]]:
        return [(s.name, s.rated_si, s.low_si, s.high_si) for s in rating.sections]

    return one is not None and (one.kind, limits(one), set(one.voltages_v)) == (
        item.kind,
        limits(item),
        set(item.voltages_v),
    )


def _folded(text: str) -> str:
    return " ".join(text.casefold().split())
