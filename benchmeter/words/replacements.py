"""Replacements in words: does it fit, why not, and was it measured."""

from benchmeter.checking.replacement import (
    Candidate,
    Fit,
    FitReason,
    Standing,
    StockItem,
    capacitor_of,
)
from benchmeter.conformity.verdict import Rating

__all__ = ["candidate_words", "fit_words", "item_words", "reason_words", "standing_words"]

_FIT = {
    Fit.FITS: "Fits by its label.",
    Fit.LOOK_FIRST: "May fit: look first.",
    Fit.DOES_NOT_FIT: "Does not fit.",
}
_STANDING = {
    Standing.NOT_MEASURED: "Not measured yet: measure it before it goes in.",
    Standing.OTHER_LABEL: "Measured by another label: measure it by this one.",
    Standing.OTHER_RULE: "Measured by another decision rule: measure it again.",
    Standing.GOOD: "Measured: good.",
    Standing.CLOSE: "Measured: good, but closer than the meter can tell.",
    Standing.BAD: "Measured: bad. Do not fit it.",
    Standing.UNDECIDED: "Measured, but the meter could not decide: take a better one.",
}


def fit_words(fit: Fit) -> str:
    """The answer as a sentence."""
    return _FIT[fit]


def standing_words(standing: Standing) -> str:
    """What measuring has said; a sentence."""
    return _STANDING[standing]


def candidate_words(candidate: Candidate, old: Rating, shape: str = "") -> str:
    """The answer with all its reasons, a sentence each."""
    reasons = (reason_words(r, candidate.item, old, shape) for r in candidate.reasons)
    return " ".join((fit_words(candidate.fit), *reasons))


def reason_words(reason: FitReason, item: StockItem, old: Rating, shape: str = "") -> str:
    """One reason, with what both labels say.

    Args:
        shape: of the old part, as it was told.
    """
    old, new = capacitor_of(old) or old, item.rating
    match reason:
        case FitReason.OTHER_KIND:
            kind = old.kind.replace("-", " ")
            return f"It is a {new.kind}, and the old part is a {kind}."
        case FitReason.OTHER_SECTIONS:
            return f"It has {_sections(new)}, and the old part has {_sections(old)}."
        case FitReason.OTHER_CAPACITANCE:
            return f"It has another capacitance: {_values(new)}, not {_values(old)}."
        case FitReason.LOWER_VOLTAGE:
            return f"It is rated {max(new.voltages_v)} V, the old part {max(old.voltages_v)} V."
        case FitReason.LOOSER_TOLERANCE:
            return f"Its tolerance is looser: {new.tolerance}, the old part {old.tolerance}."
        case FitReason.OLD_VOLTAGE_UNKNOWN:
            return "The voltage of the old part is not known: it must not be higher than this one."
        case FitReason.NEW_VOLTAGE_UNKNOWN:
            return "Its voltage is not written: read it off the part."
        case FitReason.OTHER_FREQUENCY:
            return f"It is made for {_hertz(new)}, the old part for {_hertz(old)}."
        case FitReason.OTHER_SHAPE:
            return f"It is {item.shape}, the old part is {shape}: see whether the clamp holds it."
        case FitReason.SHAPE_UNKNOWN:
            return "Its shape is not written: see whether the clamp holds it."
        case FitReason.NONE_LEFT:
            return "None is left."
        case FitReason.COUNT_UNKNOWN:
            return "How many are left is not written."


def item_words(item: StockItem) -> str:
    """An item on one line: own number, label, shape, how many, where."""
    count = None if item.count is None else f"{item.count} left"
    parts = (item.own_number, item.rating.text, item.shape, count, item.place)
    return ", ".join(part for part in parts if part)


def _sections(rating: Rating) -> str:
    return "one section" if len(rating.sections) == 1 else f"{len(rating.sections)} sections"


def _values(rating: Rating) -> str:
    """As on a label: 45/5 µF, 88-108 µF."""
    shown = []
    for s in rating.sections:
        ends = (s.low_si, s.high_si) if s.rated_si is None else (s.rated_si,)
        shown.append("-".join(f"{(v * 10**6).normalize():f}" for v in ends if v is not None))
    return "/".join(shown) + " µF"


def _hertz(rating: Rating) -> str:
    return "/".join(str(f) for f in rating.frequencies_hz) + " Hz"
