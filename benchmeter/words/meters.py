"""Part or meter, in words: a reference part, the meter's history, its bias. Decimal point."""

from datetime import date
from decimal import Decimal

from benchmeter.checking.bias_offer import BiasOffer, OfferReason
from benchmeter.checking.meter_history import ReferenceHistory
from benchmeter.checking.part_check import PartCheck
from benchmeter.checking.reference_check import compatibility_of, measured_section
from benchmeter.conformity.calibration import Due, due_state
from benchmeter.conformity.instrument_bias import MeterBias
from benchmeter.conformity.reference_part import (
    Compatibility,
    MeterReason,
    MeterVerdict,
    ReferencePart,
)
from benchmeter.links.instruments.meter_identity import BY_HAND, Meter
from benchmeter.statistics.control_chart import FEWEST_POINTS, ChartPoint
from benchmeter.words.numbers import in_unit, span_in_unit

__all__ = [
    "agreement_row",
    "agreement_why",
    "bias_notes",
    "bias_taken_words",
    "bias_words",
    "chart_words",
    "difference_words",
    "due_words",
    "meter_in_words",
    "meter_meaning",
    "meter_words",
    "offer_words",
    "reference_check_words",
    "reference_words",
    "stands_out_words",
]

_MOST_DECIMALS = 9
_UNKNOWN_DECIMALS = 3
_U_DIGITS = 2  # of an uncertainty, at most (JCGM 100 cl. 7.2.6)
_NONE = Decimal(0)
_IN_WORDS = {
    MeterVerdict.AGREES: "The meter agrees.",
    MeterVerdict.DIFFERS: "The meter is off.",
    MeterVerdict.CANNOT_TELL: "This cannot tell.",
}
_MEANING = {
    MeterVerdict.AGREES: "What it says of parts near this value can be trusted.",
    MeterVerdict.DIFFERS: "Do not trust it near this value until that is explained.",
    MeterVerdict.CANNOT_TELL: "Whether the meter is right stays open.",
}
_OFFERS = {
    OfferReason.CLEAR: "It is steady and clearly not zero: it can be taken off.",
    OfferReason.TOO_FEW: "One reading is too few to take anything off.",
    OfferReason.UNSTEADY: "A reading stands out, so that the meter may have changed: nothing is "
    "taken off.",
    OfferReason.NOT_CLEAR: "It cannot be told from zero: nothing is taken off.",
    OfferReason.TOO_LARGE: "It is more than a tenth of the value: have the meter repaired.",
}


def meter_in_words(word: MeterVerdict) -> str:
    """The verdict on the meter; a sentence."""
    return _IN_WORDS[word]


def meter_meaning(word: MeterVerdict) -> str:
    """What the verdict means for the parts that are measured; a sentence."""
    return _MEANING[word]


def agreement_why(a: Compatibility, resolution_si: Decimal = _NONE) -> str:
    """The reason in one sentence, with its numbers.

    Args:
        resolution_si: worth of the meter's last digit: what it showed ends there.
    """
    unit = a.reference.unit
    known = f"{a.reference.name} is {_as_read(a.reference.value_si, unit)}"
    reads = f"The meter reads {_as_read(a.reading_si, unit, resolution_si)}"
    sign = "+" if a.difference_si >= 0 else "−"
    off = f"{sign}{_as_read(abs(a.difference_si), unit, resolution_si)}"
    match a.reason:
        case MeterReason.WITHIN:
            return f"{reads}, {known}: {off}, within ±{_both(a)} of both uncertainties."
        case MeterReason.BEYOND:
            return f"{reads}, {known}: {off}, beyond ±{_both(a)} of both uncertainties."
        case MeterReason.ACCURACY_UNKNOWN:
            return f"{reads}, {known}: {off}; the meter's accuracy is not known."
        case MeterReason.REFERENCE_TOO_COARSE:
            return f"{reads}, {known}: {off}, but the reference is less certain than the meter."


def agreement_row(h: ReferenceHistory, place: int) -> tuple[str, ...]:
    """A reading of a history as cells: date, reading, difference, U, En, verdict, standing out."""
    a, point = h.comparisons[place].compatibility, h.chart.points[place]
    u_si, out = a.expanded_uncertainty_si, stands_out_words(point)
    word = a.verdict.value
    return (
        a.read_on.isoformat(),
        _as_read(a.reading_si, a.reference.unit, h.comparisons[place].resolution_si),
        difference_words(h, a.difference_si),
        "" if u_si is None else f"±{_plain(h, u_si)}",
        "" if a.en_number is None else f"En {a.en_number:+.2f}",
        f"{word}: {a.reason.value}" if a.verdict is MeterVerdict.CANNOT_TELL else word,
        f"stands out: {out}" if out else "",
    )


def stands_out_words(point: ChartPoint) -> str:
    """In what way chance does not explain a point; "" if it does."""
    if point.out_of_control:
        return "beyond the limits, after a jump" if point.jumped else "beyond the limits"
    return "after a jump" if point.jumped else ""


def chart_words(h: ReferenceHistory) -> str:
    """The limits of the control chart, and what stands out."""
    chart = h.chart
    if chart.low_si is None or chart.high_si is None:
        return f"too few readings for limits, {FEWEST_POINTS} are needed"
    names = ", ".join(point.name for point in chart.standing_out)
    return (
        f"{difference_words(h, chart.low_si)} to {difference_words(h, chart.high_si)}, "
        f"{f'standing out: {names}' if names else 'no point stands out'}"
    )


