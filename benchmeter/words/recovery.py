"""Sentences about a recovery: where it stands, what may be expected, what to do."""

from benchmeter.cooling.recovery import Estimate, FitFailure, Phase, Recovery, RiseJudgement
from benchmeter.cooling.watch import USUAL_HIGH_K, USUAL_LOW_K
from benchmeter.words.numbers import (
    difference_text,
    duration_text,
    number_text,
    temperature_text,
)

__all__ = ["estimate_text", "fit_failure_words", "judgement_words", "phase_words"]

_FAILURES: dict[FitFailure, tuple[str, str]] = {
    FitFailure.TOO_FEW: (
        "There are too few readings to say where this settles.",
        "Wait for more of them; at least five are needed while it still changes.",
    ),
    FitFailure.TOO_SHORT: (
        "It is too early to say where this settles: the curve is still a straight line.",
        "Keep measuring.",
    ),
    FitFailure.NOT_CONVERGED: (
        "The readings do not follow a single rise or fall, so no forecast can be made.",
        "Judge by the measured values, or measure from the start again.",
    ),
    FitFailure.NO_CHANGE: (
        "The readings do not change, so there is nothing to forecast.",
        "Check that the probe lies in the air that should change.",
    ),
}


def fit_failure_words(failure: FitFailure) -> tuple[str, str]:
    """Why there is no forecast, and what to do: one sentence each."""
    return _FAILURES[failure]


def phase_words(recovery: Recovery, temperature_unit: str, *, decimal_sign: str = ".") -> str:
    """Where the recovery stands, in one to three sentences."""
    match recovery.phase:
        case Phase.NO_READINGS:
            return "No readings of the discharge temperature. Check the probe and its link."
        case Phase.WAITING if recovery.power_ns is not None:
            return (
                "No rise has been seen, but it may have been missed. "
                "If the unit does not run, restore power with the probes in place."
            )
        case Phase.WAITING:
            return "Waiting for power, or for the discharge air to get warmer."
        case Phase.HELD_OFF:
            return (
                "Held off: many controls wait 3 to 5 minutes before the compressor may start. "
                "No rise is no fault yet."
            )
        case Phase.NO_START:
            return (
                f"No rise {_since_power(recovery)} after power: look at the call for cooling, "
                "the contactor, the capacitor and the compressor. "
                "A rise before the probes were in place cannot be seen."
            )
        case Phase.RISING:
            return _rising(recovery, temperature_unit, decimal_sign)
        case Phase.SETTLED:
            return _settled(recovery, temperature_unit, decimal_sign)
        case Phase.STOPPED:
            return (
                "The discharge air has fallen back by more than half of its rise: "
                "the unit has stopped, or the probe has moved."
            )


def judgement_words(recovery: Recovery, temperature_unit: str, *, decimal_sign: str = ".") -> str:
    """The rise over outdoor air against what is usual; "" until it can be said."""
    rise = recovery.rise_k
    usual = f"usual is {_usual(temperature_unit)} (common practice)"
    if recovery.judgement is RiseJudgement.NO_OUTDOOR:
        return "Without the outdoor temperature the rise cannot be judged."
    if rise is None or recovery.judgement is RiseJudgement.NOT_YET:
        return ""
    warmer = difference_text(rise.value, temperature_unit, decimal_sign=decimal_sign)
    over = f"{warmer} over outdoor air"
    match recovery.judgement:
        case RiseJudgement.USUAL:
            return f"{over}; {usual}."
        case RiseJudgement.TOO_SMALL:
            return f"{over}: too small; {usual}."
        case RiseJudgement.TOO_LARGE:
            return f"{over}: too large; {usual}."
        case _:
            low, high = (
                difference_text(k, temperature_unit, decimal_sign=decimal_sign)
                for k in (rise.low, rise.high)
            )
            return f"{over}, closer to a limit than can be told ({low} to {high}); {usual}."


def _rising(recovery: Recovery, unit: str, sign: str) -> str:
    forecast, left = recovery.settled_k, recovery.time_left_s
    if recovery.fit is None or forecast is None:
        if recovery.fit_failure in (None, FitFailure.TOO_FEW, FitFailure.TOO_SHORT):
            return "Rising. Too early to say where it settles."
        return "Not settled. The readings allow no forecast."
    moving = "Rising" if recovery.fit.final.value >= recovery.fit.initial.value else "Falling"
    at = estimate_text(forecast, unit, sign)
    if left is None:
        return f"{moving}. Settles at about {at}."
    if left.value < 5:
        return f"Nearly settled, at about {at}."
    when = duration_text(left.value)
    about = "" if when.startswith("about") else "about "
    return f"{moving}. Settles at about {at} in {about}{when}."


def _settled(recovery: Recovery, unit: str, sign: str) -> str:
    value = recovery.settled_k
    if value is None:
        return "Settled."
    at = estimate_text(value, unit, sign)
    words = f"Settled at {at}. {judgement_words(recovery, unit, decimal_sign=sign)}".strip()
    return words if recovery.discharge_k is not None else f"{words} No readings now."


def estimate_text(estimate: Estimate, unit: str, sign: str) -> str:
    """With the larger half of its interval; tenths are all that matter to a machine."""
    half = max(estimate.high - estimate.value, estimate.value - estimate.low)
    return temperature_text(
        estimate.value, unit, uncertainty_k=half, most_decimals=1, decimal_sign=sign
    )


def _usual(unit: str) -> str:
    low, _ = difference_text(USUAL_LOW_K, unit, decimals=0).split(" ")
    high = difference_text(USUAL_HIGH_K, unit, decimals=0)
    return f"{low} to {high}"


def _since_power(recovery: Recovery) -> str:
    if recovery.power_ns is None:
        return "long"
    minutes = (recovery.time_ns - recovery.power_ns) // 60_000_000_000
    return "1 minute" if minutes == 1 else f"{number_text(float(minutes), 0)} minutes"
