"""A judged lot: as JSON, as a table, in a few lines."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from benchmeter.cli.judged import Terms, in_microfarad, section_document
from benchmeter.conformity.intervals import Estimate
from benchmeter.conformity.judge import WORST_FIRST
from benchmeter.conformity.lot_statistics import FEWEST, LotStatistics, Spread
from benchmeter.conformity.verdict import PartVerdict, SectionVerdict, Word
from benchmeter.conformity.writing import clip
from benchmeter.reporting.wording_lot import statistics_lines
from benchmeter.reporting.wording_verdict import microfarad, part_why, verdict_word, why
from benchmeter.storage.table_file import one_line

__all__ = ["JudgedLot", "JudgedRow", "UnjudgedRow", "document", "results", "text"]

_SHOWN_PARTS = 10


@dataclass(frozen=True, slots=True)
class JudgedRow:
    """One part of the lot. `line`: of the file. `extra`: cells that are only kept."""

    line: int
    part: str
    verdict: PartVerdict
    extra: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class UnjudgedRow:
    """A row that could not be read; `why` is a sentence."""

    line: int
    part: str
    why: str
    extra: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class JudgedLot:
    """All rows in the order of the file; `sections`: statistics for each kind of section."""

    name: str
    terms: Terms
    rows: tuple[JudgedRow | UnjudgedRow, ...]
    sections: tuple[LotStatistics, ...]
    notes: tuple[str, ...]
    extra_header: tuple[str, ...]

    @property
    def parts(self) -> tuple[JudgedRow, ...]:
        """The rows with a verdict."""
        return tuple(r for r in self.rows if isinstance(r, JudgedRow))

    @property
    def bad_rows(self) -> tuple[UnjudgedRow, ...]:
        """The rows without."""
        return tuple(r for r in self.rows if isinstance(r, UnjudgedRow))

    def with_verdict(self) -> dict[Word, list[JudgedRow]]:
        """The parts by their verdict, worst first; none without parts."""
        return {
            word: found
            for word in WORST_FIRST
            if (found := [p for p in self.parts if p.verdict.verdict is word])
        }


def document(lot: JudgedLot) -> dict[str, Any]:
    """As JSON; capacitances in µF."""
    terms = lot.terms
    return {
        "counts": {verdict_word(word): len(found) for word, found in lot.with_verdict().items()},
        "parts": [
            {
                "part": p.part,
                "line": p.line,
                "label": p.verdict.rating.text,
                "verdict": verdict_word(p.verdict.verdict),
                "why": part_why(p.verdict),
                "sections": [section_document(s) for s in p.verdict.sections],
            }
            for p in lot.parts
        ],
        "bad_rows": [{"line": b.line, "why": b.why} for b in lot.bad_rows],
        "sections": [_statistics(s) for s in lot.sections],
        "rule": terms.rule.value,
        "accuracy": None if terms.accuracy is None else terms.accuracy.text,
        "notes": list(lot.notes),
        "assumes": _assumptions(terms),
    }


def results(lot: JudgedLot) -> list[list[str]]:
    """As a table with a header: a row for each row of the file; what was only kept stands last."""
    names = list(dict.fromkeys(s.section.name for s in lot.sections))
    own = ["part", "label", "verdict", "why", "line"]
    for name in names:
        own += _section_header(name)
    extra = [f"{h} (as given)" if h in own else h for h in lot.extra_header]
    table = [[*own, *extra]]
    for row in lot.rows:
        if isinstance(row, UnjudgedRow):
            cells = [row.part, "", "not judged", row.why, str(row.line)]
            found: dict[str, SectionVerdict] = {}
        else:
            verdict = row.verdict
            words = verdict_word(verdict.verdict), part_why(verdict)
            cells = [row.part, verdict.rating.text, *words, str(row.line)]
            found = {s.section.name: s for s in verdict.sections}
        for name in names:
            cells += _section_cells(name, found.get(name))
        table.append([*cells, *(row.extra or [""] * len(extra))])
    return table


def text(lot: JudgedLot) -> str:
    """For people: the counts, the parts that are not simply good, and the statistics."""
    parts, bad = len(lot.parts), len(lot.bad_rows)
    lines = [f"{parts} part{'' if parts == 1 else 's'} judged, rule: {lot.terms.rule.value}"]
    if bad:
        lines[0] += f"; {bad} row{'' if bad == 1 else 's'} could not be read"
    for word, found in lot.with_verdict().items():
        names = "" if word is Word.PASS else f"   {_names(p.part for p in found)}"
        lines.append(f"  {len(found):>6}  {verdict_word(word)}{names}")
    for statistics in lot.sections:
        lines += ["", *statistics_lines(statistics)]
    lines += ["", "Taken for granted:"]
    lines += [f"  - {assumed}" for assumed in (*_assumptions(lot.terms), *lot.notes)]
    return "\n".join(lines)


def _names(parts: Iterable[str]) -> str:
    names = [clip(one_line(part)) for part in parts]
    more = len(names) - _SHOWN_PARTS
    return ", ".join(names[:_SHOWN_PARTS]) + (f" and {more} more" if more > 0 else "")


def _assumptions(terms: Terms) -> list[str]:
    found = [f"rating: {terms.rating.text}, where a row has no label of its own"]
    if terms.accuracy is None:
        found.append(
            "the meter's accuracy is not known: the reading alone is compared with the limits"
        )
    else:
        found.append(
            "the meter's error is spread evenly within its accuracy, and U = 2u (about 95 %)"
        )
    if terms.lead_offset_si:
        found.append(
            f"the leads alone read {microfarad(terms.lead_offset_si)} µF, which is subtracted"
        )
    found.append(
        "intervals hold at 95 % for readings that scatter normally, each row another part, in the "
        "order of measuring"
    )
    found.append("an open or shorted section is outside the limits, and not in mean and spread")
    found.append("the spread holds the meter's own scatter; a fixed error of the meter moves all")
    return found


def _section_header(name: str) -> list[str]:
    before = "" if name == "single" else f"{name} "
    numbers = [f"{before}{what} (µF)" for what in ("rated", "low", "high", "reading", "U")]
    own = [] if name == "single" else [f"{name} verdict", f"{name} why"]
    return [*numbers, f"{before}conformance probability", *own]


def _section_cells(name: str, s: SectionVerdict | None) -> list[str]:
    if s is None:
        return [""] * len(_section_header(name))
    section, chance = s.section, s.conformance_probability
    # Of a part with one section, the verdict of the part says it.
    own = [] if name == "single" else [verdict_word(s.verdict), why(s)]
    return [
        "" if section.rated_si is None else microfarad(section.rated_si),
        microfarad(section.low_si),
        microfarad(section.high_si),
        "" if s.reading_si is None else microfarad(s.reading_si),
        "" if s.expanded_uncertainty_si is None else _short(s.expanded_uncertainty_si * 1e6),
        "" if chance is None else _short(chance),
        *own,
    ]


def _short(number: float) -> str:
    return f"{Decimal(f'{number:.6g}'):f}"


def _statistics(s: LotStatistics) -> dict[str, Any]:
    section, histogram = s.section, s.histogram
    return {
        "name": section.name,
        "unit": "µF",
        "rated": in_microfarad(section.rated_si),
        "low": in_microfarad(section.low_si),
        "high": in_microfarad(section.high_si),
        "count": s.count,
        "open": s.open_count,
        "shorted": s.shorted_count,
        "no_reading": s.unread_count,
        "enough": s.spread is not None,
        "needed": FEWEST,
        "outside": {
            "count": s.outside_count,
            "of": s.judged_count,
            "share": None if s.outside is None else _plain(s.outside),
        },
        "histogram": {
            "edges": [in_microfarad(edge) for edge in histogram.edges_si],
            "counts": list(histogram.counts),
            "below": histogram.below,
            "above": histogram.above,
        },
        **_spread(s.spread),
    }


def _spread(spread: Spread | None) -> dict[str, Any]:
    if spread is None:
        empty = ("mean", "mean_offset", "standard_deviation", "trend", "cp", "cpk", "no_capability")
        return dict.fromkeys(empty)
    capability, trend = spread.capability, spread.trend
    slope = _plain(trend.slope_si_per_part, 1e6)
    return {
        "mean": _plain(spread.mean_si, 1e6),
        "mean_offset": _plain(spread.offset_si, 1e6),
        "standard_deviation": _plain(spread.deviation_si, 1e6),
        "trend": {"slope_per_part": slope, "runs_z": trend.runs_z},
        "cp": None if capability is None else _plain(capability.cp),
        "cpk": None if capability is None else _plain(capability.cpk),
        "no_capability": None if spread.no_capability is None else spread.no_capability.value,
    }


def _plain(estimate: Estimate, scale: float = 1) -> dict[str, float]:
    return {
        "value": estimate.value * scale,
        "low": estimate.low * scale,
        "high": estimate.high * scale,
    }
