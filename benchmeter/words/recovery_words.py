"""Sentences about a recovery: where it stands, what may be expected, what to do."""

from benchmeter.cooling.horizon import WINDOW_S
from benchmeter.cooling.recovery import Estimate, FitFailure, Phase, Recovery, RiseJudgement
from benchmeter.cooling.watch import MOST_STOPS, USUAL_HIGH_K, USUAL_LOW_K
from benchmeter.errors import Message
from benchmeter.words.durations import about_text, duration_text
from benchmeter.words.numbers import decimal, in_unit, number_text
from benchmeter.words.presentation import Presentation, Told
from benchmeter.words.temperatures import difference_text, temperature_text

__all__ = ["estimate_text", "judgement_words", "phase_told", "phase_words"]


def phase_words(recovery: Recovery, presentation: Presentation) -> str:
    """Where the recovery stands, in one to three sentences."""
    return str(phase_told(recovery, presentation))


def phase_told(recovery: Recovery, presentation: Presentation) -> Told:
    """The same: what it comes to, and what more there is to say."""
    if recovery.stops > MOST_STOPS:
        count, span = recovery.stops, _watched(recovery, presentation)
        return presentation.tell(Message("recovery.stopped_often", {"count": count, "span": span}))
    match recovery.phase:
        case Phase.NO_READINGS:
            message = Message("recovery.no_readings")
        case Phase.WAITING if recovery.power_ns is not None:
            message = Message("recovery.missed")
        case Phase.WAITING:
            message = Message("recovery.waiting")
        case Phase.HELD_OFF:
            message = Message("recovery.held_off")
        case Phase.NO_START:
            message = Message("recovery.no_start", {"span": _since_power(recovery, presentation)})
        case Phase.RISING:
            message = _rising(recovery, presentation)
        case Phase.SETTLED:
            return _settled(recovery, presentation)
        case Phase.STOPPED:
            message = Message("recovery.stopped")
    return presentation.tell(message)


def judgement_words(recovery: Recovery, presentation: Presentation) -> str:
    """The rise over outdoor air against what is usual; "" until it can be said."""
    text, rise = presentation.text, recovery.rise_k
    if recovery.judgement is RiseJudgement.NO_OUTDOOR:
        return text("recovery.no_outdoor")
    if rise is None or recovery.judgement is RiseJudgement.NOT_YET:
        return ""
    warmer = difference_text(rise.value, presentation)
    degrees = f"Δ{presentation.temperature_unit}"
    low = number_text(in_unit(decimal(USUAL_LOW_K), degrees), 0)
    high = difference_text(USUAL_HIGH_K, presentation, decimals=0)
    match recovery.judgement:
        case RiseJudgement.USUAL:
            return text("recovery.rise_usual", rise=warmer, low=low, high=high)
        case RiseJudgement.TOO_SMALL:
            return text("recovery.rise_too_small", rise=warmer, low=low, high=high)
        case RiseJudgement.TOO_LARGE:
            return text("recovery.rise_too_large", rise=warmer, low=low, high=high)
        case _:
            least = difference_text(rise.low, presentation)
            most = difference_text(rise.high, presentation)
            return text(
                "recovery.rise_close", rise=warmer, least=least, most=most, low=low, high=high
            )


def estimate_text(estimate: Estimate, presentation: Presentation) -> str:
    """With the larger half of its interval; tenths are all that matter to a machine."""
    half = max(estimate.high - estimate.value, estimate.value - estimate.low)
    return temperature_text(estimate.value, presentation, uncertainty_k=half, most_decimals=1)


def _rising(recovery: Recovery, presentation: Presentation) -> Message:
    forecast, left = recovery.settled_k, recovery.time_left_s
    if recovery.fit is None and recovery.fit_failure is None:
        return Message("recovery.rising")
    if recovery.fit is None or forecast is None:
        if recovery.fit_failure in (FitFailure.TOO_FEW, FitFailure.TOO_SHORT):
            return Message("recovery.rising_early")
        return Message("recovery.no_forecast")
    value = estimate_text(forecast, presentation)
    rising = recovery.fit.final.value >= recovery.fit.initial.value
    if left is None and rising:
        return Message("recovery.rising_to", {"value": value})
    if left is None:
        return Message("recovery.falling_to", {"value": value})
    if left.value < 5:
        return Message("recovery.nearly", {"value": value})
    span = about_text(left.value, presentation)
    if rising:
        return Message("recovery.rising_in", {"value": value, "span": span})
    return Message("recovery.falling_in", {"value": value, "span": span})


def _settled(recovery: Recovery, presentation: Presentation) -> Told:
    value = recovery.settled_k
    if value is None:
        return presentation.tell(Message("recovery.wide"))
    at = presentation.text("recovery.settled_at", value=estimate_text(value, presentation))
    gone = presentation.text("recovery.no_readings_now") if recovery.discharge_k is None else ""
    held = _held(recovery, presentation)
    judged = judgement_words(recovery, presentation)
    return Told(at, " ".join(filter(None, (judged, held, gone))))


def _held(recovery: Recovery, presentation: Presentation) -> str:
    """For how long it has held; "" in older records."""
    if recovery.settled_ns is None:
        return ""
    held_s = (recovery.time_ns - recovery.settled_ns) / 1e9 + WINDOW_S
    watched = presentation.text("recovery.watched", span=duration_text(held_s, presentation))
    once = presentation.text("recovery.stopped_once") if recovery.stops else ""
    return f"{watched} {once}".strip()


def _watched(recovery: Recovery, presentation: Presentation) -> str:
    return duration_text((recovery.time_ns - (recovery.power_ns or 0)) / 1e9, presentation)


def _since_power(recovery: Recovery, presentation: Presentation) -> str:
    if recovery.power_ns is None:
        return presentation.text("recovery.long")
    minutes = (recovery.time_ns - recovery.power_ns) // 60_000_000_000
    if minutes == 1:
        return presentation.text("recovery.one_minute")
    return presentation.text("recovery.minutes", count=minutes)
