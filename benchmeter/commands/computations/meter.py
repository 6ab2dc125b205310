"""`compute meter-history`: what readings of reference parts say about the meter."""

import argparse
import re
from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

from benchmeter.commands.computations.answer import Answer, aligned, answer_with, quantity
from benchmeter.commands.data_folder import open_store
from benchmeter.commands.parsing import Parser
from benchmeter.errors import InputError
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.units import find_unit
from benchmeter.readings.gate import admit_written
from benchmeter.words.presentation import Presentation

if TYPE_CHECKING:
    from benchmeter.checking.meter_history import Bias, Comparison, ReferenceHistory
    from benchmeter.commands.computations.input_table import Cells
    from benchmeter.conformity.verdict import Accuracy

__all__ = ["add_computations"]

_COLUMNS = ("date", "reference", "value", "uncertainty", "reading")
_OPTIONAL = ("valued on",)
_EXAMPLE = ",".join(("date", "reference", "value (µF)", "uncertainty (µF)", "reading (µF)"))
_DATE = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)
_SHOWN_READINGS = 10

_SOURCE = "computations.history_source"
_ASSUMES = "computations.history_assumes"
_ASSUMES_OF_RECORD = "computations.history_assumes_of_record"


def add_computations(what: Any, common: Parser, say: Presentation) -> None:
    """Add `meter-history`."""
    history = what.add_parser(
        "meter-history",
        parents=[common],
        say=say,
        help=say.text("computations.meter_history"),
    )
    history.option(
        "file",
        type=Path,
        nargs="?",
        metavar="FILE.csv",
        help="computations.help_history_file",
    )
    history.option("--accuracy", metavar="LINE", help="computations.help_accuracy")
    history.option("--lead-offset", metavar="VALUE", help="computations.help_open_leads")
    answer_with(history, _meter_history)


def _meter_history(args: argparse.Namespace) -> Answer:
    return _of_record(args) if args.file is None else _of_file(args)


def _of_record(args: argparse.Namespace) -> Answer:
    """What the sessions hold: accuracy and lead offset are those of the day."""
    from benchmeter.reports.meter_record import meter_records
    from benchmeter.words.meters import meter_words

    say: Presentation = args.say
    if args.accuracy is not None or args.lead_offset is not None:
        raise InputError("computations.record_has_its_own")
    with open_store(args) as store:
        records = meter_records(store.reference_readings())
    lines: list[str] = []
    for record in records:
        lines += [f"{meter_words(record.meter, say)}:", *_text(record.histories, [], say)]
        if record.without_value:
            lines += [
                say.text("computations.without_value", count=record.without_value),
                "",
            ]
    return Answer(
        {
            "meters": [
                {
                    "meter": r.meter.title,
                    "link": r.meter.link,
                    "profile": r.meter.profile,
                    "simulated": r.meter.simulated,
                    "references": [_document(h, say) for h in r.histories],
                    "without_value": r.without_value,
                }
                for r in records
            ]
        },
        say.text(_SOURCE),
        say.text(_ASSUMES_OF_RECORD),
        tuple(lines or [say.text("computations.no_reference_read")]),
    )


def _of_file(args: argparse.Namespace) -> Answer:
    from benchmeter.checking.meter_history import meter_history
    from benchmeter.commands.computations.input_table import read_lines
    from benchmeter.conformity.accuracy import parse_accuracy

    accuracy = None if args.accuracy is None else parse_accuracy(args.accuracy, "")
    offset_si = Decimal(0)
    if args.lead_offset is not None:
        try:
            number, unit = admit_written(args.lead_offset, Quantity.CAPACITANCE, find_unit("µF"))
        except InputError as error:
            raise InputError("quantities.at", where="--lead-offset", why=error) from None
        offset_si = number * unit.scale
    histories = meter_history(
        read_lines(
            args.file,
            _COLUMNS,
            _OPTIONAL,
            _EXAMPLE,
            lambda cells: _comparison(cells, accuracy, offset_si),
            kind="",
        )
    )
    say: Presentation = args.say
    notes = _notes(histories, accuracy, say)
    return Answer(
        {"references": [_document(h, say) for h in histories], "notes": notes},
        say.text(_SOURCE),
        say.text(_ASSUMES),
        tuple(_text(histories, notes, say)),
    )


