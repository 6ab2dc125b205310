"""`benchmeter judge RATING --read [SECTION=]VALUE …`: the verdict on a part without a session.

`--lot FILE` judges many parts, see `judge_lot`.
"""

import argparse
from decimal import Decimal
from pathlib import Path
from typing import Any

from benchmeter.cli.judged import Terms, judge_typed, section_document, section_words
from benchmeter.cli.parsing import print_json
from benchmeter.conformity.accuracy import parse_accuracy
from benchmeter.conformity.judge import judge_part
from benchmeter.conformity.label import parse_label
from benchmeter.conformity.leads import refuse_lead_offset
from benchmeter.conformity.typed import TypedReading, parse_typed
from benchmeter.conformity.verdict import (
    PartVerdict,
    Rating,
    Rule,
    SectionVerdict,
    Word,
)
from benchmeter.conformity.writing import EXACTLY, clip
from benchmeter.errors import InputError
from benchmeter.readings.units import parse_value
from benchmeter.reporting.wording_verdict import (
    microfarad,
    part_why,
    probability_words,
    reading_words,
    verdict_in_words,
    verdict_word,
    why,
)

__all__ = ["add_parser", "run"]


def add_parser(commands: Any, name: str = "judge", **options: Any) -> None:
    parser = commands.add_parser(name, **options)
    parser.add_argument("rating", metavar="RATING", help='as on the label: "45/5 uF ±6%% 440 V"')
    parser.add_argument(
        "--read",
        metavar="[SECTION=]VALUE",
        action="append",
        default=[],
        help="what the meter shows: HERM=44.1uF, 5.02, OL, open; again for a repeated reading",
    )
    parser.add_argument("--accuracy", metavar="LINE", help='the meter\'s: "1.2%% + 2 x 0.1uF"')
    parser.add_argument(
        "--rule",
        choices=[r.value for r in Rule],
        default=Rule.GUARDED.value,
        help="guarded (default): the meter's uncertainty is kept away from the limits",
    )
    parser.add_argument(
        "--tolerance", metavar="TOLERANCE", default="", help='if the label gives none: "6 %%"'
    )
    parser.add_argument("--lead-offset", metavar="VALUE", help="reading of the open leads: 0.02uF")
    parser.add_argument(
        "--lot",
        metavar="FILE.csv",
        type=Path,
        help="many parts: columns part, HERM, FAN or reading",
    )
    parser.add_argument("--out", metavar="RESULTS.csv", type=Path, help="of a lot, for each part")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Judge and print; any verdict is a success.

    Raises:
        InputError: rating, reading or accuracy are not understood.
    """
    if args.lot is None and args.out is not None:
        raise InputError("--out takes the results of a lot.", "Name it with --lot FILE.csv.")
    if args.lot is not None and args.read:
        raise InputError("--read and --lot exclude each other.", "Leave one of them out.")
    rating = parse_label(args.rating, args.tolerance)
    accuracy = None if args.accuracy is None else parse_accuracy(args.accuracy)
    offset_si = _lead_offset(args.lead_offset, rating)
    rule = Rule(args.rule)
    if args.lot is not None:
        from benchmeter.cli.judge_lot import judge_lot

        terms = Terms(rating, args.tolerance, accuracy, rule, offset_si)
        return judge_lot(args.lot, args.out, terms, as_json=args.json)
    shown = _by_section(args.read, rating)
    verdict = judge_part(
        rating,
        rule,
        accuracy,
        [judge_typed(s, shown[s.name], accuracy, rule, offset_si) for s in rating.sections],
    )
    if args.json:
        print_json(_document(verdict, offset_si))
    else:
        print(_text(verdict, offset_si))
    return 0


def _lead_offset(text: str | None, rating: Rating) -> Decimal:
    if text is None:
        return Decimal(0)
    number, unit = parse_value(text, "capacitance", "µF")
    offset_si = EXACTLY.multiply(number, unit.scale)
    refuse_lead_offset(rating, offset_si)
    return offset_si


def _by_section(texts: list[str], rating: Rating) -> dict[str, list[TypedReading]]:
    found: dict[str, list[TypedReading]] = {s.name: [] for s in rating.sections}
    for text in texts:
        name, sign, value = text.rpartition("=")
        found[_section_name(name, bool(sign), rating)].append(parse_typed(value))
    for name, readings in found.items():
        if len({r.reason for r in readings}) > 1:
            raise InputError(
                f"The readings of section {name} contradict each other.",
                "Give either values or the one word that the meter shows.",
            )
    return found


def _section_name(text: str, named: bool, rating: Rating) -> str:
    """The section of a reading: `HERM`, `herm`, `C-HERM`; needless where there is one only."""
    names = [s.name for s in rating.sections]
    if not named and len(names) == 1:
        return names[0]
    match = [n for n in names if section_words(text) == n.upper()]
    if match:
        return match[0]
    if len(names) == 1:
        raise InputError(
            f"The part has one section only, and “{clip(text)}” is not its name.",
            "Write the reading alone: --read 44.1uF.",
        )
    wanted = " or ".join(f"--read {n}=VALUE" for n in names)
    what = f"“{clip(text)}” is no section of this part." if named else "This part has two sections."
    raise InputError(what, f"Say which one: {wanted}.")


def _document(verdict: PartVerdict, offset_si: Decimal) -> dict[str, Any]:
    return {
        "verdict": verdict_word(verdict.verdict),
        "why": part_why(verdict),
        "sections": [section_document(s) for s in verdict.sections],
        "rule": verdict.rule.value,
        "accuracy": None if verdict.accuracy is None else verdict.accuracy.text,
        "assumes": _assumptions(verdict, offset_si),
    }


def _assumptions(verdict: PartVerdict, offset_si: Decimal) -> list[str]:
    rating, accuracy = verdict.rating, verdict.accuracy
    source = "label" if rating.tolerance_from == "label" else "command line"
    found = [f"tolerance: {rating.tolerance}, from the {source}"]
    if len(rating.sections) > 1:
        found.append("HERM is the larger section, FAN the smaller one")
    if accuracy is None:
        found.append(
            "the meter's accuracy is not known: the reading alone is compared with the limits"
        )
    else:
        found.append(
            "the meter's error is spread evenly within its accuracy, and U = 2u (about 95 %)"
        )
        found.append("the accuracy holds for this range, temperature and date of calibration")
        if accuracy.counts and accuracy.count_si is None:
            for s in verdict.sections:
                if s.resolution_si is not None:
                    worth = microfarad(s.resolution_si)
                    found.append(f"{s.section.name}: one count is {worth} µF, as the reading ends")
    if offset_si:
        found.append(f"the leads alone read {microfarad(offset_si)} µF, which is subtracted")
    if any(s.verdict is Word.OPEN for s in verdict.sections):
        found.append("a section that reads 1 % of its rated value or less is open")
    return found


def _text(verdict: PartVerdict, offset_si: Decimal) -> str:
    lines = [f"{verdict_word(verdict.verdict).upper()}  {verdict_in_words(verdict.verdict)}"]
    rows = [_row(s) for s in verdict.sections]
    widths = [max(len(cell) for cell in column) for column in zip(*rows, strict=True)]
    for row, s in zip(rows, verdict.sections, strict=True):
        cells = (cell.ljust(width) for cell, width in zip(row, widths, strict=True))
        lines += ["", "  " + "   ".join(cells).rstrip(), f"    {why(s)}"]
    lines += ["", f"Rule: {verdict.rule.value}. Taken for granted:"]
    lines += [f"  - {assumed}" for assumed in _assumptions(verdict, offset_si)]
    return "\n".join(lines)


def _row(s: SectionVerdict) -> tuple[str, ...]:
    rated = "" if s.section.rated_si is None else f"rated {microfarad(s.section.rated_si)} µF"
    chance = s.conformance_probability
    return (
        "part" if s.section.name == "single" else s.section.name,
        rated,
        f"limits {microfarad(s.section.low_si)} to {microfarad(s.section.high_si)} µF",
        reading_words(s) if s.reading_si is None else f"reads {reading_words(s)}",
        verdict_word(s.verdict),
        "" if chance is None else f"{probability_words(chance)} chance inside",
    )
