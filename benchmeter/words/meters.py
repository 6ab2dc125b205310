"""Part or meter, in words: a reference part, the meter's history, its bias."""

from datetime import date
from decimal import Decimal

from benchmeter.checking.bias_offer import BiasOffer
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
from benchmeter.words.presentation import PLAIN, Presentation

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
    "meter_word",
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


def meter_word(word: MeterVerdict, presentation: Presentation = PLAIN) -> str:
    """The verdict on the meter in a few words: "meter agrees"."""
    return presentation.text(f"meters.word_{word.name.lower()}")


def meter_in_words(word: MeterVerdict, presentation: Presentation = PLAIN) -> str:
    """The verdict on the meter; a sentence."""
    return presentation.text(f"meters.is_{word.name.lower()}")


def meter_meaning(word: MeterVerdict, presentation: Presentation = PLAIN) -> str:
    """What the verdict means for the parts that are measured; a sentence."""
    return presentation.text(f"meters.means_{word.name.lower()}")


def agreement_why(
    a: Compatibility, resolution_si: Decimal = _NONE, presentation: Presentation = PLAIN
) -> str:
    """The reason in one sentence, with its numbers.

    Args:
        resolution_si: worth of the meter's last digit: what it showed ends there.
    """
    unit, text = a.reference.unit, presentation.text
    off = _as_read(abs(a.difference_si), unit, presentation, resolution_si, difference=True)
    told = {
        "reading": _as_read(a.reading_si, unit, presentation, resolution_si),
        "part": a.reference.name,
        "value": _as_read(a.reference.value_si, unit, presentation),
        "off": f"{'+' if a.difference_si >= 0 else '−'}{off}",
    }
    match a.reason:
        case MeterReason.WITHIN:
            return text("meters.why_within", **told, both=_both(a, presentation))
        case MeterReason.BEYOND:
            return text("meters.why_beyond", **told, both=_both(a, presentation))
        case MeterReason.ACCURACY_UNKNOWN:
            return text("meters.why_accuracy_unknown", **told)
        case MeterReason.REFERENCE_TOO_COARSE:
            return text("meters.why_reference_too_coarse", **told)


def agreement_row(
    h: ReferenceHistory, place: int, presentation: Presentation = PLAIN
) -> tuple[str, ...]:
    """A reading of a history as cells: date, reading, difference, U, En, verdict, standing out."""
    a, point = h.comparisons[place].compatibility, h.chart.points[place]
    u_si, out = a.expanded_uncertainty_si, stands_out_words(point, presentation)
    word, resolution_si = meter_word(a.verdict, presentation), h.comparisons[place].resolution_si
    en = "" if a.en_number is None else f"En {presentation.number(f'{a.en_number:+.2f}')}"
    return (
        a.read_on.isoformat(),
        _as_read(a.reading_si, a.reference.unit, presentation, resolution_si),
        difference_words(h, a.difference_si, presentation),
        "" if u_si is None else f"±{_plain(h, u_si, presentation)}",
        en,
        f"{word}: {a.reason.value}" if a.verdict is MeterVerdict.CANNOT_TELL else word,
        presentation.text("meters.stands_out", how=out) if out else "",
    )


def stands_out_words(point: ChartPoint, presentation: Presentation = PLAIN) -> str:
    """In what way chance does not explain a point; "" if it does."""
    if point.out_of_control and point.jumped:
        return presentation.text("meters.beyond_after_jump")
    if point.out_of_control:
        return presentation.text("meters.beyond_limits")
    return presentation.text("meters.after_jump") if point.jumped else ""


def chart_words(h: ReferenceHistory, presentation: Presentation = PLAIN) -> str:
    """The limits of the control chart, and what stands out."""
    chart = h.chart
    if chart.low_si is None or chart.high_si is None:
        return presentation.text("meters.too_few_for_limits", fewest=FEWEST_POINTS)
    low, high = (difference_words(h, end, presentation) for end in (chart.low_si, chart.high_si))
    names = [point.name for point in chart.standing_out]
    if not names:
        return presentation.text("meters.limits_clear", low=low, high=high)
    return presentation.text("meters.limits_standing_out", low=low, high=high, names=names)


def bias_words(h: ReferenceHistory, presentation: Presentation = PLAIN) -> str:
    """The present bias with its interval."""
    bias, text = h.bias, presentation.text
    value = difference_words(h, bias.value_si, presentation)
    if bias.interval is None:
        shown = text("meters.bias_of_one", value=value)
    else:
        ends = bias.interval.low, bias.interval.high
        low, high = (difference_words(h, end, presentation) for end in ends)
        shown = text("meters.bias", value=value, low=low, high=high, count=bias.count)
    return text("meters.bias_unsteady", bias=shown) if bias.stood_out else shown


def meter_words(meter: Meter, presentation: Presentation = PLAIN) -> str:
    """A meter by name and plug."""
    if meter == BY_HAND:
        return presentation.text("meters.by_hand")
    title = f"{meter.title}, {meter.field}" if meter.field else meter.title
    if meter.simulated:
        return presentation.text("meters.simulated", title=title, link=meter.link)
    return presentation.text("meters.plugged", title=title, link=meter.link)


def offer_words(offered: BiasOffer, presentation: Presentation = PLAIN) -> str:
    """Whether a bias can be taken off; a sentence."""
    return presentation.text(f"meters.offer_{offered.reason.name.lower()}")


