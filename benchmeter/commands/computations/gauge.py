"""`compute gauge-study`: how much of the spread of readings is the meter's."""

import argparse
import math
from pathlib import Path
from typing import TYPE_CHECKING, Any

from benchmeter.commands.computations.answer import Answer, aligned, answer_with, quantity, value_of
from benchmeter.commands.parsing import Parser
from benchmeter.errors import InputError
from benchmeter.words.presentation import Presentation

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

_SOURCE = "computations.study_source"
_ASSUMES = "computations.study_assumes"


def add_computations(what: Any, common: Parser, say: Presentation) -> None:
    """Add `gauge-study`."""
    study = what.add_parser(
        "gauge-study",
        parents=[common],
        say=say,
        help=say.text("computations.gauge_study"),
    )
    study.option("file", type=Path, metavar="FILE.csv", help="computations.help_study_columns")
    study.option("--tolerance-width", metavar="5.4uF", help="computations.help_tolerance_width")
    answer_with(study, _gauge_study)


def _gauge_study(args: argparse.Namespace) -> Answer:
    from benchmeter.commands.computations.input_table import read_lines
    from benchmeter.statistics.gauge_rr import gauge_rr

    lines = read_lines(args.file, _COLUMNS, (), _EXAMPLE, _reading, kind="")
    unit = lines[0][2]
    other = next((u for _, _, u in lines if u.kind != unit.kind), None)
    if other is not None:
        raise InputError("computations.two_units", one=unit.symbol, other=other.symbol)
    width = args.tolerance_width
    width_si = None if width is None else _width_si(width, unit.kind)
    found = gauge_rr(reading for reading, _, _ in lines)
    say: Presentation = args.say
    notes = _notes(found, min(digit_si for _, digit_si, _ in lines), say)
    results = _results(found, width_si, unit)
    return Answer(
        {**results, "notes": notes},
        say.text(_SOURCE),
        say.text(_ASSUMES),
        tuple(_text(found, results, notes, say)),
    )


def _width_si(text: str, kind: str) -> float:
    width_si = value_of(text, kind, "--tolerance-width")
    if not width_si > 0:
        raise InputError("computations.no_tolerance_width")
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


def _notes(found: "GaugeRR", digit_si: float, say: Presentation) -> list[str]:
    """What this study is too small or too coarse to say."""
    notes = []
    if found.parts < _USUAL_PARTS:
        notes.append(
            say.text("computations.few_parts", parts=found.parts, usual_parts=_USUAL_PARTS)
        )
    if found.operators == 1:
        notes.append(say.text("computations.one_operator"))
    elif found.operators < _USUAL_OPERATORS:
        notes.append(
            say.text(
                "computations.few_operators",
                operators=found.operators,
                usual_operators=_USUAL_OPERATORS,
            )
        )
    if found.repeatability_si.value < digit_si:
        notes.append(say.text("computations.finer_than_last_digit"))
    if found.meter_share is None:
        notes.append(say.text("computations.all_equal"))
    return notes


def _text(
    found: "GaugeRR", results: dict[str, Any], notes: list[str], say: Presentation
) -> list[str]:
    one = found.operators == 1
    rows = [
        (say.text("computations.repeatability"), "repeatability"),
        (say.text("computations.reproducibility"), "reproducibility"),
        (say.text("computations.meter"), "meter"),
        (say.text("computations.part_to_part"), "part_to_part"),
        (say.text("computations.share_of_variance"), "meter_share_of_variance"),
        (say.text("computations.share_of_tolerance"), "meter_share_of_tolerance"),
        (say.text("computations.categories"), "distinct_categories"),
    ]
    shown = [
        (label, *_shown(results[name], say))
        for label, name in rows
        if name != "meter_share_of_tolerance" or results[name]["value"] is not None
    ]
    return [
        say.text(
            "computations.study_of_one" if one else "computations.study",
            parts=found.parts,
            repeats=found.repeats,
            **({} if one else {"operators": found.operators}),
        ),
        *aligned(shown),
        *(say.text("computations.note", note=note) for note in notes),
    ]


def _shown(result: dict[str, Any], say: Presentation) -> tuple[str, str]:
    value, unit = result["value"], result["unit"]
    if value is None:
        return say.text("computations.not_known"), ""
    if not unit:
        return f"{value:g}", ""
    if "low" not in result:
        return f"{_rounded(value)} {unit}", say.text("computations.no_interval")
    low, high = _rounded(result["low"]), _rounded(result["high"])
    interval = say.text("computations.interval", low=low, high=f"{high} {unit}")
    return f"{_rounded(value)} {unit}", interval


def _rounded(value: float) -> str:
    """Three digits, never with an exponent."""
    if not value:
        return "0"
    decimals = 2 - math.floor(math.log10(abs(value)))
    return f"{value:.{min(max(decimals, 0), _MOST_DECIMALS)}f}"
