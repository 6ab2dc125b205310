"""`benchmeter judge RATING --read [NAME=]VALUE …`: the verdict on a part without a session.

Without `--kind` a capacitor by its label. `--lot FILE` judges many parts; what a kind measures is
told by `judge_kinds`.
"""

import argparse
import sys
from dataclasses import asdict
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

from benchmeter.checking.terms import Terms, judge_typed, label_measure, section_words, terms_of
from benchmeter.checking.typed_reading import TypedReading, parse_typed
from benchmeter.commands.judged import (
    beside_document,
    conclusions_document,
    offset_words,
    section_document,
)
from benchmeter.commands.parsing import print_json
from benchmeter.conformity.verdict import (
    MeasurementVerdict,
    Rule,
    Verdict,
)
from benchmeter.errors import InputError, WorldError
from benchmeter.parts.conclusion import (
    PartVerdict,
)
from benchmeter.parts.rated_part import CapacitorKind, Rating
from benchmeter.parts.seen import seen_in
from benchmeter.quantities.quantity import Quantity
from benchmeter.words.numbers import span_text
from benchmeter.words.parts import BAD, beside_words, part_why
from benchmeter.words.presentation import Presentation
from benchmeter.words.verdicts import (
    limits_text,
    probability_words,
    reading_words,
    verdict_in_words,
    verdict_word,
    why,
)

if TYPE_CHECKING:  # a capacitor by its label needs none, and must start fast
    from benchmeter.checking.judged_lot import UnjudgedRow
    from benchmeter.parts.part_kind import PartKind

__all__ = ["add_parser", "run"]

_SHOWN_NAMES = 8


def add_parser(commands: Any, name: str = "judge", **options: Any) -> None:
    parser = commands.add_parser(name, **options)
    parser.option(
        "rating",
        metavar="RATING",
        nargs="?",
        help="commands.help_rating",
    )
    parser.option("--kind", metavar="KIND", help="commands.help_kind")
    parser.option("--kinds", action="store_true", help="commands.help_kinds")
    parser.option(
        "--read",
        metavar="[NAME=]VALUE",
        action="append",
        default=[],
        help="commands.help_read",
    )
    parser.option("--seen", metavar="TEXT", default="", help="commands.help_seen")
    parser.option("--photo", metavar="FILE", default="", help="commands.help_photo")
    parser.option(
        "--accuracy",
        metavar="LINE",
        help="commands.help_accuracy",
    )
    parser.option(
        "--rule",
        choices=[r.value for r in Rule],
        default=Rule.GUARDED.value,
        help="commands.help_rule",
    )
    parser.option("--tolerance", metavar="TOLERANCE", default="", help="commands.help_tolerance")
    parser.option(
        "--lead-offset",
        metavar="VALUE",
        action="append",
        default=[],
        help="commands.help_lead_offset",
    )
    parser.option(
        "--lot",
        metavar="FILE.csv",
        type=Path,
        help="commands.help_lot",
    )
    parser.option(
        "--keep", metavar="COLUMN", action="append", default=[], help="commands.help_keep"
    )
    parser.option("--out", metavar="RESULTS.csv", type=Path, help="commands.help_out")
    parser.option("--replace", action="store_true", help="commands.help_replace")
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
        raise InputError("commands.out_without_lot")
    if args.lot is None and args.keep:
        raise InputError("commands.keep_without_lot")
    if args.lot is not None and (args.read or args.seen):
        raise InputError("commands.read_and_lot")
    seen = seen_in(args.seen, args.photo)
    if args.kind is None and args.rating is None:
        raise InputError("commands.no_rating")
    kind = None if args.kind is None else _kind(args)
    if kind is not None and args.lot is None and not args.read and seen is None:
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
    verdict = judge_typed(terms, terms.rating, _by_section(args.read, terms), seen)
    if args.json:
        print_json(_document(verdict, terms, args.say))
    else:
        print(_text(verdict, terms, args.say))
    return 0


def _kind(args: argparse.Namespace) -> "PartKind":
    from benchmeter.commands.data_folder import folders_of
    from benchmeter.parts.kind_catalogue import load_part_kind

    return load_part_kind(args.kind.strip(), folders_of(args))


