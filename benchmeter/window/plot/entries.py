"""The words of the legend: what stands in the plot, with its last value."""

from PySide6.QtCore import QCoreApplication

from benchmeter.cooling.recovery import Phase, Recovery
from benchmeter.window.plot.content import Content
from benchmeter.window.plot.legend import LegendEntry
from benchmeter.window.plot.scale import Scale
from benchmeter.window.plot.series import SYMBOLS
from benchmeter.window.theme.palette import Theme
from benchmeter.words.presentation import Presentation

__all__ = ["legend_entries"]


def legend_entries(
    content: Content, scale: Scale, look: Theme, *, band: bool
) -> tuple[LegendEntry, ...]:
    """An entry a series, and what there is of fit, band and settled value."""
    translate = QCoreApplication.translate
    entries = []
    for series in content.in_order():
        last = series.history.last_valid()
        value = (
            scale.text(last, look.presentation)
            if last is not None
            else translate("RecoveryPlot", "plot.no_reading")
        )
        entries.append(
            LegendEntry(
                f"{series.title} {value}",
                look.palette.series[series.number],
                SYMBOLS[series.number],
            )
        )
    if not entries:
        text = translate(
            "RecoveryPlot",
            "plot.no_temperatures_yet_connect",
        )
        return (LegendEntry(text, look.palette.rule),)
    recovery = content.recovery
    if recovery is not None and recovery.fit is not None:
        entries.append(LegendEntry(translate("RecoveryPlot", "plot.fit"), look.palette.ink))
        if band:
            text = translate("RecoveryPlot", "plot.expected_95")
            entries.append(LegendEntry(text, look.palette.forecast, kind="area"))
        if recovery.settled_k is not None:
            text = _settles(recovery, scale, look.presentation)
            entries.append(LegendEntry(text, look.palette.ink, kind="bar"))
    return tuple(entries)


def _settles(recovery: Recovery, scale: Scale, presentation: Presentation) -> str:
    settled = recovery.settled_k
    if settled is None:
        return ""
    text = QCoreApplication.translate("RecoveryPlot", "plot.settles_at_value_low")
    if recovery.phase is Phase.SETTLED:
        text = QCoreApplication.translate("RecoveryPlot", "plot.settled_at_value_low")
    value, low, high = (
        scale.text(kelvin, presentation) for kelvin in (settled.value, settled.low, settled.high)
    )
    return text.format(value=value, low=low, high=high)
