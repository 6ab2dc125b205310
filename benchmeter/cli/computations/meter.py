"""`compute meter-history`: what readings of reference parts say about the meter."""

import argparse
import re
from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

from benchmeter.cli.computations.answer import Answer, aligned, answer_with, quantity, written
from benchmeter.errors import InputError

if TYPE_CHECKING:
    from benchmeter.cli.computations.table import Cells
    from benchmeter.conformity.control_chart import ChartPoint
    from benchmeter.conformity.meter_history import Bias, Comparison, ReferenceHistory
    from benchmeter.conformity.verdict import Accuracy

__all__ = ["add_computations"]

_COLUMNS = ("date", "reference", "value", "uncertainty", "reading")
_OPTIONAL = ("valued on",)
_EXAMPLE = "date,reference,value (µF),uncertainty (µF),reading (µF)"
_DATE = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)
_SHOWN_READINGS = 10
_MOST_DECIMALS = 9

_SOURCE = (
    "En = difference / √(U² + Uref²), agreement up to 1: ISO/IEC 17043; individuals chart, mean ± "
    "3·R/1.128, moving range up to 3.267·R: NIST/SEMATECH e-Handbook 6.3.2; bias: mean ± t·s/√n, "
    "with Uref and the last digit in quadrature (JCGM 100)"
)
_ASSUMES = (
    "the bias is applied to no reading, here or anywhere; the uncertainty of a reference is U "
    "with k = 2 and holds its drift; one meter took all readings; readings of one day stand in "
    "the order of measuring; a number without a unit is in µF"
)


def add_computations(what: Any, common: argparse.ArgumentParser) -> None:
    """Add `meter-history`."""
    history = what.add_parser(
        "meter-history",
        parents=[common],
        help="what readings of reference parts over time say about the meter",
    )
    history.add_argument(
        "file",
        type=Path,
        metavar="FILE.csv",
        help="columns date (2026-01-31), reference (its name), value, uncertainty, reading; "
        "also “valued on”",
    )
    history.add_argument("--accuracy", metavar="LINE", help='the meter\'s: "1.2%% + 2 x 0.1uF"')
    history.add_argument("--lead-offset", metavar="VALUE", help="reading of the open leads: 0.02uF")
    answer_with(history, _meter_history)


def _meter_history(args: argparse.Namespace) -> Answer:
    from benchmeter.cli.computations.table import read_lines
    from benchmeter.conformity.accuracy import parse_accuracy
    from benchmeter.conformity.meter_history import meter_history

    accuracy = None if args.accuracy is None else parse_accuracy(args.accuracy)
    offset_si = Decimal(0)
    if args.lead_offset is not None:
        number, unit = written(args.lead_offset, "capacitance", "--lead-offset", "µF")
        offset_si = number * unit.scale
    histories = meter_history(
        read_lines(
            args.file,
            _COLUMNS,
            _OPTIONAL,
            _EXAMPLE,
            lambda cells: _comparison(cells, accuracy, offset_si),
        )
    )
    notes = _notes(histories, accuracy)
    return Answer(
        {"references": [_document(h) for h in histories], "notes": notes},
        _SOURCE,
        _ASSUMES,
        tuple(_text(histories, notes)),
    )


def _comparison(cells: "Cells", accuracy: "Accuracy | None", offset_si: Decimal) -> "Comparison":
    from benchmeter.conformity.leads import refuse_offset_on
    from benchmeter.conformity.meter_history import Comparison
    from benchmeter.conformity.reference_part import ReferencePart, compare_with_reference

    value_si, _ = cells.capacitance("value")
    uncertainty_si, _ = cells.capacitance("uncertainty")
    reading_si, digit_si = cells.capacitance("reading")
    valued_on = _date(cells, "valued on") if cells.text("valued on") else None
    reference = ReferencePart(cells.filled("reference"), value_si, uncertainty_si, valued_on)
    refuse_offset_on(value_si, offset_si)
    agreement = compare_with_reference(
        reference,
        [reading_si],
        _date(cells, "date"),
        resolution_si=digit_si,
        accuracy=accuracy,
        lead_offset_si=offset_si,
    )
    return Comparison(agreement, digit_si)


def _date(cells: "Cells", name: str) -> date:
    text = cells.filled(name)
    try:
        if _DATE.fullmatch(text):
            return date.fromisoformat(text)
    except ValueError:
        pass
    from benchmeter.conformity.writing import clip

    raise InputError(f"{name}: “{clip(text)}” is no date.", "Write it like 2026-01-31.")


def _notes(histories: Sequence["ReferenceHistory"], accuracy: "Accuracy | None") -> list[str]:
    if accuracy is None:
        return ["the meter's accuracy is not known, so nothing can be said of one reading alone"]
    if accuracy.counts and accuracy.count_si is None:
        mixed = [h.name for h in histories if len({c.resolution_si for c in h.comparisons}) > 1]
        if mixed:
            from benchmeter.conformity.writing import clip

            return [
                f"readings of {clip(', '.join(mixed))} end in different places, as when a "
                "spreadsheet drops zeros; say what a count is worth, like --accuracy "
                "“1 % + 2 x 0.1 µF”"
            ]
    return []


