"""The windings of a single-phase motor or compressor: C common, S start, R run.

Both windings meet at C, so that (C-S) + (C-R) = (S-R); S-R is the largest pair and C-R the smallest
(common practice, no source). Judged is whether the residual (C-S) + (C-R) - (S-R) lies within its
expanded uncertainty, as with the E_n number of ISO 13528 (|residual| / U <= 1). The sum holds with
shorted turns too: it tells that the readings belong together, not that the turns are all there.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum

from benchmeter.conformity.decision import at_least
from benchmeter.conformity.lead_offset import refuse_ohm_offset
from benchmeter.conformity.uncertainty import COVERAGE_FACTOR
from benchmeter.conformity.verdict import Accuracy, Verdict
from benchmeter.errors import InputError
from benchmeter.motors.winding_pairs import Pair, PairReading, worst_case_ohm

__all__ = [
    "ASSUMED_ACCURACY",
    "LEADS_OHM",
    "NAMED",
    "WindingFinding",
    "WindingsVerdict",
    "find_terminals",
    "judge_windings",
]

_CS, _CR, _SR = (frozenset(p) for p in ("CS", "CR", "SR"))
NAMED = {_CS, _CR, _SR}
"""The pairs of terminals whose names are known."""

ASSUMED_ACCURACY = Accuracy(Decimal(2), Decimal(5), None, "2 % + 5 counts")
"""Of a meter that says nothing of itself: what lies beyond it is wrong with any meter (common
practice, no source)."""

LEADS_OHM = 0.5
"""Test leads that were not subtracted have up to this; common practice, no source."""

_SMALLEST_WINDING_OHM = 0.2  # of a single-phase motor; common practice, no source


class WindingFinding(StrEnum):
    """What the three pairs say; the sentence is made in `words`."""

    CONSISTENT = "consistent"
    CONSISTENT_ROUNDING = "consistent within the last digit"  # accuracy unknown
    SUM_TOO_LARGE = "sum larger than S-R"
    SUM_TOO_SMALL = "sum smaller than S-R"
    LEADS_NOT_SUBTRACTED = "leads not subtracted"  # they alone can explain the residual
    ACCURACY_NEEDED = "accuracy needed"
    COUNT_UNKNOWN = "worth of a count unknown"
    METER_TOO_COARSE = "meter too coarse"
    NAMES_DOUBTFUL = "names of the terminals doubtful"
    ALIKE = "pairs alike"  # the terminals cannot be told apart
    SHORTED = "shorted"
    OPEN_AT_C = "open at C"  # the internal protector may have opened
    OPEN_AT_C_COLD = "open at C, cold"  # and it does not close again
    OPEN_START = "start winding open"
    OPEN_RUN = "run winding open"
    OPEN_TERMINAL = "one terminal open"  # names not known
    OPEN_ALL = "all pairs open"
    CONTRADICTORY = "one pair open alone"  # cannot be: the other two join it


_OPENS = {
    "C": WindingFinding.OPEN_AT_C,
    "S": WindingFinding.OPEN_START,
    "R": WindingFinding.OPEN_RUN,
}


@dataclass(frozen=True, slots=True)
class WindingsVerdict:
    """What the three pairs of a single-phase motor say.

    Attributes:
        residual_ohm: (C-S) + (C-R) - (S-R), or the two smaller less the largest where names are
            not known; None if a pair is open.
        expanded_uncertainty_ohm: U of the residual; None if the accuracy is not known.
        terminals: role -> terminal: {"C": ..., "S": ..., "R": ...}; None if they cannot be told.
    """

    residual_ohm: float | None
    expanded_uncertainty_ohm: float | None
    terminals: dict[str, str] | None
    verdict: Verdict
    finding: WindingFinding


def judge_windings(
    readings: Mapping[Pair, PairReading],
    accuracy: Accuracy | None = None,
    lead_offset_ohm: Decimal | None = None,
    cold: bool | None = None,
) -> WindingsVerdict:
    """The verdict on three pairs, whose terminals are named C, S, R or not named at all.

    Args:
        readings: three pairs of three terminals.
        accuracy: the meter's, in ohm. None: good within the last digits is good, bad even for
            `ASSUMED_ACCURACY` is bad, and nothing is said in between.
        lead_offset_ohm: reading of the shorted leads, subtracted from each pair; None: not known,
            and an excess that leads can explain (`LEADS_OHM`) is no fault of the motor.
        cold: the protector has had the time to close again. False: what is open at C alone cannot
            be decided (common practice, no source). None: open is open.

    Raises:
        InputError: leads that no leads are, or that read more than a winding.
    """
    isolated = _open(readings)
    if isolated is not None and isolated.finding is WindingFinding.OPEN_AT_C and cold is not None:
        if cold:
            return replace(isolated, finding=WindingFinding.OPEN_AT_C_COLD)
        return replace(isolated, verdict=Verdict.UNDECIDABLE)
    if isolated is not None:
        return isolated
    leads = lead_offset_ohm or Decimal(0)
    ohm = {pair: float((r.ohm or Decimal(0)) - leads) for pair, r in readings.items()}
    widths = worst_case_ohm(readings, accuracy or ASSUMED_ACCURACY)
    _refuse_leads(leads, ohm, widths)
    if widths is None:
        terminals = _as_named(readings)
        residual = _residual(ohm, _largest(ohm, terminals))
        finding = WindingFinding.COUNT_UNKNOWN if accuracy else WindingFinding.ACCURACY_NEEDED
        return WindingsVerdict(residual, None, terminals, Verdict.UNDECIDABLE, finding)
    if accuracy is None:
        return _simply(readings, ohm, widths, lead_offset_ohm is None)
    return _judge(readings, ohm, widths, lead_offset_ohm is None)


def find_terminals(
    ohm: Mapping[Pair, float], half_widths_ohm: Mapping[Pair, float]
) -> dict[str, str] | None:
    """Which terminal is C, S, R, by role.

    The largest pair leaves C over; from C the higher is S, the lower R. None if two pairs are
    closer than the meter can tell (U of their difference). Common practice, no source.
    """
    low, middle, high = sorted(ohm, key=lambda pair: ohm[pair])
    for less, more in ((low, middle), (middle, high)):
        u = _expanded(half_widths_ohm[less], half_widths_ohm[more])
        if at_least(u, ohm[more] - ohm[less]):
            return None
    (common,) = low & middle
    (start,) = middle - {common}
    (run,) = low - {common}
    return {"C": common, "S": start, "R": run}


def _open(readings: Mapping[Pair, PairReading]) -> WindingsVerdict | None:
    opened = [pair for pair, reading in readings.items() if reading.ohm is None]
    if not opened:
        return None
    word, finding = Verdict.OPEN, WindingFinding.OPEN_ALL
    if len(opened) == 1:
        word, finding = Verdict.UNDECIDABLE, WindingFinding.CONTRADICTORY
    elif len(opened) == 2:
        (alone,) = opened[0] & opened[1]
        named = set(readings) == NAMED
        finding = _OPENS[alone] if named else WindingFinding.OPEN_TERMINAL
    return WindingsVerdict(None, None, _as_named(readings), word, finding)


def _judge(
    readings: Mapping[Pair, PairReading],
    ohm: dict[Pair, float],
    widths: dict[Pair, float],
    leads_unknown: bool,
) -> WindingsVerdict:
    """By a known accuracy, or by an assumed one."""
    named = _as_named(readings)
    terminals = named or find_terminals(ohm, widths)
    largest = _largest(ohm, terminals)
    residual, u = _residual(ohm, largest), _expanded(*widths.values())

    def found(word: Verdict, finding: WindingFinding) -> WindingsVerdict:
        settled = terminals if finding is not WindingFinding.NAMES_DOUBTFUL else None
        return WindingsVerdict(residual, u, settled, word, finding)

    if any(ohm[pair] + widths[pair] <= _SMALLEST_WINDING_OHM for pair in ohm):
        return found(Verdict.SHORTED, WindingFinding.SHORTED)
    if _alike(ohm, widths):
        return found(Verdict.UNDECIDABLE, WindingFinding.ALIKE)
    if not at_least(u, -residual):
        return found(Verdict.FAIL, WindingFinding.SUM_TOO_SMALL)
    if not at_least(u, residual):
        if at_least(u, abs(_residual(ohm, max(ohm, key=lambda pair: ohm[pair])))):
            return found(Verdict.UNDECIDABLE, WindingFinding.NAMES_DOUBTFUL)
        if leads_unknown and at_least(u + LEADS_OHM, residual):
            return found(Verdict.UNDECIDABLE, WindingFinding.LEADS_NOT_SUBTRACTED)
        return found(Verdict.FAIL, WindingFinding.SUM_TOO_LARGE)
    if at_least(u, min(ohm.values())):  # one winding less would not be noticed
        return found(Verdict.UNDECIDABLE, WindingFinding.METER_TOO_COARSE)
    if terminals is None:
        return found(Verdict.UNDECIDABLE, WindingFinding.ALIKE)
    if named and not at_least(ohm[_CS] + _expanded(widths[_CS], widths[_CR]), ohm[_CR]):
        return found(Verdict.UNDECIDABLE, WindingFinding.NAMES_DOUBTFUL)
    return found(Verdict.PASS, WindingFinding.CONSISTENT)


def _simply(
    readings: Mapping[Pair, PairReading],
    ohm: dict[Pair, float],
    assumed: dict[Pair, float],
    leads_unknown: bool,
) -> WindingsVerdict:
    """Without the meter's accuracy: what holds for every meter."""
    rounding = {pair: float(r.resolution_ohm or 0) / 2 for pair, r in readings.items()}
    strict = replace(_judge(readings, ohm, rounding, leads_unknown), expanded_uncertainty_ohm=None)
    coarse = replace(_judge(readings, ohm, assumed, leads_unknown), expanded_uncertainty_ohm=None)
    if strict.verdict is Verdict.PASS:
        return replace(strict, finding=WindingFinding.CONSISTENT_ROUNDING)
    if coarse.finding is WindingFinding.NAMES_DOUBTFUL or coarse.verdict in (
        Verdict.FAIL,
        Verdict.SHORTED,
    ):
        return coarse
    if min(ohm.values()) <= 0:
        return replace(strict, verdict=Verdict.SHORTED, finding=WindingFinding.SHORTED)
    if strict.verdict is Verdict.UNDECIDABLE:
        return strict
    return replace(strict, verdict=Verdict.UNDECIDABLE, finding=WindingFinding.ACCURACY_NEEDED)


