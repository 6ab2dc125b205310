"""Whether the three windings of a three-phase motor are alike."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from benchmeter.conformity.decision import zone
from benchmeter.conformity.uncertainty import COVERAGE_FACTOR, standard_uncertainty
from benchmeter.conformity.verdict import Accuracy, Reason, Verdict
from benchmeter.motors.voltage_unbalance import deviation_u, greatest_deviation
from benchmeter.motors.winding_pairs import Pair, PairReading, worst_case_ohm

__all__ = ["BALANCE_LIMIT_PERCENT", "BalanceVerdict", "judge_balance"]

BALANCE_LIMIT_PERCENT = 5.0
"""Greatest deviation from the mean that is taken as alike; common practice, no source."""


@dataclass(frozen=True, slots=True)
class BalanceVerdict:
    """Whether three windings are alike.

    Attributes:
        unbalance_percent: greatest deviation from the mean over the mean; None if a pair is open.
        expanded_uncertainty_percent: U of it; None if the accuracy is not known.
        verdict, reason: by the guarded rule; without accuracy simply by the limit.
    """

    unbalance_percent: float | None
    expanded_uncertainty_percent: float | None
    verdict: Verdict
    reason: Reason


def judge_balance(
    readings: Mapping[Pair, PairReading],
    accuracy: Accuracy | None = None,
    lead_offset_ohm: Decimal = Decimal(0),
    limit_percent: float = BALANCE_LIMIT_PERCENT,
) -> BalanceVerdict:
    """The verdict on the three pairs of a three-phase motor, star or delta.

    Args:
        accuracy: the meter's, in ohm; None compares with the limit simply.
        lead_offset_ohm: reading of the shorted leads, subtracted from each pair.
        limit_percent: of the mean.
    """
    if any(r.ohm is None for r in readings.values()):
        return BalanceVerdict(None, None, Verdict.OPEN, Reason.OVERLOAD)
    ohm = {pair: float((r.ohm or Decimal(0)) - lead_offset_ohm) for pair, r in readings.items()}
    if min(ohm.values()) <= 0:
        return BalanceVerdict(None, None, Verdict.SHORTED, Reason.NO_RESISTANCE)
    mean = math.fsum(ohm.values()) / 3
    percent = greatest_deviation(list(ohm.values())) * 100
    if accuracy is None:
        word, reason = zone(percent, -limit_percent, limit_percent, 0.0)
        reason = (
            Reason.INSIDE_ACCURACY_UNKNOWN
            if word is Verdict.PASS
            else Reason.ABOVE_ACCURACY_UNKNOWN
        )
        return BalanceVerdict(percent, None, word, reason)
    widths = worst_case_ohm(readings, accuracy)
    if widths is None:
        return BalanceVerdict(percent, None, Verdict.UNDECIDABLE, Reason.COUNT_UNKNOWN)
    us = [standard_uncertainty(widths[pair], 0.0) for pair in ohm]
    u = COVERAGE_FACTOR * deviation_u(list(ohm.values()), us) / mean * 100
    return BalanceVerdict(percent, u, *zone(percent, -limit_percent, limit_percent, u))