def _document(h: "ReferenceHistory") -> dict[str, Any]:
    from benchmeter.cli.judged import in_microfarad

    chart = h.chart
    return {
        "reference": h.name,
        "readings": [
            {
                "date": a.read_on.isoformat(),
                "value": quantity(in_microfarad(a.reference.value_si), "µF"),
                "reading": quantity(in_microfarad(a.reading_si), "µF"),
                "difference": quantity(in_microfarad(a.difference_si), "µF"),
                "expanded_uncertainty": quantity(in_microfarad(a.expanded_uncertainty_si), "µF"),
                "en": quantity(a.en_number, ""),
                "verdict": a.verdict.value,
                "why": a.reason.value,
                "stands_out": _stands_out(point),
            }
            for a, point in zip((c.agreement for c in h.comparisons), chart.points, strict=True)
        ],
        "chart": {
            "mean": quantity(chart.centre_si * 1e6, "µF"),
            "low": quantity(in_microfarad(chart.low_si), "µF"),
            "high": quantity(in_microfarad(chart.high_si), "µF"),
            "largest_moving_range": quantity(in_microfarad(chart.largest_range_si), "µF"),
            "standing_out": [point.name for point in chart.standing_out],
        },
        "bias": {**_bias(h.bias), "readings": h.bias.count, "unsteady": h.bias.stood_out},
    }


def _bias(bias: "Bias") -> dict[str, Any]:
    e = bias.interval
    if e is None:
        return quantity(bias.value_si * 1e6, "µF")
    return quantity(bias.value_si * 1e6, "µF", low=e.low * 1e6, high=e.high * 1e6)


def _stands_out(point: "ChartPoint") -> str | None:
    if point.out_of_control:
        return "beyond the limits, after a jump" if point.jumped else "beyond the limits"
    return "after a jump" if point.jumped else None


def _text(histories: Sequence["ReferenceHistory"], notes: Sequence[str]) -> list[str]:
    lines = []
    for h in histories:
        count = len(h.comparisons)
        lines += [f"{h.name}, {count} reading{'' if count == 1 else 's'}:", *_readings(h)]
        lines += [f"  {_chart_words(h)}", f"  {_bias_words(h)}", ""]
    return [*lines, *(f"Note: {note}." for note in notes)]


def _readings(h: "ReferenceHistory") -> list[str]:
    """The latest ones, and of the others those that are not as they should be."""
    from benchmeter.conformity.reference_part import MeterWord

    rows = []
    left_out = 0
    early = len(h.comparisons) - _SHOWN_READINGS
    for i, (c, point) in enumerate(zip(h.comparisons, h.chart.points, strict=True)):
        a, u_si = c.agreement, c.agreement.expanded_uncertainty_si
        out = _stands_out(point)
        if i < early and out is None and a.verdict is not MeterWord.DIFFERS:
            left_out += 1
            continue
        rows.append(
            (
                a.read_on.isoformat(),
                f"{_as_read(a.reading_si)} µF",
                _signed(h, float(a.difference_si)),
                "" if u_si is None else f"±{_plain(h, u_si)}",
                "" if a.en_number is None else f"En {a.en_number:+.2f}",
                f"{a.verdict.value}: {a.reason.value}"
                if a.verdict is MeterWord.CANNOT_TELL
                else a.verdict.value,
                "" if out is None else f"stands out: {out}",
            )
        )
    more = [f"  {left_out} earlier ones are not shown; --json shows all"] if left_out else []
    return [*more, *aligned(rows)]


def _chart_words(h: "ReferenceHistory") -> str:
    from benchmeter.conformity.control_chart import FEWEST_POINTS

    chart = h.chart
    if chart.low_si is None or chart.high_si is None:
        return f"control chart: too few readings for limits, {FEWEST_POINTS} are needed"
    names = ", ".join(point.name for point in chart.standing_out)
    return (
        f"control chart: {_signed(h, chart.low_si)} to {_signed(h, chart.high_si)}, "
        f"{f'standing out: {names}' if names else 'no point stands out'}"
    )


def _bias_words(h: "ReferenceHistory") -> str:
    bias = h.bias
    if bias.interval is None:
        shown = f"{_signed(h, bias.value_si)} in one reading, which gives no interval"
    else:
        low, high = _signed(h, bias.interval.low), _signed(h, bias.interval.high)
        shown = (
            f"{_signed(h, bias.value_si)} ({low} to {high}, 95 %) in the last {bias.count} readings"
        )
    unsteady = "; not steady, as one of them stands out" if bias.stood_out else ""
    return f"present bias: {shown}{unsteady}; applied to nothing"


def _decimals(h: "ReferenceHistory") -> int:
    """One more than the meter shows."""
    return min(max(1 - h.resolution_si.scaleb(6).adjusted(), 0), _MOST_DECIMALS)


def _as_read(farad: Decimal) -> str:
    """With the digits of the meter."""
    number = farad.scaleb(6)
    places = min(max(-int(number.as_tuple().exponent), 0), _MOST_DECIMALS)
    return f"{number:.{places}f}"


def _signed(h: "ReferenceHistory", farad: float) -> str:
    places = _decimals(h)
    return f"{round(farad * 1e6, places) + 0.0:+.{places}f} µF"  # never -0.00


def _plain(h: "ReferenceHistory", farad: float) -> str:
    return f"{farad * 1e6:.{_decimals(h)}f} µF"