def _print_lot(args: argparse.Namespace, terms: Terms) -> int:
    from benchmeter.commands.data_folder import output_file
    from benchmeter.commands.lot_report import bad_row_words, document, text
    from benchmeter.commands.progress import RowProgress
    from benchmeter.tasks.judging import judge_lot, write_verdicts

    to = None if args.out is None else output_file(args, args.out)
    say: Presentation = args.say
    progress = RowProgress(say)

    def bad_row(bad: "UnjudgedRow") -> None:
        progress.clear()
        why = bad_row_words(bad, say)
        said = say.text("commands.bad_row", file=args.lot.name, line=bad.line, why=why)
        print(f"benchmeter: {said}", file=sys.stderr)

    try:
        lot = judge_lot(
            args.lot,
            terms,
            keep=args.keep,
            results=to,
            progress=progress.told,
            bad_row=bad_row,
        )
        if to is not None:
            write_verdicts(to, lot)
        if args.json:
            print_json(document(lot, say))
            return 0
    except KeyboardInterrupt:
        raise WorldError("commands.lot_cancelled", file=args.lot.name) from None
    finally:
        progress.clear()
    print(text(lot, say))
    if args.out is not None:
        print(f"\n{say.text('commands.written', path=args.out.resolve())}")
    return 0


def _by_section(texts: list[str], terms: Terms) -> dict[str, list[TypedReading]]:
    sections = {s.name: s for s in terms.rating.sections}
    found: dict[str, list[TypedReading]] = {name: [] for name in sections}
    for text in texts:
        name, sign, value = text.rpartition("=")
        section = sections[_section_name(name, bool(sign), terms)]
        found[section.name].append(parse_typed(value, section))
    for name, readings in found.items():
        if len({r.reason for r in readings}) > 1:
            raise InputError("commands.contradicting", section=name)
    return found


def _section_name(text: str, named: bool, terms: Terms) -> str:
    """The section of a reading: `HERM`, `herm`, `C-HERM`, `coil`; needless where there is one."""
    kind, rating = terms.kind, terms.rating
    names = [s.name for s in rating.sections]
    if not named and len(names) == 1:
        return names[0]
    folded = " ".join(text.split()).casefold()
    match = [n for n in names if folded == n.casefold()]
    match = match or [n for n in names if named and section_words(text) == n.upper()]
    if (
        not match
        and not isinstance(kind, CapacitorKind)
        and folded == label_measure(kind).casefold()
    ):
        match = [n for n in names if n == "single"]
    if match:
        return match[0]
    if not isinstance(kind, CapacitorKind):
        raise _no_measure(text, named, rating, kind)
    if len(names) == 1:
        raise InputError("commands.one_section", text=text)
    wanted = [f"--read {n}=VALUE" for n in names]
    if named:
        raise InputError("commands.no_such_section", text=text, wanted=wanted)
    raise InputError("commands.two_sections", wanted=wanted)


def _no_measure(text: str, named: bool, rating: Rating, kind: "PartKind") -> InputError:
    called = {"single": label_measure(kind)}
    names = ", ".join(
        f"{called.get(s.name, s.name)} ({s.unit})" for s in rating.sections[:_SHOWN_NAMES]
    )
    if len(rating.sections) > _SHOWN_NAMES:
        names += " …"
    if named:
        return InputError("commands.not_measured", text=text, kind=kind.name, names=names)
    return InputError("commands.several_measurements", kind=kind.name, names=names)


def _document(verdict: PartVerdict, terms: Terms, say: Presentation) -> dict[str, Any]:
    kind = terms.kind
    named = None if isinstance(kind, CapacitorKind) else kind
    concluded = [] if named is None else conclusions_document(verdict, named, say)
    return {
        "verdict": verdict.verdict.value,
        "why": part_why(verdict, kind, say),
        **({"kind": named.name} if named else {}),
        **({} if verdict.seen is None else {"seen": asdict(verdict.seen)}),
        "sections": [section_document(s, say) for s in verdict.sections],
        **({"conclusions": concluded} if concluded else {}),
        **({} if named is None else beside_document(verdict, named, say)),
        "rule": verdict.rule.value,
        "accuracy": None if verdict.accuracy is None else verdict.accuracy.text,
        "assumes": _assumptions(verdict, terms, say),
    }


