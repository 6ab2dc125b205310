"""A judged lot: as JSON, in a few lines."""

from collections.abc import Sequence
from typing import Any

from benchmeter.checking.judged_lot import JudgedLot, JudgedRow, UnjudgedRow
from benchmeter.checking.terms import Terms
from benchmeter.commands.judged import (
    beside_document,
    conclusions_document,
    offset_words,
    section_document,
)
from benchmeter.conformity.verdict import Verdict
from benchmeter.files.table_file import one_line
from benchmeter.parts.rated_part import CapacitorKind
from benchmeter.quantities.label_text import clip
from benchmeter.reports.plain_numbers import unit_number, unit_span
from benchmeter.statistics.intervals import Estimate
from benchmeter.statistics.lot_statistics import FEWEST, LotStatistics, Spread
from benchmeter.words.lots import statistics_lines
from benchmeter.words.parts import part_why
from benchmeter.words.presentation import Presentation
from benchmeter.words.verdicts import verdict_word

__all__ = ["bad_row_words", "document", "text"]


def bad_row_words(row: UnjudgedRow, say: Presentation) -> str:
    """Why a row was not judged, on one line."""
    return one_line(str(say.tell(row.error)))


def _notes(lot: JudgedLot, say: Presentation) -> list[str]:
    return [say.tell(note).text for note in lot.notes]


def document(lot: JudgedLot, say: Presentation) -> dict[str, Any]:
    """As JSON; each section in its unit. Parts and bad rows are made when they are written."""
    terms = lot.terms
    bad_rows = (bad for batch in lot.batches() for bad in batch.bad_rows())
    return {
        "counts": {word.value: count for word, count in lot.counts.items()},
        "parts": (_part(row, lot, say) for row in lot.rows() if isinstance(row, JudgedRow)),
        "bad_rows": (
            {"line": bad.line, "why": bad_row_words(bad, say)}
            for bad in (bad_rows if lot.bad_count else ())
        ),
        "sections": [_statistics(s) for s in lot.sections],
        "rule": terms.rule.value,
        "accuracy": None if terms.accuracy is None else terms.accuracy.text,
        "notes": _notes(lot, say),
        "assumes": _assumptions(terms, say),
    }


def _part(row: JudgedRow, lot: JudgedLot, say: Presentation) -> dict[str, Any]:
    verdict, kind = row.verdict, lot.terms.kind
    concluded = (
        {"conclusions": conclusions_document(verdict, kind, say)}
        if not isinstance(kind, CapacitorKind) and verdict.conclusions
        else {}
    )
    return {
        "part": row.part,
        "line": row.line,
        "label": verdict.rating.text,
        "verdict": verdict.verdict.value,
        "why": part_why(verdict, kind, say),
        "sections": [section_document(s, say) for s in verdict.sections],
        **concluded,
        **({} if isinstance(kind, CapacitorKind) else beside_document(verdict, kind, say)),
    }


def text(lot: JudgedLot, say: Presentation) -> str:
    """For people: the counts, the parts that are not simply good, and the statistics."""
    parts, bad, rule = lot.part_count, lot.bad_count, lot.terms.rule.value
    lines = [
        say.text("commands.one_part_judged", rule=rule)
        if parts == 1
        else say.text("commands.parts_judged", parts=parts, rule=rule)
    ]
    if bad:
        lines[0] += "; " + (
            say.text("commands.one_row_bad")
            if bad == 1
            else say.text("commands.rows_bad", rows=bad)
        )
    for word, count in lot.counts.items():
        names = "" if word is Verdict.PASS else f"   {_names(lot.named[word], count, say)}"
        lines.append(f"  {count:>6}  {verdict_word(word)}{names}")
    for statistics in lot.sections:
        lines += ["", *statistics_lines(statistics, say)]
    lines += ["", say.text("commands.taken_for_granted")]
    lines += [f"  - {assumed}" for assumed in (*_assumptions(lot.terms, say), *_notes(lot, say))]
    return "\n".join(lines)


def _names(named: Sequence[str], count: int, say: Presentation) -> str:
    shown = ", ".join(clip(one_line(part)) for part in named)
    more = count - len(named)
    return say.text("commands.and_more", parts=shown, more=more) if more > 0 else shown


def _assumptions(terms: Terms, say: Presentation) -> list[str]:
    found = [say.text("commands.rating", label=terms.rating.text)]
    if not isinstance(terms.kind, CapacitorKind):
        from benchmeter.words.kinds import taken_for_granted

        found = [
            say.text("commands.kind", kind=terms.kind.title),
            *(found if terms.rating.text else []),
        ]
        found += taken_for_granted(terms.kind, terms.rating, say)
    if terms.accuracy is None:
        found.append(say.text("commands.accuracy_unknown"))
    else:
        found.append(say.text("commands.error_is_even"))
    found += offset_words(terms.offsets, say)
    found.append(say.text("commands.intervals_hold"))
    found.append(say.text("commands.open_is_outside"))
    found.append(say.text("commands.spread_holds_scatter"))
    return found


def _statistics(s: LotStatistics) -> dict[str, Any]:
    section, histogram, unit = s.section, s.histogram, s.section.unit
    return {
        "name": section.name,
        "unit": unit,
        "rated": unit_number(section.rated_si, unit),
        "low": unit_number(section.low_si, unit),
        "high": unit_number(section.high_si, unit),
        "count": s.count,
        "open": s.open_count,
        "shorted": s.shorted_count,
        **({"beyond_range": s.beyond_count} if s.section.overload is Verdict.PASS else {}),
        "no_reading": s.unread_count,
        "enough": s.spread is not None,
        "needed": FEWEST,
        "outside": {
            "count": s.outside_count,
            "of": s.judged_count,
            "share": None if s.outside is None else _plain(s.outside),
        },
        "histogram": {
            "edges": [unit_number(edge, unit) for edge in histogram.edges_si],
            "counts": list(histogram.counts),
            "below": histogram.below,
            "above": histogram.above,
        },
        **_spread(s.spread, unit),
    }


def _spread(spread: Spread | None, unit: str) -> dict[str, Any]:
    if spread is None:
        empty = ("mean", "mean_offset", "standard_deviation", "trend", "cp", "cpk", "no_capability")
        return dict.fromkeys(empty)
    capability, trend, offset = spread.capability, spread.trend, spread.offset_si
    slope = _width(trend.slope_si_per_part, unit)
    return {
        "mean": {name: unit_number(si, unit) for name, si in _plain(spread.mean_si).items()},
        "mean_offset": None if offset is None else _width(offset, unit),
        "standard_deviation": _width(spread.deviation_si, unit),
        "trend": {"slope_per_part": slope, "runs_z": trend.runs_z},
        "cp": None if capability is None else _plain(capability.cp),
        "cpk": None if capability is None else _plain(capability.cpk),
        "no_capability": None if spread.no_capability is None else spread.no_capability.value,
    }


def _width(estimate: Estimate, unit: str) -> dict[str, float | None]:
    return {name: unit_span(si, unit) for name, si in _plain(estimate).items()}


def _plain(estimate: Estimate) -> dict[str, float]:
    return {"value": estimate.value, "low": estimate.low, "high": estimate.high}
