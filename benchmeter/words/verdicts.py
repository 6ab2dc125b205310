"""Verdicts in words: the word, what it means, and why."""

from collections.abc import Iterator
from dataclasses import replace
from decimal import ROUND_FLOOR, ROUND_HALF_EVEN, Context, Decimal
from functools import lru_cache

from benchmeter.checking.typed_reading import SHORTED_BELOW_OHM
from benchmeter.conformity.judgement import expected_si, low_limit_si
from benchmeter.conformity.verdict import Measurement, MeasurementVerdict, Reason, Verdict
from benchmeter.quantities.quantity import Quantity
from benchmeter.words.numbers import exact_text, in_unit, span_in_unit
from benchmeter.words.presentation import PLAIN, Presentation

__all__ = [
    "limits_text",
    "probability_words",
    "reading_words",
    "reason_without_value",
    "set_to",
    "shown_section",
    "verdict_in_words",
    "verdict_word",
    "why",
]

_WITHOUT_VALUE = {
    Reason.NO_CONTACT: "verdicts.no_contact",
    Reason.NO_VALUE: "verdicts.no_value",
    Reason.STILL_MOVING: "verdicts.still_moving",
    Reason.STALE: "verdicts.stale",
    Reason.NOT_A_CAPACITANCE: "verdicts.not_a_capacitance",
}

_SMALLEST_IN_UNIT = Decimal("0.001")
_MOST_DECIMALS = 9
_WIDE = Context(prec=400)  # whatever a float can hold


def verdict_word(word: Verdict, presentation: Presentation = PLAIN) -> str:
    """The verdict in a word, as in ILAC-G8: "conditional pass"."""
    return presentation.text(f"verdicts.word_{word.name.lower()}")


def verdict_in_words(word: Verdict, presentation: Presentation = PLAIN) -> str:
    """The verdict as a technician says it; a sentence."""
    return presentation.text(f"verdicts.is_{word.name.lower()}")


def set_to(quantity: Quantity, presentation: Presentation = PLAIN) -> str:
    """What the meter's knob must point at: "ohms", "AC volts"."""
    code = f"verdicts.knob_{quantity.name.lower()}"
    return presentation.text(code) if presentation.knows(code) else quantity.value