def _refuse_leads(
    leads: Decimal, ohm: Mapping[Pair, float], widths: Mapping[Pair, float] | None
) -> None:
    refuse_ohm_offset(leads)
    if any(value + (widths[pair] if widths else LEADS_OHM) < 0 for pair, value in ohm.items()):
        raise InputError("motors.less_than_leads")


def _alike(ohm: Mapping[Pair, float], widths: Mapping[Pair, float]) -> bool:
    low, high = min(ohm, key=lambda p: ohm[p]), max(ohm, key=lambda p: ohm[p])
    return bool(at_least(_expanded(widths[low], widths[high]), ohm[high] - ohm[low]))


def _as_named(readings: Mapping[Pair, PairReading]) -> dict[str, str] | None:
    return {"C": "C", "S": "S", "R": "R"} if set(readings) == NAMED else None


def _largest(ohm: Mapping[Pair, float], terminals: dict[str, str] | None) -> Pair:
    """The pair that ought to be the sum of the other two."""
    if terminals is None:
        return max(ohm, key=lambda pair: ohm[pair])
    return frozenset((terminals["S"], terminals["R"]))


def _residual(ohm: Mapping[Pair, float], largest: Pair) -> float:
    # Readings are decimals of a few digits: what is left of binary fractions is no residual.
    rest = math.fsum(ohm.values()) - 2 * ohm[largest]
    return round(rest, 9)


def _expanded(*half_widths: float) -> float:
    """U of a sum or difference of independent readings: k·sqrt(sum of a²/3), JCGM 100 cl. 5.1.2.

    The same meter's error is partly common to the three readings and then cancels: U is rather too
    large.
    """
    return COVERAGE_FACTOR * math.sqrt(math.fsum(a * a for a in half_widths) / 3)
