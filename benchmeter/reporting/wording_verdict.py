"""Verdicts in words: the word, what it means, why, and what to do next. Decimal point, µF."""

from decimal import ROUND_FLOOR, ROUND_HALF_EVEN, Context, Decimal

from benchmeter.conformity.judge import expected_si
from benchmeter.conformity.part_check import PartCheck, Step
from benchmeter.conformity.typed import SHORTED_BELOW_OHM
from benchmeter.conformity.verdict import PartVerdict, Reason, Section, SectionVerdict, Word

__all__ = [
    "microfarad",
    "part_why",
    "probability_words",
    "reading_words",
    "step_text",
    "verdict_in_words",
    "verdict_word",
    "why",
]

_IN_WORDS = {
    Word.PASS: "Good.",
    Word.CONDITIONAL_PASS: "Good, but closer than this meter can tell.",
    Word.CONDITIONAL_FAIL: "Bad, but closer than this meter can tell.",
    Word.FAIL: "Bad.",
    Word.UNDECIDABLE: "This meter cannot decide.",
    Word.OPEN: "Bad: open inside.",
    Word.SHORTED: "Bad: shorted inside.",
    Word.NO_READING: "Not measured.",
}

_NO_VALUE = {
    Reason.NO_RESISTANCE: f"Less than {SHORTED_BELOW_OHM} Ω between the terminals: shorted.",
    Reason.OVERLOAD: "The meter showed overload: too high for its range, or the part is shorted.",
    Reason.WRONG_FUNCTION: "The meter was not set to capacitance.",
    Reason.NO_CONTACT: "The leads had no contact.",
    Reason.NO_VALUE: "The meter showed no value.",
    Reason.STILL_MOVING: "The reading was still moving.",
    Reason.STALE: "The meter had fallen silent: its last reading was too old to count.",
    Reason.NOT_A_CAPACITANCE: "The reading is below zero: no capacitor reads so. Check the leads.",
    Reason.NOT_MEASURED: "It was not measured.",
}

_MOST_DECIMALS = 9
_WIDE = Context(prec=400)  # whatever a float can hold


def verdict_word(word: Word) -> str:
    """The verdict in a word, as in ILAC-G8: "conditional pass"."""
    return word.value


def verdict_in_words(word: Word) -> str:
    """The verdict as a technician says it; a sentence."""
    return _IN_WORDS[word]


def why(verdict: SectionVerdict) -> str:
    """The reason in one sentence, with its numbers."""
    if verdict.reading_si is None:
        if verdict.reason is Reason.NO_CAPACITANCE:
            return "No capacitance between the terminals: open."
        return _NO_VALUE.get(verdict.reason, _NO_VALUE[Reason.NOT_MEASURED])
    section = verdict.section
    low, high = microfarad(section.low_si), microfarad(section.high_si)
    near = low if _nearer_low(section, verdict.reading_si) else high
    is_ = f"{reading_words(verdict)} is"
    plain = f"{_digits(verdict)} µF is"
    u = "" if verdict.expanded_uncertainty_si is None else f"±{_uncertainty(verdict)} µF"
    match verdict.reason:
        case Reason.INSIDE:
            return f"{is_} inside {low} to {high} µF."
        case Reason.INSIDE_SIMPLE:
            return f"{plain} inside {low} to {high} µF; the rule leaves the meter's {u} aside."
        case Reason.INSIDE_ACCURACY_UNKNOWN:
            return f"{plain} inside {low} to {high} µF; the meter's accuracy is not known."
        case Reason.NEAR_LIMIT_INSIDE:
            return f"{plain} inside {low} to {high} µF, but within the meter's {u} of {near} µF."
        case Reason.NEAR_LIMIT_OUTSIDE:
            return f"{plain} outside {low} to {high} µF, but by no more than the meter's {u}."
        case Reason.BELOW:
            return f"{is_} below the limit of {low} µF."
        case Reason.ABOVE:
            return f"{is_} above the limit of {high} µF."
        case Reason.BELOW_ACCURACY_UNKNOWN:
            return f"{plain} below the limit of {low} µF; the meter's accuracy is not known."
        case Reason.ABOVE_ACCURACY_UNKNOWN:
            return f"{plain} above the limit of {high} µF; the meter's accuracy is not known."
        case Reason.METER_TOO_COARSE:
            close = f"the limits {low} to {high} µF are closer together than that"
            return f"{reading_words(verdict)}: {close}; {_what_could(verdict)}"
        case Reason.COUNT_UNKNOWN:
            return (
                "The accuracy counts digits, but what one is worth is not known: write it like "
                "2 x 0.1 µF."
            )
        case _:
            rated = microfarad(expected_si(section))
            return f"{plain} no more than 1 % of {rated} µF: open."