@lru_cache(2048)  # the parts of a lot have many readings in common
def why(verdict: MeasurementVerdict, presentation: Presentation = PLAIN) -> str:
    """The reason in one sentence, with its numbers."""
    if verdict.reading_si is None:
        return _why_no_value(verdict, presentation)
    text, section = presentation.text, shown_section(verdict.section, presentation)
    reading = reading_words(verdict, presentation)
    written = _readable(verdict, presentation)
    plain = presentation.amount(_digits(written), written.section.unit)
    uncertainty = ""
    if verdict.expanded_uncertainty_si is not None:
        uncertainty = presentation.amount(f"±{_uncertainty(written)}", written.section.unit)
    inside, outside = _inside(section, presentation), _outside(section, presentation)
    below = text("verdicts.below_limit", limit=_limit(section, presentation, low=True))
    above = text("verdicts.above_limit", limit=_limit(section, presentation, low=False))
    match verdict.reason:
        case Reason.INSIDE:
            return text("verdicts.why_inside", reading=reading, inside=inside)
        case Reason.INSIDE_SIMPLE:
            return text(
                "verdicts.why_inside_simple", reading=plain, inside=inside, uncertainty=uncertainty
            )
        case Reason.NEAR_LIMIT_INSIDE:
            said = text(
                "verdicts.why_near_inside",
                reading=plain,
                inside=inside,
                uncertainty=uncertainty,
                limit=_nearer(section, verdict.reading_si, presentation),
            )
            return " ".join([said, *_likely(verdict, presentation), *_finer(verdict, presentation)])
        case Reason.NEAR_LIMIT_OUTSIDE:
            said = text(
                "verdicts.why_near_outside", reading=plain, outside=outside, uncertainty=uncertainty
            )
            return " ".join([said, *_likely(verdict, presentation), *_finer(verdict, presentation)])
        case Reason.BELOW:
            return text("verdicts.why_inside", reading=reading, inside=below)
        case Reason.ABOVE:
            return text("verdicts.why_inside", reading=reading, inside=above)
        case Reason.INSIDE_ACCURACY_UNKNOWN:
            return text("verdicts.why_accuracy_unknown", reading=plain, side=inside)
        case Reason.BELOW_ACCURACY_UNKNOWN:
            return text("verdicts.why_accuracy_unknown", reading=plain, side=below)
        case Reason.ABOVE_ACCURACY_UNKNOWN:
            return text("verdicts.why_accuracy_unknown", reading=plain, side=above)
        case Reason.WITHOUT_LIMITS:
            return text("verdicts.why_judged_together", reading=reading)
        case Reason.UNRATED:
            return text("verdicts.why_unrated", reading=reading)
        case Reason.NO_CURRENT:
            return text("verdicts.why_no_current", reading=reading)
        case Reason.DEPENDS:
            return text("verdicts.why_depends", reading=reading)
        case Reason.METER_TOO_COARSE:
            return _why_too_coarse(verdict, section, presentation)
        case Reason.SCATTER:
            limits = limits_text(section, presentation)
            return text("verdicts.why_scattered", reading=plain, limits=limits)
        case Reason.COUNT_UNKNOWN:
            example = presentation.amount("2 x 0.1", section.unit)
            return text("verdicts.why_count_unknown", example=example)
        case Reason.NO_RESISTANCE:
            most = presentation.exact(section.shorted_below_si or Decimal(0), section.unit)
            return text("verdicts.why_shorted", reading=plain, most=most)
        case _:
            rated = presentation.exact(expected_si(section) or Decimal(0), section.unit)
            return text("verdicts.why_open", reading=plain, rated=rated)


def reason_without_value(reason: Reason, presentation: Presentation = PLAIN) -> str:
    """Why there is no reading, where it is the same for every quantity."""
    return presentation.text(_WITHOUT_VALUE.get(reason, "verdicts.not_measured"))


def reading_words(verdict: MeasurementVerdict, presentation: Presentation = PLAIN) -> str:
    """What was judged, to the digits that its uncertainty supports: "44.10 ±0.84 µF".

    "OL" where an overload is the finding: of an open coil, or of a contact at rest.
    """
    if verdict.reading_si is None:
        told = verdict.reason is Reason.OVERLOAD and verdict.verdict is not Verdict.NO_READING
        return "OL" if told else presentation.text("verdicts.no_reading_shown")
    verdict = _readable(verdict, presentation)
    digits, unit = _digits(verdict), verdict.section.unit
    if verdict.expanded_uncertainty_si is not None:
        digits = f"{digits}{presentation.unit_space}±{_uncertainty(verdict)}"
    return presentation.amount(digits, unit)


@lru_cache(256)
def limits_text(section: Measurement, presentation: Presentation = PLAIN) -> str:
    """The limits with their unit: "42.3 to 47.7 µF", "at least 1 MΩ"; "" without any."""
    low_si, high_si = low_limit_si(section), section.high_si
    high = _limit(section, presentation, low=False)
    if low_si is not None and high_si is not None:
        low = presentation.number(exact_text(low_si, presentation.unit(section.unit)))
        return presentation.text("verdicts.between", low=low, high=high)
    if section.low_si is not None:
        low = _limit(section, presentation, low=True)
        return presentation.text("verdicts.at_least", low=low)
    return presentation.text("verdicts.no_more_than", high=high) if high else ""


