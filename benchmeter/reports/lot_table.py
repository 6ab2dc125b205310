"""The verdicts of a lot as a table."""

from collections.abc import Iterator
from decimal import Decimal

from benchmeter.checking.judged_lot import JudgedLot, UnjudgedRow
from benchmeter.conformity.verdict import MeasurementVerdict
from benchmeter.files.table_file import one_line
from benchmeter.reports.plain_numbers import unit_span
from benchmeter.words.numbers import exact_text
from benchmeter.words.parts import part_why
from benchmeter.words.presentation import Presentation
from benchmeter.words.verdicts import verdict_word, why

__all__ = ["verdict_table"]


def verdict_table(lot: JudgedLot) -> Iterator[list[str]]:
    """As a table with a header: a row for each row of the file; what was only kept stands last."""
    own = ["part", "label", "verdict", "why", "line"]
    for name, unit in lot.units.items():
        own += _section_header(name, unit)
    extra = [f"{h} (as given)" if h in own else h for h in lot.extra_header]
    yield [*own, *extra]
    for row in lot.rows():
        if isinstance(row, UnjudgedRow):
            told = one_line(str(Presentation().tell(row.error)))
            cells = [row.part, "", "not judged", told, str(row.line)]
            found: dict[str, MeasurementVerdict] = {}
        else:
            verdict = row.verdict
            words = verdict_word(verdict.verdict), part_why(verdict, lot.terms.kind)
            cells = [row.part, verdict.rating.text, *words, str(row.line)]
            found = {s.section.name: s for s in verdict.sections}
        for name, unit in lot.units.items():
            cells += _section_cells(name, unit, found.get(name))
        yield [*cells, *(row.extra or [""] * len(extra))]


def _section_header(name: str, unit: str) -> list[str]:
    before = "" if name == "single" else f"{name} "
    numbers = [f"{before}{what} ({unit})" for what in ("rated", "low", "high", "reading", "U")]
    own = [] if name == "single" else [f"{name} verdict", f"{name} why"]
    return [*numbers, f"{before}conformance probability", *own]


def _section_cells(name: str, unit: str, s: MeasurementVerdict | None) -> list[str]:
    if s is None:
        return [""] * len(_section_header(name, unit))
    section, chance = s.section, s.conformance_probability
    # Of a part with one section, the verdict of the part says it.
    own = [] if name == "single" else [verdict_word(s.verdict), why(s)]
    return [
        *(
            "" if si is None else exact_text(si, unit)
            for si in (section.rated_si, section.low_si, section.high_si, s.reading_si)
        ),
        _short(unit_span(s.expanded_uncertainty_si, unit)),
        _short(chance),
        *own,
    ]


def _short(number: float | None) -> str:
    return "" if number is None else f"{Decimal(f'{number:.6g}'):f}"