def _comparison(cells: "Cells", accuracy: "Accuracy | None", offset_si: Decimal) -> "Comparison":
    from benchmeter.checking.meter_history import Comparison
    from benchmeter.conformity.lead_offset import refuse_offset_on
    from benchmeter.conformity.reference_part import (
        KIND_OF_PARTS,
        ReferencePart,
        compare_with_reference,
        quantity_of,
        shown_unit,
    )

    value_si, _, unit = cells.value("value", KIND_OF_PARTS)
    uncertainty_si, _, _ = cells.value("uncertainty", (unit.kind,))
    reading_si, digit_si, _ = cells.value("reading", (unit.kind,))
    reference = ReferencePart(
        cells.filled("reference"),
        value_si,
        uncertainty_si,
        _date(cells, "valued on") if cells.text("valued on") else None,
        quantity=quantity_of(unit),
        unit=shown_unit(unit),
    )
    if unit.kind == "capacitance":
        refuse_offset_on(value_si, offset_si)
    elif offset_si:
        raise InputError("computations.open_leads_only")
    compatibility = compare_with_reference(
        reference,
        [reading_si],
        _date(cells, "date"),
        resolution_si=digit_si,
        accuracy=accuracy,
        lead_offset_si=offset_si,
    )
    return Comparison(compatibility, digit_si)


def _date(cells: "Cells", name: str) -> date:
    text = cells.filled(name)
    try:
        if _DATE.fullmatch(text):
            return date.fromisoformat(text)
    except ValueError:
        pass
    raise InputError("computations.no_date", column=name, text=text)


def _notes(
    histories: Sequence["ReferenceHistory"], accuracy: "Accuracy | None", say: Presentation
) -> list[str]:
    if accuracy is None:
        return [say.text("computations.accuracy_unknown")]
    if any(line.counts and line.count_si is None for line in (accuracy, *accuracy.more)):
        mixed = [h.name for h in histories if len({c.resolution_si for c in h.comparisons}) > 1]
        if mixed:
            return [say.text("computations.references_mixed_digits", references=", ".join(mixed))]
    return []


def _document(h: "ReferenceHistory", say: Presentation) -> dict[str, Any]:
    from benchmeter.words.meters import stands_out_words

    chart, unit = h.chart, h.reference.unit
    return {
        "reference": h.name,
        "readings": [
            {
                "date": a.read_on.isoformat(),
                "value": _shown(a.reference.value_si, unit),
                "reading": _shown(a.reading_si, unit),
                "difference": _shown(a.difference_si, unit),
                "expanded_uncertainty": _shown(a.expanded_uncertainty_si, unit),
                "en": quantity(a.en_number, ""),
                "verdict": a.verdict.value,
                "why": a.reason.value,
                "stands_out": stands_out_words(point, say) or None,
            }
            for a, point in zip((c.compatibility for c in h.comparisons), chart.points, strict=True)
        ],
        "chart": {
            "mean": _shown(chart.centre_si, unit),
            "low": _shown(chart.low_si, unit),
            "high": _shown(chart.high_si, unit),
            "largest_moving_range": _shown(chart.largest_range_si, unit),
            "standing_out": [point.name for point in chart.standing_out],
        },
        "bias": {**_bias(h.bias, unit), "readings": h.bias.count, "unsteady": h.bias.stood_out},
    }


def _bias(bias: "Bias", unit: str) -> dict[str, Any]:
    from benchmeter.reports.plain_numbers import unit_span

    value, e = unit_span(bias.value_si, unit), bias.interval
    if e is None:
        return quantity(value, unit)
    low, high = unit_span(e.low, unit), unit_span(e.high, unit)
    return {"value": value, "low": low, "high": high, "unit": unit}


def _shown(value_si: Decimal | float | None, unit: str) -> dict[str, Any]:
    from benchmeter.reports.plain_numbers import unit_span

    return quantity(unit_span(value_si, unit), unit)


def _text(
    histories: Sequence["ReferenceHistory"], notes: Sequence[str], say: Presentation
) -> list[str]:
    from benchmeter.words.meters import bias_words, chart_words

    lines = []
    for h in histories:
        count = len(h.comparisons)
        lines += [
            say.text("computations.one_reading", reference=h.name)
            if count == 1
            else say.text("computations.readings", reference=h.name, count=count),
            *_readings(h, say),
        ]
        lines += [
            f"  {say.text('computations.control_chart', chart=chart_words(h, say))}",
            f"  {say.text('computations.present_bias', bias=bias_words(h, say))}",
            "",
        ]
    return [*lines, *(say.text("computations.note", note=note) for note in notes)]


def _readings(h: "ReferenceHistory", say: Presentation) -> list[str]:
    """The latest ones, and of the others those that are not as they should be."""
    from benchmeter.conformity.reference_part import MeterVerdict
    from benchmeter.words.meters import agreement_row, stands_out_words

    early = len(h.comparisons) - _SHOWN_READINGS
    shown = [
        place
        for place, (c, point) in enumerate(zip(h.comparisons, h.chart.points, strict=True))
        if place >= early
        or stands_out_words(point, say)
        or c.compatibility.verdict is MeterVerdict.DIFFERS
    ]
    left_out = len(h.comparisons) - len(shown)
    more = [f"  {say.text('computations.earlier', count=left_out)}"] if left_out else []
    return [*more, *aligned([agreement_row(h, place, say) for place in shown])]