def _assumptions(verdict: PartVerdict, terms: Terms, say: Presentation) -> list[str]:
    found = _of_the_rating(verdict.rating, terms, say)
    if verdict.accuracy is None:
        found.append(say.text("commands.accuracy_unknown"))
    else:
        found += _of_the_accuracy(verdict, say)
    found += offset_words(terms.offsets, say)
    if any(_open_by_value(s) for s in verdict.sections):
        found.append(say.text("commands.open_by_value"))
    return found


def _of_the_rating(rating: Rating, terms: Terms, say: Presentation) -> list[str]:
    if not isinstance(terms.kind, CapacitorKind):
        from benchmeter.words.kinds import taken_for_granted

        return taken_for_granted(terms.kind, rating, say)
    tolerance = rating.tolerance
    found = [
        say.text("commands.tolerance_of_label", tolerance=tolerance)
        if rating.tolerance_from == "label"
        else say.text("commands.tolerance_as_typed", tolerance=tolerance)
    ]
    if len(rating.sections) > 1:
        found.append(say.text("commands.herm_is_larger"))
    return found


def _of_the_accuracy(verdict: PartVerdict, say: Presentation) -> list[str]:
    found = [
        say.text("commands.error_is_even"),
        say.text("commands.accuracy_holds"),
    ]
    for s in verdict.sections:
        if verdict.accuracy is None or not s.readings_si:
            continue
        shown_si = sum(s.readings_si, Decimal(0)) / len(s.readings_si)
        line = verdict.accuracy.line_for(s.section.quantity, shown_si, s.section.instrument)
        if line is None:
            found.append(say.text("commands.no_line_for_reading", section=s.section.name))
        elif line.counts and line.count_si is None and s.resolution_si is not None:
            worth = say.amount(span_text(s.resolution_si, s.section.unit), s.section.unit)
            found.append(say.text("commands.count_is_worth", section=s.section.name, worth=worth))
    return found


def _open_by_value(s: MeasurementVerdict) -> bool:
    return s.verdict is Verdict.OPEN and s.section.quantity is Quantity.CAPACITANCE


def _text(verdict: PartVerdict, terms: Terms, say: Presentation) -> str:
    said = verdict_in_words(verdict.verdict, say)
    lines = [f"{verdict_word(verdict.verdict).upper()}  {said}"]
    if verdict.seen is not None:
        lines.append(part_why(verdict, terms.kind, say))
    rows = [_row(s, say) for s in verdict.sections]
    widths = [max(len(cell) for cell in column) for column in zip(*rows, strict=True)]
    for row, s in zip(rows, verdict.sections, strict=True):
        cells = (cell.ljust(width) for cell, width in zip(row, widths, strict=True))
        lines += ["", "  " + "   ".join(cells).rstrip(), f"    {why(s, say)}"]
    if not isinstance(terms.kind, CapacitorKind):
        for concluded in conclusions_document(verdict, terms.kind, say):
            lines += [
                "",
                f"  {concluded['name']}   {concluded['verdict']}",
                f"    {concluded['why']}",
            ]
        aside = [f"  {name}   {said}" for name, said in beside_words(verdict, terms.kind, say)]
        lines += ["", *aside] if aside else []
        if verdict.verdict in BAD and verdict.seen is None:
            lines += ["", part_why(verdict, terms.kind, say)]  # with what it means
    lines += ["", say.text("commands.rule", rule=verdict.rule.value)]
    lines += [f"  - {assumed}" for assumed in _assumptions(verdict, terms, say)]
    return "\n".join(lines)


def _row(s: MeasurementVerdict, say: Presentation) -> tuple[str, ...]:
    section, chance = s.section, s.conformance_probability
    rated, limits, reads = section.rated_si, limits_text(section, say), reading_words(s, say)
    both = section.low_si is not None and section.high_si is not None
    return (
        say.text("commands.part") if section.name == "single" else section.name,
        "" if rated is None else say.text("commands.rated", value=say.exact(rated, section.unit)),
        say.text("commands.limits", limits=limits) if both else limits,
        reads if s.reading_si is None else say.text("commands.reads", reading=reads),
        verdict_word(s.verdict),
        ""
        if chance is None
        else say.text("commands.chance_inside", chance=probability_words(chance, say)),
    )
