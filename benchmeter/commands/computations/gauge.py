"""`compute gauge-study`: how much of the spread of readings is the meter's."""

import argparse
import math
from pathlib import Path
from typing import TYPE_CHECKING, Any

from benchmeter.commands.computations.answer import Answer, aligned, answer_with, quantity, value_of
from benchmeter.errors import InputError

if TYPE_CHECKING:
    from benchmeter.commands.computations.input_table import Cells
    from benchmeter.quantities.units import Unit
    from benchmeter.statistics.gauge_rr import GaugeReading, GaugeRR
    from benchmeter.statistics.intervals import Estimate

__all__ = ["add_computations"]

_COLUMNS = ("part", "operator", "reading")
_EXAMPLE = "part,operator,reading (µF)"
_USUAL_PARTS = 10  # common practice, no source
_USUAL_OPERATORS = 3
_MOST_DECIMALS = 9
_DEVIATIONS = 6  # of the meter, that the tolerance width is compared with

_SOURCE = (
    "analysis of variance, random effects: NIST/SEMATECH e-Handbook 2.4; intervals: χ², Graybill "
    "and Wang (1980), F with one operator; 6 s of the meter over the tolerance width, √2 parts "
    "over meter: AIAG, Measurement Systems Analysis (from memory)"
)
_ASSUMES = (
    "parts and operators stand for all others like them; readings scatter normally; the parts did "
    "not change; a number without a unit is in µF; a fixed error of the meter does not show here"
)


def add_computations(what: Any, common: argparse.ArgumentParser) -> None:
    """Add `gauge-study`."""
    study = what.add_parser(
        "gauge-study", parents=[common], help="how much of the spread of readings is the meter's"
    )
    study.add_argument(
        "file", type=Path, metavar="FILE.csv", help="columns part, operator, reading"
    )
    study.add_argument(
        "--tolerance-width", metavar="5.4uF", help="from the lower limit to the upper one"
    )
    answer_with(study, _gauge_study)


def _gauge_study(args: argparse.Namespace) -> Answer:
    from benchmeter.commands.computations.input_table import read_lines
    from benchmeter.statistics.gauge_rr import gauge_rr

    lines = read_lines(args.file, _COLUMNS, (), _EXAMPLE, _reading, kind="")
    unit = lines[0][2]
    other = next((u for _, _, u in lines if u.kind != unit.kind), None)
    if other is not None:
        raise InputError(
            f"Some readings are in {unit.symbol} and some in {other.symbol}.",
            "A study is of one quantity.",
        )
    width = args.tolerance_width
    width_si = None if width is None else _width_si(width, unit.kind)
    found = gauge_rr(reading for reading, _, _ in lines)
    notes = _notes(found, min(digit_si for _, digit_si, _ in lines))
    results = _results(found, width_si, unit)
    return Answer(
        {**results, "notes": notes}, _SOURCE, _ASSUMES, tuple(_text(found, results, notes))
    )


def _width_si(text: str, kind: str) -> float:
    width_si = value_of(text, kind, "--tolerance-width")
    if not width_si > 0:
        raise InputError("The tolerance width is not above zero.", "45 µF ±6 % is 5.4uF wide.")
    return width_si


def _reading(cells: "Cells") -> tuple["GaugeReading", float, "Unit"]:
    """With the worth of its last digit, SI, and its unit."""
    from benchmeter.conformity.reference_part import KIND_OF_PARTS
    from benchmeter.statistics.gauge_rr import GaugeReading

    value_si, digit_si, unit = cells.value("reading", KIND_OF_PARTS)
    reading = GaugeReading(cells.filled("part"), cells.filled("operator"), float(value_si))
    return reading, float(digit_si), unit


