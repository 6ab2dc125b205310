"""`benchmeter judge RATING --read [NAME=]VALUE …`: the verdict on a part without a session.

Without `--kind` a capacitor by its label. `--lot FILE` judges many parts; what a kind measures is
told by `judge_kinds`.
"""

import argparse
import sys
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

from benchmeter.checking.terms import Terms, judge_typed, label_measure, section_words, terms_of
from benchmeter.checking.typed_reading import TypedReading, parse_typed
from benchmeter.commands.judged import conclusions_document, offset_words, section_document
from benchmeter.commands.parsing import print_json
from benchmeter.conformity.verdict import (
    MeasurementVerdict,
    Rule,
    Verdict,
)
from benchmeter.errors import InputError
from benchmeter.parts.conclusion import (
    PartVerdict,
)
from benchmeter.parts.rated_part import (
    Rating,
)
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.writing import clip
from benchmeter.words.numbers import span_text
from benchmeter.words.parts import BAD, part_why
from benchmeter.words.presentation import PLAIN
from benchmeter.words.verdicts import (
    limits_text,
    probability_words,
    reading_words,
    verdict_in_words,
    verdict_word,
    why,
)

if TYPE_CHECKING:  # a capacitor by its label needs none, and must start fast
    from benchmeter.parts.part_kind import PartKind

__all__ = ["add_parser", "run"]

_SHOWN_NAMES = 8