def part_why(verdict: PartVerdict) -> str:
    """The reason of the section that decides, named where there are two."""
    decisive = next((s for s in verdict.sections if s.verdict is verdict.verdict), None)
    if decisive is None:
        return _NO_VALUE[Reason.NOT_MEASURED]
    name = f"{decisive.section.name}: " if len(verdict.sections) > 1 else ""
    return name + why(decisive)


def reading_words(verdict: SectionVerdict) -> str:
    """What was judged, to the digits that its uncertainty supports: "44.10 ±0.84 µF"."""
    if verdict.reading_si is None:
        return "no value"
    if verdict.expanded_uncertainty_si is None:
        return f"{_digits(verdict)} µF"
    return f"{_digits(verdict)} ±{_uncertainty(verdict)} µF"


def probability_words(probability: float) -> str:
    """Never 0 or 100 %: a measurement leaves a doubt."""
    if probability > 0.999:
        return "> 99.9 %"
    return "< 0.1 %" if probability < 0.001 else f"{probability * 100:.1f} %"


def microfarad(farad: Decimal) -> str:
    """Every digit of an exact value, in µF: "42.3"."""
    return f"{(farad * 10**6).normalize():f}"


def step_text(check: PartCheck) -> str:
    """What to do next; one line."""
    where = _where(check)
    match check.step:
        case Step.CLIP_ON:
            return f"Put the leads on {where}."
        case Step.HOLD:
            return "Still moving, hold on."
        case Step.LIFT_LEADS:
            return f"Lift the leads, then put them on {where}."
        case Step.NOTHING_BETWEEN_LEADS:
            return f"Nothing between the leads. Put them on {where}; if they are, take it as open."
        case Step.LOOKS_LIKE_OTHER_SECTION:
            return f"This looks like {_other(check)}. Put the leads on {where}, or take it by hand."
        case Step.UNLIKELY:
            return "An unlikely value. Check the leads; if it stays, take it by hand."
        case Step.SET_FUNCTION:
            return "Set the meter to capacitance."
        case Step.OVERLOAD:
            return "Overload. Choose a higher range; if it stays, check in ohms for a short."
        case Step.METER_SILENT:
            return "The meter is silent. Switch it on and let it send, or type the reading."
        case Step.DONE:
            return "Done. Begin the next part, or repeat a section."


def _where(check: PartCheck) -> str:
    if len(check.sections) == 1 or check.expected is None:
        return "the part's two terminals"
    return f"C and {check.expected}"


def _other(check: PartCheck) -> str:
    names = (s.section.name for s in check.sections if s.section.name != check.expected)
    return next(names, "another section")


def _what_could(verdict: SectionVerdict) -> str:
    if verdict.needed_half_width_si is None:
        return "the readings scatter too much: measure again."
    exact = Decimal(verdict.needed_half_width_si * 1e6)
    last = exact.adjusted() - 1
    # Rounded down: what is promised must be enough.
    needed = exact.quantize(Decimal(1).scaleb(last), ROUND_FLOOR, _WIDE)
    return f"a meter good for ±{needed:f} µF or better could decide."


def _nearer_low(section: Section, reading_si: Decimal) -> bool:
    return reading_si - section.low_si <= section.high_si - reading_si


def _uncertainty(verdict: SectionVerdict) -> str:
    """Two significant digits (JCGM 100 cl. 7.2.6)."""
    return f"{_two_digits(verdict.expanded_uncertainty_si or 0.0):f}"


def _two_digits(farad: float) -> Decimal:
    return Decimal(f"{farad * 1e6:.1e}")


def _digits(verdict: SectionVerdict) -> str:
    """The reading in µF; more digits where fewer would put it on the other side of a limit."""
    reading = (verdict.reading_si or Decimal(0)) * 10**6
    limits = [verdict.section.low_si * 10**6, verdict.section.high_si * 10**6]
    decimals = _decimals(verdict)
    while decimals < _MOST_DECIMALS:
        rounded = _rounded(reading, decimals)
        if all(rounded.compare(limit) == reading.compare(limit) for limit in limits):
            break
        decimals += 1
    return f"{_rounded(reading, decimals):f}"


def _rounded(number: Decimal, decimals: int) -> Decimal:
    return number.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_EVEN, _WIDE)


def _decimals(verdict: SectionVerdict) -> int:
    if verdict.expanded_uncertainty_si:
        last = _two_digits(verdict.expanded_uncertainty_si)
    elif verdict.resolution_si:
        last = (verdict.resolution_si * 10**6).normalize()
    else:
        last = ((verdict.reading_si or Decimal(0)) * 10**6).normalize()
    return min(max(0, -int(last.as_tuple().exponent)), _MOST_DECIMALS)