def _results(found: "GaugeRR", width_si: float | None, of: "Unit") -> dict[str, Any]:
    from benchmeter.conformity.reference_part import shown_unit
    from benchmeter.quantities.units import UNITS

    unit = shown_unit(of)
    scale = float(1 / UNITS[unit].scale)
    share, low, high = found.meter_share, found.meter_share_low, found.meter_share_high
    of_width = None if width_si is None else _DEVIATIONS * 100 / width_si
    return {
        "parts": quantity(found.parts, ""),
        "operators": quantity(found.operators, ""),
        "repeats": quantity(found.repeats, ""),
        "repeatability": _estimate(found.repeatability_si, scale, unit),
        "reproducibility": _plain(found.reproducibility_si, scale, unit),
        "meter": _estimate(found.meter_si, scale, unit),
        "part_to_part": _plain(found.part_to_part_si, scale, unit),
        "meter_share_of_variance": _plain(share, 100, "%")
        if low is None or high is None
        else quantity(None if share is None else share * 100, "%", low=low * 100, high=high * 100),
        "meter_share_of_tolerance": quantity(None, "%")
        if of_width is None
        else _estimate(found.meter_si, of_width, "%"),
        "distinct_categories": quantity(found.distinct_categories, ""),
    }


def _estimate(e: "Estimate", scale: float, unit: str) -> dict[str, Any]:
    return quantity(e.value * scale, unit, low=e.low * scale, high=e.high * scale)


def _plain(value: float | None, scale: float, unit: str) -> dict[str, Any]:
    return quantity(None if value is None else value * scale, unit)


def _notes(found: "GaugeRR", digit_si: float) -> list[str]:
    """What this study is too small or too coarse to say."""
    notes = []
    if found.parts < _USUAL_PARTS:
        notes.append(
            f"a small study: {found.parts} parts say little about part to part and the shares; "
            f"{_USUAL_PARTS} are usual"
        )
    if found.operators == 1:
        notes.append("one operator: what another pair of hands would add is not in it")
    elif found.operators < _USUAL_OPERATORS:
        notes.append(
            f"a small study: {found.operators} operators say little about reproducibility; "
            f"{_USUAL_OPERATORS} are usual"
        )
    if found.repeatability_si.value < digit_si:
        notes.append(
            "the repeatability is finer than the meter's last digit: it and its interval are not "
            "to be relied on"
        )
    if found.meter_share is None:
        notes.append("all readings are equal: there is no spread to share out")
    return notes


def _text(found: "GaugeRR", results: dict[str, Any], notes: list[str]) -> list[str]:
    operators = "1 operator" if found.operators == 1 else f"{found.operators} operators"
    rows = [
        ("repeatability, same hands", "repeatability"),
        ("reproducibility, other hands", "reproducibility"),
        ("meter: both together", "meter"),
        ("part to part", "part_to_part"),
        ("meter's share of the variance", "meter_share_of_variance"),
        ("6 × meter in the tolerance width", "meter_share_of_tolerance"),
        ("groups that can be told apart", "distinct_categories"),
    ]
    shown = [
        (label, *_shown(results[name]))
        for label, name in rows
        if name != "meter_share_of_tolerance" or results[name]["value"] is not None
    ]
    return [
        f"{found.parts} parts, {operators}, {found.repeats} readings each; standard deviations:",
        *aligned(shown),
        *(f"Note: {note}." for note in notes),
    ]


def _shown(result: dict[str, Any]) -> tuple[str, str]:
    value, unit = result["value"], result["unit"]
    if value is None:
        return "not known", ""
    if not unit:
        return f"{value:g}", ""
    if "low" not in result:
        return f"{_rounded(value)} {unit}", "no interval"
    low, high = _rounded(result["low"]), _rounded(result["high"])
    return f"{_rounded(value)} {unit}", f"{low} to {high} {unit} (95 %)"


def _rounded(value: float) -> str:
    """Three digits, never with an exponent."""
    if not value:
        return "0"
    decimals = 2 - math.floor(math.log10(abs(value)))
    return f"{value:.{min(max(decimals, 0), _MOST_DECIMALS)}f}"
