"""The recovery on the page, figure by figure."""

import math
from collections.abc import Iterator
from typing import Protocol

from benchmeter.cooling.recovery import Estimate, Phase, Recovery
from benchmeter.cooling.watch import USUAL_HIGH_K, USUAL_LOW_K
from benchmeter.links.instruments.setup import Role
from benchmeter.reports.accuracy_used import probe_uncertainty_k
from benchmeter.reports.session_record import Record
from benchmeter.words.durations import age
from benchmeter.words.numbers import decimal, in_unit, number_text
from benchmeter.words.presentation import Presentation
from benchmeter.words.temperatures import difference_text, temperature_text

__all__ = ["recovery_notes", "recovery_rows"]


class _Written(Protocol):
    def __call__(self, kelvin: float, presentation: Presentation, *, decimals: int) -> str: ...


def recovery_rows(
    recovery: Recovery, record: Record, presentation: Presentation
) -> Iterator[tuple[str, str]]:
    """Name and value of all that is known; intervals are of 95 %."""
    text, power, start = presentation.text, recovery.power_ns, recovery.start_ns
    if power is not None:
        yield text("report.power"), f"{record.clock(power):%H:%M:%S}"
    if start is not None:
        began = f"{record.clock(start):%H:%M:%S}"
        if power is not None:
            delay = age(start - power, presentation)
            began = text("report.after_power", clock=began, delay=delay)
        yield text("report.start"), began
    settled = recovery.phase is Phase.SETTLED
    if recovery.settled_k is not None:
        name = text("report.settled") if settled else text("report.will_settle")
        yield name, _interval(recovery.settled_k, presentation, temperature_text)
    if recovery.outdoor_k is not None:
        outdoor = temperature_text(recovery.outdoor_k, presentation, decimals=1)
        yield text("report.outdoor"), outdoor
    if recovery.rise_k is not None:
        name = text("report.rise") if settled else text("report.rise_forecast")
        yield name, _interval(recovery.rise_k, presentation, difference_text)
    yield text("report.usual"), _usual(presentation)
    judged = text(f"report.judged_{recovery.judgement.name.lower()}")
    yield text("report.judgement"), judged


def recovery_notes(recovery: Recovery, record: Record, presentation: Presentation) -> Iterator[str]:
    """What the intervals hold, and what the probes are worth."""
    text = presentation.text
    if record.recomputed:
        yield text("report.recomputed")
    if recovery.settled_k is not None:
        yield text("report.intervals")
    said, halves = [], []
    for role in (Role.DISCHARGE, Role.OUTDOOR):
        channel = next((c for c in record.channels if c.role is role), None)
        if channel is None:
            continue
        half = probe_uncertainty_k(channel)
        if half is None:
            said.append(text("report.probe_unknown", name=channel.name))
            continue
        halves.append(half)
        shown = difference_text(half, presentation, decimals=1)
        said.append(text("report.probe_u", name=channel.name, half=shown))
    if len(halves) > 1:
        shown = difference_text(math.hypot(*halves), presentation, decimals=1)
        said.append(text("report.probe_difference", half=shown))
    yield text("report.probes", said=", ".join(said))


def _usual(presentation: Presentation) -> str:
    unit = presentation.temperature_unit
    low = number_text(in_unit(decimal(USUAL_LOW_K), f"Δ{unit}"), 0)
    high = difference_text(USUAL_HIGH_K, presentation, decimals=0)
    if unit == "°F":
        return presentation.text("report.usual_rise", low=low, high=high)
    return presentation.text("report.usual_rise_in_f", low=low, high=high)


def _interval(estimate: Estimate, presentation: Presentation, written: "_Written") -> str:
    value, low, high = (
        written(k, presentation, decimals=1) for k in (estimate.value, estimate.low, estimate.high)
    )
    return presentation.text("report.interval", value=value, low=low, high=high)
