"""Verdicts in words: the word, what it means, and why. Decimal point, the unit of the section."""

from dataclasses import replace
from decimal import ROUND_FLOOR, ROUND_HALF_EVEN, Context, Decimal

from benchmeter.checking.typed_reading import SHORTED_BELOW_OHM
from benchmeter.conformity.judgement import expected_si, low_limit_si
from benchmeter.conformity.verdict import Measurement, MeasurementVerdict, Reason, Verdict
from benchmeter.quantities.quantity import Quantity
from benchmeter.words.numbers import exact_text, in_unit, span_in_unit

__all__ = [
    "limits_text",
    "probability_words",
    "reading_words",
    "reason_without_value",
    "set_to",
    "verdict_in_words",
    "verdict_word",
    "why",
    "with_unit",
]

_IN_WORDS = {
    Verdict.PASS: "Good.",
    Verdict.CONDITIONAL_PASS: "Good, but closer than this meter can tell.",
    Verdict.CONDITIONAL_FAIL: "Bad, but closer than this meter can tell.",
    Verdict.FAIL: "Bad.",
    Verdict.UNDECIDABLE: "This meter cannot decide.",
    Verdict.MEASURED: "Measured; judged with the others.",
    Verdict.OPEN: "Bad: open inside.",
    Verdict.SHORTED: "Bad: shorted inside.",
    Verdict.NO_READING: "Not measured.",
}

_SET_TO = {  # where the trade says it in another word
    Quantity.RESISTANCE: "ohms",
    Quantity.VOLTAGE_DC: "DC volts",
    Quantity.VOLTAGE_AC: "AC volts",
    Quantity.CURRENT_DC: "DC amps",
    Quantity.CURRENT_AC: "AC amps",
    Quantity.FREQUENCY: "hertz",
    Quantity.DIODE: "diode test",
}

_NO_VALUE = {
    Reason.NO_CONTACT: "The leads had no contact.",
    Reason.NO_VALUE: "The meter showed no value.",
    Reason.STILL_MOVING: "The reading was still moving.",
    Reason.STALE: "The meter had fallen silent: its last reading was too old to count.",
    Reason.NOT_A_CAPACITANCE: "The reading is below zero: no capacitor reads so. Check the leads.",
    Reason.NOT_MEASURED: "It was not measured.",
}

_SMALLEST_IN_UNIT = Decimal("0.001")
_MOST_DECIMALS = 9
_WIDE = Context(prec=400)  # whatever a float can hold


def verdict_word(word: Verdict) -> str:
    """The verdict in a word, as in ILAC-G8: "conditional pass"."""
    return word.value


def verdict_in_words(word: Verdict) -> str:
    """The verdict as a technician says it; a sentence."""
    return _IN_WORDS[word]


def set_to(quantity: Quantity) -> str:
    """What the meter's knob must point at: "ohms", "AC volts"."""
    return _SET_TO.get(quantity, quantity.value)


def why(verdict: MeasurementVerdict) -> str:
    """The reason in one sentence, with its numbers."""
    if verdict.reading_si is None:
        return _why_no_value(verdict)
    section = verdict.section
    reading = reading_words(verdict)
    written = _readable(verdict)
    plain = with_unit(_digits(written), written.section.unit)
    u = "" if verdict.expanded_uncertainty_si is None else f"±{_uncertainty(written)}"
    meters = f"the meter's {with_unit(u, written.section.unit)}"
    unknown = "the meter's accuracy is not known"
    limits, inside, outside = limits_text(section), _inside(section), _outside(verdict)
    low, high, near = _limit(section, low=True), _limit(section, low=False), _nearer(verdict)
    match verdict.reason:
        case Reason.INSIDE:
            return f"{reading} is {inside}."
        case Reason.INSIDE_SIMPLE:
            return f"{plain} is {inside}; the rule leaves {meters} aside."
        case Reason.INSIDE_ACCURACY_UNKNOWN:
            return f"{plain} is {inside}; {unknown}."
        case Reason.NEAR_LIMIT_INSIDE:
            return f"{plain} is {inside}, but within {meters} of {near}."
        case Reason.NEAR_LIMIT_OUTSIDE:
            return f"{plain} is {outside}, but by no more than {meters}."
        case Reason.BELOW:
            return f"{reading} is below the limit of {low}."
        case Reason.ABOVE:
            return f"{reading} is above the limit of {high}."
        case Reason.BELOW_ACCURACY_UNKNOWN:
            return f"{plain} is below the limit of {low}; {unknown}."
        case Reason.ABOVE_ACCURACY_UNKNOWN:
            return f"{plain} is above the limit of {high}; {unknown}."
        case Reason.WITHOUT_LIMITS:
            return f"{reading}; judged with the others."
        case Reason.METER_TOO_COARSE:
            close = f"the limits {limits} are closer together than that"
            return f"{reading}: {close}; {_what_could(verdict)}"
        case Reason.COUNT_UNKNOWN:
            return (
                "The accuracy counts digits, but what one is worth is not known: write it like "
                f"{with_unit('2 x 0.1', section.unit)}."
            )
        case Reason.NO_RESISTANCE:
            most = exact_text(section.shorted_below_si or Decimal(0), section.unit)
            return f"{plain} is no more than {with_unit(most, section.unit)}: shorted."
        case _:
            rated = exact_text(expected_si(section) or Decimal(0), section.unit)
            return f"{plain} is no more than 1 % of {with_unit(rated, section.unit)}: open."


