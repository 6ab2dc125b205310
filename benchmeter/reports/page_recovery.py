"""The recovery on the page, figure by figure."""

from benchmeter.cooling.recovery import Estimate, Phase, Recovery, RiseJudgement
from benchmeter.cooling.watch import USUAL_HIGH_K, USUAL_LOW_K
from benchmeter.reports.session_record import Record
from benchmeter.words.durations import age
from benchmeter.words.numbers import decimal, in_unit, number_text
from benchmeter.words.presentation import Presentation
from benchmeter.words.temperatures import difference_text, temperature_text

__all__ = ["recovery_rows"]

_JUDGEMENT = {
    RiseJudgement.USUAL: "usual",
    RiseJudgement.TOO_SMALL: "too small",
    RiseJudgement.TOO_LARGE: "too large",
    RiseJudgement.CLOSE: "closer to a limit than can be told",
    RiseJudgement.NOT_YET: "none: it had not settled",
    RiseJudgement.NO_OUTDOOR: "none: the outdoor temperature is not known",
}


def recovery_rows(
    recovery: Recovery, record: Record, presentation: Presentation
) -> tuple[tuple[str, str], ...]:
    """Name and value of all that is known; intervals are of 95 %."""
    rows: list[tuple[str, str]] = []
    power, start = recovery.power_ns, recovery.start_ns
    if power is not None:
        rows.append(("Power restored", f"{record.clock(power):%H:%M:%S}"))
    if start is not None:
        delay = f", {age(start - power, presentation)} after power" if power is not None else ""
        rows.append(("Discharge air began to rise", f"{record.clock(start):%H:%M:%S}{delay}"))
    settled = recovery.phase is Phase.SETTLED
    if recovery.settled_k is not None:
        name = "Settled discharge air" if settled else "Discharge air will settle at (forecast)"
        rows.append((name, _interval(recovery.settled_k, presentation)))
    if recovery.outdoor_k is not None:
        outdoor = temperature_text(recovery.outdoor_k, presentation, decimals=1)
        rows.append(("Outdoor air", outdoor))
    if recovery.rise_k is not None:
        rise = recovery.rise_k
        value, low, high = (
            difference_text(k, presentation, decimals=1) for k in (rise.value, rise.low, rise.high)
        )
        name = "Rise over outdoor air" if settled else "Rise over outdoor air (forecast)"
        rows.append((name, f"{value} ({low} to {high})"))
    unit = presentation.temperature_unit
    low = number_text(in_unit(decimal(USUAL_LOW_K), f"Δ{unit}"), 0)
    usual = f"{low} to {difference_text(USUAL_HIGH_K, presentation, decimals=0)}"
    own = "" if unit == "°F" else ", that is 15 to 30 °F"
    rows.append(("Usual for a split unit under load", f"{usual}{own} (common practice)"))
    rows.append(("Judgement of the rise", _JUDGEMENT[recovery.judgement]))
    return tuple(rows)


def _interval(estimate: Estimate, presentation: Presentation) -> str:
    value, low, high = (
        temperature_text(k, presentation, decimals=1)
        for k in (estimate.value, estimate.low, estimate.high)
    )
    return f"{value} ({low} to {high})"