def probability_words(probability: float, presentation: Presentation = PLAIN) -> str:
    """Never 0 or 100 %: a measurement leaves a doubt."""
    if probability > 0.999:
        return f"> {presentation.amount('99.9', '%')}"
    if probability < 0.001:
        return f"< {presentation.amount('0.1', '%')}"
    return presentation.amount(f"{probability * 100:.1f}", "%")


def shown_section(section: Measurement, presentation: Presentation) -> Measurement:
    """The same section, its temperatures in the person's degrees."""
    unit = presentation.unit(section.unit)
    return section if unit == section.unit else replace(section, unit=unit)


def _why_no_value(verdict: MeasurementVerdict, presentation: Presentation) -> str:
    text, quantity, overload = presentation.text, verdict.section.quantity, verdict.section.overload
    capacitance = quantity is Quantity.CAPACITANCE
    match verdict.reason:
        case Reason.NO_CAPACITANCE if capacitance:
            return text("verdicts.no_capacitance")
        case Reason.NO_CAPACITANCE:
            return text("verdicts.no_continuity")
        case Reason.NO_RESISTANCE if capacitance:
            return text("verdicts.no_resistance_below", ohm=SHORTED_BELOW_OHM)
        case Reason.NO_RESISTANCE:
            return text("verdicts.no_resistance")
        case Reason.OVERLOAD if overload is Verdict.OPEN:
            return text("verdicts.overload_open")
        case Reason.OVERLOAD if overload is Verdict.MEASURED:
            return text("verdicts.overload_unrated")
        case Reason.OVERLOAD if overload is Verdict.PASS:
            limits = limits_text(verdict.section, presentation)
            if not limits:
                return text("verdicts.overload_good")
            return text("verdicts.overload_beyond", limits=limits)
        case Reason.OVERLOAD if capacitance:
            return text("verdicts.overload_or_shorted")
        case Reason.OVERLOAD:
            return text("verdicts.overload")
        case Reason.WRONG_FUNCTION:
            return text("verdicts.wrong_function", function=set_to(quantity, presentation))
        case Reason.BELOW_ZERO:
            return text("verdicts.below_zero", quantity=quantity.value)
        case _:
            return reason_without_value(verdict.reason, presentation)


def _likely(verdict: MeasurementVerdict, presentation: Presentation) -> Iterator[str]:
    """How likely it lies where it reads; nothing where no probability can be told."""
    chance = verdict.conformance_probability
    if chance is None:
        return
    inside = verdict.reason is Reason.NEAR_LIMIT_INSIDE
    said = probability_words(chance if inside else 1 - chance, presentation)
    code = "verdicts.likely_inside" if inside else "verdicts.likely_outside"
    yield presentation.text(code, chance=said)


def _finer(verdict: MeasurementVerdict, presentation: Presentation) -> Iterator[str]:
    """With which meter it could be decided; nothing where it reads the limit, or was computed."""
    if verdict.reading_si is None or verdict.half_width_si is None:
        return
    limits = (low_limit_si(verdict.section), verdict.section.high_si)
    away_si = min(abs(verdict.reading_si - limit) for limit in limits if limit is not None)
    enough_si = away_si * Decimal(3).sqrt() / 2  # U = 2a/√3 reaches no further
    if enough_si:
        reads_good = verdict.reason is Reason.NEAR_LIMIT_INSIDE
        code = "verdicts.finer_pass" if reads_good else "verdicts.finer_fail"
        enough = _rounded_down(enough_si, verdict.section, presentation)
        yield presentation.text(code, enough=enough)


def _rounded_down(half_width_si: Decimal, section: Measurement, presentation: Presentation) -> str:
    """What is promised must be enough."""
    exact = span_in_unit(half_width_si, section.unit)
    down = exact.quantize(Decimal(1).scaleb(exact.adjusted() - 1), ROUND_FLOOR, _WIDE)
    return presentation.amount(f"{down:f}", section.unit)


