"""Replacements in words: does it fit, why not, and was it measured."""

from benchmeter.checking.replacement import (
    Candidate,
    Fit,
    FitReason,
    Standing,
    StockItem,
    capacitor_of,
)
from benchmeter.parts.rated_part import (
    Rating,
)
from benchmeter.words.presentation import PLAIN, Presentation

__all__ = ["candidate_words", "fit_words", "item_words", "reason_words", "standing_words"]


def fit_words(fit: Fit, presentation: Presentation = PLAIN) -> str:
    """The answer as a sentence."""
    return presentation.text(f"replacements.fit_{fit.name.lower()}")


def standing_words(standing: Standing, presentation: Presentation = PLAIN) -> str:
    """What measuring has said; a sentence."""
    return presentation.text(f"replacements.standing_{standing.name.lower()}")


def candidate_words(
    candidate: Candidate, old: Rating, shape: str = "", presentation: Presentation = PLAIN
) -> str:
    """The answer with all its reasons, a sentence each."""
    told = [reason_words(r, candidate.item, old, shape, presentation) for r in candidate.reasons]
    return " ".join((fit_words(candidate.fit, presentation), *told))


def reason_words(
    reason: FitReason,
    item: StockItem,
    old: Rating,
    shape: str = "",
    presentation: Presentation = PLAIN,
) -> str:
    """One reason, with what both labels say.

    Args:
        shape: of the old part, as it was told.
    """
    text, old, new = presentation.text, capacitor_of(old) or old, item.rating
    match reason:
        case FitReason.OTHER_KIND:
            kind = old.kind.replace("-", " ")
            return text("replacements.other_kind", new=new.kind, old=kind)
        case FitReason.OTHER_SECTIONS:
            return text(
                "replacements.other_sections",
                new=_sections(new, presentation),
                old=_sections(old, presentation),
            )
        case FitReason.OTHER_CAPACITANCE:
            has, had = _values(new, presentation), _values(old, presentation)
            return text("replacements.other_capacitance", new=has, old=had)
        case FitReason.LOWER_VOLTAGE:
            has_v, had_v = max(new.voltages_v), max(old.voltages_v)
            return text("replacements.lower_voltage", new=has_v, old=had_v)
        case FitReason.LOOSER_TOLERANCE:
            return text("replacements.looser_tolerance", new=new.tolerance, old=old.tolerance)
        case FitReason.OLD_VOLTAGE_UNKNOWN:
            return text("replacements.old_voltage_unknown")
        case FitReason.NEW_VOLTAGE_UNKNOWN:
            return text("replacements.new_voltage_unknown")
        case FitReason.OTHER_FREQUENCY:
            return text("replacements.other_frequency", new=_hertz(new), old=_hertz(old))
        case FitReason.OTHER_SHAPE:
            return text("replacements.other_shape", new=item.shape, old=shape)
        case FitReason.SHAPE_UNKNOWN:
            return text("replacements.shape_unknown")
        case FitReason.NONE_LEFT:
            return text("replacements.none_left")
        case FitReason.COUNT_UNKNOWN:
            return text("replacements.count_unknown")


def item_words(item: StockItem, presentation: Presentation = PLAIN) -> str:
    """An item on one line: serial number, label, shape, how many, where."""
    count = None
    if item.count is not None:
        count = presentation.text("replacements.left", count=item.count)
    parts = (item.own_number, item.rating.text, item.shape, count, item.place)
    return ", ".join(part for part in parts if part)


def _sections(rating: Rating, presentation: Presentation) -> str:
    count = len(rating.sections)
    if count == 1:
        return presentation.text("replacements.one_section")
    return presentation.text("replacements.sections", count=count)


def _values(rating: Rating, presentation: Presentation) -> str:
    """As on a label: 45/5 µF, 88-108 µF."""
    shown = []
    for s in rating.sections:
        ends = (s.low_si, s.high_si) if s.rated_si is None else (s.rated_si,)
        shown.append("-".join(f"{(v * 10**6).normalize():f}" for v in ends if v is not None))
    return presentation.amount("/".join(shown), "µF")


def _hertz(rating: Rating) -> str:
    return "/".join(str(f) for f in rating.frequencies_hz) + " Hz"