def reason_without_value(reason: Reason) -> str:
    """Why there is no reading, where it is the same for every quantity."""
    return _NO_VALUE.get(reason, _NO_VALUE[Reason.NOT_MEASURED])


def reading_words(verdict: MeasurementVerdict) -> str:
    """What was judged, to the digits that its uncertainty supports: "44.10 ±0.84 µF".

    "OL" where an overload is the finding: of an open coil, or of a contact at rest.
    """
    if verdict.reading_si is None:
        told = verdict.reason is Reason.OVERLOAD and verdict.verdict is not Verdict.NO_READING
        return "OL" if told else "no value"
    verdict = _readable(verdict)
    digits, unit = _digits(verdict), verdict.section.unit
    if verdict.expanded_uncertainty_si is None:
        return with_unit(digits, unit)
    return with_unit(f"{digits} ±{_uncertainty(verdict)}", unit)


def limits_text(section: Measurement) -> str:
    """The limits with their unit: "42.3 to 47.7 µF", "at least 1 MΩ"; "" without any."""
    low_si, high_si = low_limit_si(section), section.high_si
    low, high = _limit(section, low=True), _limit(section, low=False)
    if low_si is not None and high_si is not None:
        return f"{exact_text(low_si, section.unit)} to {high}"
    if section.low_si is not None:
        return f"at least {low}"
    return f"no more than {high}" if high else ""


def probability_words(probability: float) -> str:
    """Never 0 or 100 %: a measurement leaves a doubt."""
    if probability > 0.999:
        return "> 99.9 %"
    return "< 0.1 %" if probability < 0.001 else f"{probability * 100:.1f} %"


def with_unit(digits: str, unit: str) -> str:
    """A number and its unit, a space between."""
    return f"{digits} {unit}".strip()


def _why_no_value(verdict: MeasurementVerdict) -> str:
    quantity, overload = verdict.section.quantity, verdict.section.overload
    capacitance = quantity is Quantity.CAPACITANCE
    match verdict.reason:
        case Reason.NO_CAPACITANCE:
            what = "capacitance" if capacitance else "continuity"
            return f"No {what} between the terminals: open."
        case Reason.NO_RESISTANCE:
            if capacitance:
                return f"Less than {SHORTED_BELOW_OHM} Ω between the terminals: shorted."
            return "No resistance between the terminals: shorted."
        case Reason.OVERLOAD if overload is Verdict.OPEN:
            return "The meter showed overload: open."
        case Reason.OVERLOAD if overload is Verdict.PASS:
            needed = limits_text(verdict.section)
            if not needed:
                return "The meter showed overload, as it should."
            return f"The meter showed overload: beyond its range, where {needed} is needed."
        case Reason.OVERLOAD if capacitance:
            return "The meter showed overload: too high for its range, or the part is shorted."
        case Reason.OVERLOAD:
            return "The meter showed overload: too high for its range."
        case Reason.WRONG_FUNCTION:
            return f"The meter was not set to {set_to(quantity)}."
        case Reason.BELOW_ZERO:
            return f"The reading is below zero: no {quantity.value} reads so. Check the leads."
        case _:
            return reason_without_value(verdict.reason)


def _limit(section: Measurement, *, low: bool) -> str:
    limit_si = low_limit_si(section) if low else section.high_si
    return "" if limit_si is None else with_unit(exact_text(limit_si, section.unit), section.unit)


def _inside(section: Measurement) -> str:
    limits = limits_text(section)
    both = low_limit_si(section) is not None and section.high_si is not None
    return f"inside {limits}" if both else limits


def _outside(verdict: MeasurementVerdict) -> str:
    section = verdict.section
    if low_limit_si(section) is None:
        return f"above {_limit(section, low=False)}"
    if section.high_si is None:
        return f"below {_limit(section, low=True)}"
    return f"outside {limits_text(section)}"


def _nearer(verdict: MeasurementVerdict) -> str:
    """The limit that is nearer to the reading."""
    section, reading_si = verdict.section, verdict.reading_si or Decimal(0)
    low_si, high_si = low_limit_si(section), section.high_si
    if low_si is None or high_si is None:
        return _limit(section, low=high_si is None)
    return _limit(section, low=reading_si - low_si <= high_si - reading_si)


def _what_could(verdict: MeasurementVerdict) -> str:
    if verdict.needed_half_width_si is None:
        return "the readings scatter too much: measure again."
    unit = verdict.section.unit
    exact = span_in_unit(Decimal(verdict.needed_half_width_si), unit)
    last = exact.adjusted() - 1
    # Rounded down: what is promised must be enough.
    needed = exact.quantize(Decimal(1).scaleb(last), ROUND_FLOOR, _WIDE)
    return f"a meter good for {with_unit(f'±{needed:f}', unit)} or better could decide."


def _readable(verdict: MeasurementVerdict) -> MeasurementVerdict:
    """A welded contact is written in ohms, though it ought to have megohms."""
    section, reading_si = verdict.section, verdict.reading_si
    small = reading_si is not None and abs(in_unit(reading_si, section.unit)) < _SMALLEST_IN_UNIT
    if section.unit not in ("kΩ", "MΩ", "GΩ") or not small:
        return verdict
    return replace(verdict, section=replace(section, unit="Ω"))


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