def bias_words(h: ReferenceHistory) -> str:
    """The present bias with its interval."""
    bias = h.bias
    if bias.interval is None:
        shown = f"{difference_words(h, bias.value_si)} in one reading, which gives no interval"
    else:
        ends = bias.interval.low, bias.interval.high
        low, high = (difference_words(h, end) for end in ends)
        value = difference_words(h, bias.value_si)
        shown = f"{value} ({low} to {high}, 95 %) in the last {bias.count} readings"
    return shown + ("; not steady, as one of them stands out" if bias.stood_out else "")


def meter_words(meter: Meter) -> str:
    """A meter by name and plug."""
    if meter == BY_HAND:
        return "Typed in by hand, whatever the meter was"
    field = f", {meter.field}" if meter.field else ""
    return f"{meter.title}{field} ({meter.link}{', simulated' if meter.simulated else ''})"


def offer_words(offered: BiasOffer) -> str:
    """Whether a bias can be taken off; a sentence."""
    return _OFFERS[offered.reason]


def bias_taken_words(bias: MeterBias) -> str:
    """What is taken off, and by what; a sentence."""
    unit = bias.reference.unit
    if not bias.bias_si:
        return f"No bias is taken off any more ({bias.reference.name})."
    much = "too much" if bias.bias_si > 0 else "too little"
    near = _as_read(bias.reference.value_si, unit)
    return (
        f"The meter reads {_as_read(abs(bias.bias_si), unit)} {much} near {near}, by "
        f"{bias.reference.name}: taken off, as a person accepted."
    )


def bias_notes(check: PartCheck) -> list[str]:
    """What was taken off the readings of a part that count, a sentence each."""
    sections = () if check.verdict is None else check.verdict.sections
    taken = {s.bias_si for s in sections if s.bias_si}
    return [bias_taken_words(bias) for bias in check.biases if bias.bias_si in taken]


def reference_check_words(check: PartCheck, read_on: date) -> str:
    """The check of a reference part in two sentences, and whether its value still holds."""
    found = compatibility_of(check, read_on)
    if found is None:
        return f"{check.part}: the meter showed no value of it."
    section = measured_section(check)
    resolution_si = (section.resolution_si if section else None) or _NONE
    words = f"{meter_in_words(found.verdict)} {agreement_why(found, resolution_si)}"
    overdue = due_state(found.reference.due, read_on) is Due.OVERDUE
    return f"{words} {due_words(found.reference.due, read_on)}" if overdue else words


def reference_words(part: ReferencePart) -> str:
    """A reference part on one line: name, value with U, of when, by whom."""
    value = _as_read(part.value_si, part.unit)
    expanded = in_unit(part.expanded_uncertainty_si, part.unit)
    if len(expanded.normalize().as_tuple().digits) > _U_DIGITS:
        expanded = Decimal(f"{expanded:.{_U_DIGITS - 1}e}")
    u = f"{expanded:f} {part.unit}"
    of = None if part.valued_on is None else f"of {part.valued_on}"
    return ", ".join(p for p in (part.name, f"{value} ±{u} (k = 2)", of, part.valued_by) if p)


def due_words(due: date | None, today: date) -> str:
    """When the value must be determined again; a sentence, "" where nobody said."""
    if due is None:
        return ""
    days = abs((due - today).days)
    span = "1 day" if days == 1 else f"{days} days"
    match due_state(due, today):
        case Due.OVERDUE:
            return f"Its calibration ran out on {due}, {span} ago: have it done before it counts."
        case Due.SOON:
            left = f"in {span}" if days else "today"
            return f"Its calibration runs out {left}, on {due}."
        case _:
            return f"Its calibration is good until {due}."


def _both(a: Compatibility) -> str:
    """Two significant digits (JCGM 100 cl. 7.2.6)."""
    expanded = span_in_unit(Decimal(a.expanded_uncertainty_si or 0.0), a.reference.unit)
    return f"{Decimal(f'{expanded:.1e}'):f} {a.reference.unit}"


def _as_read(value_si: Decimal, unit: str, resolution_si: Decimal = _NONE) -> str:
    """With the digits that it has, and those of the meter at least."""
    number, last = in_unit(value_si, unit), span_in_unit(resolution_si, unit).normalize()
    decimals = max(-int(number.as_tuple().exponent), -int(last.as_tuple().exponent), 0)
    places = min(decimals, _MOST_DECIMALS)
    return f"{number:.{places}f} {unit}"


def difference_words(h: ReferenceHistory, value_si: float | Decimal) -> str:
    """A difference of the meter, with its sign and the digits that it has."""
    places = _decimals(h)
    number = span_in_unit(Decimal(value_si), h.reference.unit)
    return f"{round(float(number), places) + 0.0:+.{places}f} {h.reference.unit}"  # never -0.00


def _plain(h: ReferenceHistory, value_si: float) -> str:
    number = span_in_unit(Decimal(value_si), h.reference.unit)
    return f"{number:.{_decimals(h)}f} {h.reference.unit}"


def _decimals(h: ReferenceHistory) -> int:
    """One more than the meter shows."""
    if not h.resolution_si:
        return _UNKNOWN_DECIMALS
    resolution = span_in_unit(h.resolution_si, h.reference.unit)
    return min(max(1 - resolution.adjusted(), 0), _MOST_DECIMALS)