def _why_too_coarse(
    verdict: MeasurementVerdict, section: Measurement, presentation: Presentation
) -> str:
    reading = reading_words(verdict, presentation)
    limits = limits_text(section, presentation)
    if verdict.needed_half_width_si is None:
        return presentation.text("verdicts.why_scatter", reading=reading, limits=limits)
    enough = _rounded_down(Decimal(verdict.needed_half_width_si), section, presentation)
    return presentation.text(
        "verdicts.why_too_coarse", reading=reading, limits=limits, needed=enough
    )


def _limit(section: Measurement, presentation: Presentation, *, low: bool) -> str:
    limit_si = low_limit_si(section) if low else section.high_si
    return "" if limit_si is None else presentation.exact(limit_si, section.unit)


def _inside(section: Measurement, presentation: Presentation) -> str:
    limits = limits_text(section, presentation)
    if low_limit_si(section) is None or section.high_si is None:
        return limits
    return presentation.text("verdicts.inside", limits=limits)


def _outside(section: Measurement, presentation: Presentation) -> str:
    if low_limit_si(section) is None:
        return presentation.text("verdicts.above", high=_limit(section, presentation, low=False))
    if section.high_si is None:
        return presentation.text("verdicts.below", low=_limit(section, presentation, low=True))
    return presentation.text("verdicts.outside", limits=limits_text(section, presentation))


def _nearer(section: Measurement, reading_si: Decimal, presentation: Presentation) -> str:
    """The limit that is nearer to the reading."""
    low_si, high_si = low_limit_si(section), section.high_si
    if low_si is None or high_si is None:
        return _limit(section, presentation, low=high_si is None)
    return _limit(section, presentation, low=reading_si - low_si <= high_si - reading_si)


def _readable(verdict: MeasurementVerdict, presentation: Presentation) -> MeasurementVerdict:
    """In the person's degrees; a welded contact in ohms, though it ought to have megohms."""
    section, reading_si = shown_section(verdict.section, presentation), verdict.reading_si
    small = reading_si is not None and abs(in_unit(reading_si, section.unit)) < _SMALLEST_IN_UNIT
    if section.unit in ("kΩ", "MΩ", "GΩ") and small:
        section = replace(section, unit="Ω")
    return verdict if section is verdict.section else replace(verdict, section=section)


def _uncertainty(verdict: MeasurementVerdict) -> str:
    """Two significant digits (JCGM 100 cl. 7.2.6)."""
    return f"{_two_digits(verdict):f}"


def _two_digits(verdict: MeasurementVerdict) -> Decimal:
    expanded_si = Decimal(verdict.expanded_uncertainty_si or 0.0)
    return Decimal(f"{span_in_unit(expanded_si, verdict.section.unit):.1e}")


def _digits(verdict: MeasurementVerdict) -> str:
    """The reading in its unit; more digits where fewer would put it beyond a limit."""
    section = verdict.section
    reading = in_unit(verdict.reading_si or Decimal(0), section.unit)
    known = (low_limit_si(section), section.high_si)
    limits = [in_unit(limit, section.unit) for limit in known if limit is not None]
    decimals = _decimals(verdict)
    while decimals < _MOST_DECIMALS:
        rounded = _rounded(reading, decimals)
        if all(rounded.compare(limit) == reading.compare(limit) for limit in limits):
            break
        decimals += 1
    return f"{_rounded(reading, decimals):f}"


def _rounded(number: Decimal, decimals: int) -> Decimal:
    return number.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_EVEN, _WIDE)


def _decimals(verdict: MeasurementVerdict) -> int:
    unit = verdict.section.unit
    if verdict.expanded_uncertainty_si:
        last = _two_digits(verdict)
    elif verdict.resolution_si:
        last = span_in_unit(verdict.resolution_si, unit).normalize()
    else:
        last = in_unit(verdict.reading_si or Decimal(0), unit).normalize()
    return min(max(0, -int(last.as_tuple().exponent)), _MOST_DECIMALS)