def add_parser(commands: Any, name: str = "judge", **options: Any) -> None:
    parser = commands.add_parser(name, **options)
    parser.add_argument(
        "rating",
        metavar="RATING",
        nargs="?",
        help='as on the label: "45/5 uF ±6%% 440 V"; of another kind what its label gives',
    )
    parser.add_argument("--kind", metavar="KIND", help="of the part; else a capacitor by its label")
    parser.add_argument(
        "--kinds", action="store_true", help="list the kinds, and what they measure"
    )
    parser.add_argument(
        "--read",
        metavar="[NAME=]VALUE",
        action="append",
        default=[],
        help="what the meter shows: HERM=44.1uF, 5.02, coil=12ohm, OL, open, shorted, none; again "
        "for a repeated reading",
    )
    parser.add_argument(
        "--accuracy",
        metavar="LINE",
        help='the meter\'s: "1.2%% + 2 x 0.1uF"; for several functions parted by semicolons',
    )
    parser.add_argument(
        "--rule",
        choices=[r.value for r in Rule],
        default=Rule.GUARDED.value,
        help="guarded (default): the meter's uncertainty is kept away from the limits",
    )
    parser.add_argument(
        "--tolerance", metavar="TOLERANCE", default="", help='if the label gives none: "6 %%"'
    )
    parser.add_argument(
        "--lead-offset",
        metavar="VALUE",
        action="append",
        default=[],
        help="reading of the open leads: 0.02uF; of the joined ones: 0.2ohm",
    )
    parser.add_argument(
        "--lot",
        metavar="FILE.csv",
        type=Path,
        help="many parts: columns part, HERM, FAN or reading; of a kind one for each measurement",
    )
    parser.add_argument("--out", metavar="RESULTS.csv", type=Path, help="of a lot, for each part")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Judge and print; any verdict is a success.

    Raises:
        InputError: rating, reading or accuracy are not understood.
        DataFileError: the file of the kind is broken.
    """
    if args.kinds:
        from benchmeter.commands.judge_kinds import print_kinds

        return print_kinds(args)
    if args.lot is None and args.out is not None:
        raise InputError("--out takes the results of a lot.", "Name it with --lot FILE.csv.")
    if args.lot is not None and args.read:
        raise InputError("--read and --lot exclude each other.", "Leave one of them out.")
    if args.kind is None and args.rating is None:
        raise InputError(
            "RATING is missing: what the part's label says.", 'Like: judge "45/5 uF ±6%" --read …'
        )
    kind = None if args.kind is None else _kind(args)
    if kind is not None and args.lot is None and not args.read:
        from benchmeter.commands.judge_kinds import print_kind

        return print_kind(kind, args)
    terms = terms_of(
        kind,
        args.rating or "",
        tolerance=args.tolerance,
        accuracy=args.accuracy,
        rule=Rule(args.rule),
        offsets=args.lead_offset,
    )
    if args.lot is not None:
        return _print_lot(args, terms)
    verdict = judge_typed(terms, terms.rating, _by_section(args.read, terms.rating, kind))
    if args.json:
        print_json(_document(verdict, terms))
    else:
        print(_text(verdict, terms))
    return 0


def _kind(args: argparse.Namespace) -> "PartKind":
    from benchmeter.commands.data_folder import folders_of
    from benchmeter.parts.catalogue import load_part_kind

    return load_part_kind(args.kind.strip(), folders_of(args))


def _print_lot(args: argparse.Namespace, terms: Terms) -> int:
    from benchmeter.commands.lot_report import bad_row_words, document, text
    from benchmeter.tasks.judging import judge_lot, write_verdicts

    lot = judge_lot(args.lot, terms, results=args.out)
    for bad in lot.bad_rows:
        print(f"benchmeter: {lot.name}, line {bad.line}: {bad_row_words(bad)}", file=sys.stderr)
    if args.out is not None:
        write_verdicts(args.out, lot)
    if args.json:
        print_json(document(lot))
        return 0
    print(text(lot))
    if args.out is not None:
        print(f"\nWritten: {args.out.resolve()}")
    return 0


def _by_section(
    texts: list[str], rating: Rating, kind: "PartKind | None"
) -> dict[str, list[TypedReading]]:
    found: dict[str, list[TypedReading]] = {s.name: [] for s in rating.sections}
    sections = {s.name: s for s in rating.sections}
    for text in texts:
        name, sign, value = text.rpartition("=")
        section = sections[_section_name(name, bool(sign), rating, kind)]
        found[section.name].append(parse_typed(value, section))
    for name, readings in found.items():
        if len({r.reason for r in readings}) > 1:
            raise InputError(
                f"The readings of section {name} contradict each other.",
                "Give either values or the one word that the meter shows.",
            )
    return found


def _section_name(text: str, named: bool, rating: Rating, kind: "PartKind | None") -> str:
    """The section of a reading: `HERM`, `herm`, `C-HERM`, `coil`; needless where there is one."""
    names = [s.name for s in rating.sections]
    if not named and len(names) == 1:
        return names[0]
    folded = " ".join(text.split()).casefold()
    match = [n for n in names if folded == n.casefold()]
    match = match or [n for n in names if named and section_words(text) == n.upper()]
    if not match and kind is not None and folded == label_measure(kind).casefold():
        match = [n for n in names if n == "single"]
    if match:
        return match[0]
    if kind is not None:
        raise _no_measure(text, named, rating, kind)
    if len(names) == 1:
        raise InputError(
            f"The part has one section only, and “{clip(text)}” is not its name.",
            "Write the reading alone: --read 44.1uF.",
        )
    wanted = " or ".join(f"--read {n}=VALUE" for n in names)
    what = f"“{clip(text)}” is no section of this part." if named else "This part has two sections."
    raise InputError(what, f"Say which one: {wanted}.")


def _no_measure(text: str, named: bool, rating: Rating, kind: "PartKind") -> InputError:
    called = {"single": label_measure(kind)}
    names = ", ".join(
        f"{called.get(s.name, s.name)} ({s.unit})" for s in rating.sections[:_SHOWN_NAMES]
    )
    more = " …" if len(rating.sections) > _SHOWN_NAMES else ""
    what = f"“{clip(text)}” is not measured on a part of kind {kind.name}."
    return InputError(
        what if named else f"More than one thing is measured on a part of kind {kind.name}.",
        f"Write --read NAME=VALUE with one of: {names}{more}.",
    )


def _document(verdict: PartVerdict, terms: Terms) -> dict[str, Any]:
    kind = terms.kind
    concluded = conclusions_document(verdict, kind) if kind and verdict.conclusions else []
    return {
        "verdict": verdict_word(verdict.verdict),
        "why": part_why(verdict, kind),
        **({"kind": kind.name} if kind else {}),
        "sections": [section_document(s) for s in verdict.sections],
        **({"conclusions": concluded} if concluded else {}),
        "rule": verdict.rule.value,
        "accuracy": None if verdict.accuracy is None else verdict.accuracy.text,
        "assumes": _assumptions(verdict, terms),
    }


def _assumptions(verdict: PartVerdict, terms: Terms) -> list[str]:
    found = _of_the_rating(verdict.rating, terms)
    if verdict.accuracy is None:
        found.append(
            "the meter's accuracy is not known: the reading alone is compared with the limits"
        )
    else:
        found += _of_the_accuracy(verdict)
    found += offset_words(terms.offsets)
    if any(_open_by_value(s) for s in verdict.sections):
        found.append("a section that reads 1 % of its rated value or less is open")
    return found


def _of_the_rating(rating: Rating, terms: Terms) -> list[str]:
    if terms.kind is not None:
        from benchmeter.words.kinds import taken_for_granted

        return taken_for_granted(terms.kind, rating)
    source = "label" if rating.tolerance_from == "label" else "command line"
    found = [f"tolerance: {rating.tolerance}, from the {source}"]
    if len(rating.sections) > 1:
        found.append("HERM is the larger section, FAN the smaller one")
    return found


def _of_the_accuracy(verdict: PartVerdict) -> list[str]:
    found = [
        "the meter's error is spread evenly within its accuracy, and U = 2u (about 95 %)",
        "the accuracy holds for this range, temperature and date of calibration",
    ]
    for s in verdict.sections:
        if verdict.accuracy is None or not s.readings_si:
            continue
        shown_si = sum(s.readings_si, Decimal(0)) / len(s.readings_si)
        line = verdict.accuracy.line_for(s.section.quantity, shown_si)
        if line is None:
            found.append(
                f"{s.section.name}: no accuracy is given for this reading, which alone is compared "
                "with the limits"
            )
        elif line.counts and line.count_si is None and s.resolution_si is not None:
            worth = PLAIN.amount(span_text(s.resolution_si, s.section.unit), s.section.unit)
            found.append(f"{s.section.name}: one count is {worth}, as the reading ends")
    return found


def _open_by_value(s: MeasurementVerdict) -> bool:
    return s.verdict is Verdict.OPEN and s.section.quantity is Quantity.CAPACITANCE


def _text(verdict: PartVerdict, terms: Terms) -> str:
    lines = [f"{verdict_word(verdict.verdict).upper()}  {verdict_in_words(verdict.verdict)}"]
    rows = [_row(s) for s in verdict.sections]
    widths = [max(len(cell) for cell in column) for column in zip(*rows, strict=True)]
    for row, s in zip(rows, verdict.sections, strict=True):
        cells = (cell.ljust(width) for cell, width in zip(row, widths, strict=True))
        lines += ["", "  " + "   ".join(cells).rstrip(), f"    {why(s)}"]
    if terms.kind is not None:
        for concluded in conclusions_document(verdict, terms.kind):
            lines += [
                "",
                f"  {concluded['name']}   {concluded['verdict']}",
                f"    {concluded['why']}",
            ]
        if verdict.verdict in BAD:
            lines += ["", part_why(verdict, terms.kind)]  # with what it means
    lines += ["", f"Rule: {verdict.rule.value}. Taken for granted:"]
    lines += [f"  - {assumed}" for assumed in _assumptions(verdict, terms)]
    return "\n".join(lines)


def _row(s: MeasurementVerdict) -> tuple[str, ...]:
    section, chance = s.section, s.conformance_probability
    rated, limits = section.rated_si, limits_text(section)
    return (
        "part" if section.name == "single" else section.name,
        "" if rated is None else f"rated {PLAIN.exact(rated, section.unit)}",
        f"limits {limits}"
        if section.low_si is not None and section.high_si is not None
        else limits,
        reading_words(s) if s.reading_si is None else f"reads {reading_words(s)}",
        verdict_word(s.verdict),
        "" if chance is None else f"{probability_words(chance)} chance inside",
    )