def bias_taken_words(bias: MeterBias, presentation: Presentation = PLAIN) -> str:
    """What is taken off, and by what; a sentence."""
    unit, part, text = bias.reference.unit, bias.reference.name, presentation.text
    if not bias.bias_si:
        return text("meters.bias_off", part=part)
    off = _as_read(abs(bias.bias_si), unit, presentation, difference=True)
    near = _as_read(bias.reference.value_si, unit, presentation)
    if bias.bias_si > 0:
        return text("meters.bias_too_much", bias=off, value=near, part=part)
    return text("meters.bias_too_little", bias=off, value=near, part=part)


def bias_notes(check: PartCheck, presentation: Presentation = PLAIN) -> list[str]:
    """What was taken off the readings of a part that count, a sentence each."""
    sections = () if check.verdict is None else check.verdict.sections
    taken = {s.bias_si for s in sections if s.bias_si}
    return [bias_taken_words(bias, presentation) for bias in check.biases if bias.bias_si in taken]


def reference_check_words(
    check: PartCheck, read_on: date, presentation: Presentation = PLAIN
) -> str:
    """The check of a reference part in two sentences, and whether its value still holds."""
    found = compatibility_of(check, read_on)
    if found is None:
        return presentation.text("meters.no_value", part=check.part)
    section = measured_section(check)
    resolution_si = (section.resolution_si if section else None) or _NONE
    said = [
        meter_in_words(found.verdict, presentation),
        agreement_why(found, resolution_si, presentation),
    ]
    if due_state(found.reference.due, read_on) is Due.OVERDUE:
        said.append(due_words(found.reference.due, read_on, presentation))
    return " ".join(said)


def reference_words(part: ReferencePart, presentation: Presentation = PLAIN) -> str:
    """A reference part on one line: name, value with U, of when, by whom."""
    unit = presentation.unit(part.unit)
    expanded = span_in_unit(part.expanded_uncertainty_si, unit)
    if len(expanded.normalize().as_tuple().digits) > _U_DIGITS:
        expanded = Decimal(f"{expanded:.{_U_DIGITS - 1}e}")
    value = presentation.text(
        "meters.value",
        value=_as_read(part.value_si, part.unit, presentation),
        uncertainty=presentation.amount(f"{expanded:f}", unit),
    )
    of = None
    if part.valued_on is not None:
        of = presentation.text("meters.of_day", day=part.valued_on)
    return ", ".join(p for p in (part.name, value, of, part.valued_by) if p)


def due_words(due: date | None, today: date, presentation: Presentation = PLAIN) -> str:
    """When the value must be determined again; a sentence, "" where nobody said."""
    if due is None:
        return ""
    text, days = presentation.text, abs((due - today).days)
    span = text("meters.one_day") if days == 1 else text("meters.days", count=days)
    match due_state(due, today):
        case Due.OVERDUE:
            return text("meters.overdue", due=due, span=span)
        case Due.SOON if not days:
            return text("meters.due_today", due=due)
        case Due.SOON:
            return text("meters.due_soon", span=span, due=due)
        case _:
            return text("meters.due_later", due=due)


def difference_words(
    h: ReferenceHistory, value_si: float | Decimal, presentation: Presentation = PLAIN
) -> str:
    """A difference of the meter, with its sign and the digits that it has."""
    places, unit = _decimals(h, presentation), presentation.unit(h.reference.unit)
    number = span_in_unit(Decimal(value_si), unit)
    shown = round(float(number), places) + 0.0  # never -0.00
    return presentation.amount(f"{shown:+.{places}f}", unit)


def _both(a: Compatibility, presentation: Presentation) -> str:
    """Two significant digits (JCGM 100 cl. 7.2.6)."""
    unit = presentation.unit(a.reference.unit)
    expanded = span_in_unit(Decimal(a.expanded_uncertainty_si or 0.0), unit)
    return presentation.amount(f"{Decimal(f'{expanded:.1e}'):f}", unit)


def _as_read(
    value_si: Decimal,
    unit: str,
    presentation: Presentation,
    resolution_si: Decimal = _NONE,
    *,
    difference: bool = False,
) -> str:
    """With the digits that it has, and those of the meter at least."""
    unit = presentation.unit(unit)
    number = span_in_unit(value_si, unit) if difference else in_unit(value_si, unit)
    last = span_in_unit(resolution_si, unit).normalize()
    decimals = max(-int(number.as_tuple().exponent), -int(last.as_tuple().exponent), 0)
    return presentation.amount(f"{number:.{min(decimals, _MOST_DECIMALS)}f}", unit)


def _plain(h: ReferenceHistory, value_si: float, presentation: Presentation) -> str:
    unit = presentation.unit(h.reference.unit)
    number = span_in_unit(Decimal(value_si), unit)
    return presentation.amount(f"{number:.{_decimals(h, presentation)}f}", unit)


def _decimals(h: ReferenceHistory, presentation: Presentation) -> int:
    """One more than the meter shows."""
    if not h.resolution_si:
        return _UNKNOWN_DECIMALS
    resolution = span_in_unit(h.resolution_si, presentation.unit(h.reference.unit))
    return min(max(1 - resolution.adjusted(), 0), _MOST_DECIMALS)
