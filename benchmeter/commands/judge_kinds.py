"""`benchmeter judge --kinds`, and `--kind KIND` without readings: what each kind measures."""

import argparse
import sys
from typing import Any

from benchmeter.commands.data_folder import folders_of
from benchmeter.commands.parsing import print_json
from benchmeter.conformity.verdict import Measurement
from benchmeter.parts.kind_catalogue import all_part_kinds, kind_fields, load_part_kind
from benchmeter.parts.part_kind import InLabel, MeasurementSpec, PartKind
from benchmeter.parts.rated_part import Rating
from benchmeter.parts.rating import rate
from benchmeter.reports.plain_numbers import unit_number
from benchmeter.words.kinds import cautions_at, given_words
from benchmeter.words.lead_words import leads_words
from benchmeter.words.presentation import Presentation
from benchmeter.words.verdicts import limits_text, set_to

__all__ = ["print_kind", "print_kinds"]


def print_kinds(args: argparse.Namespace) -> int:
    """List the kinds of the program and of the user; a broken file is told and left out."""
    if args.kind is not None:
        return print_kind(load_part_kind(args.kind.strip(), folders_of(args)), args)
    say: Presentation = args.say
    kinds, errors = all_part_kinds(folders_of(args))
    for error in errors:
        print(f"benchmeter: {say.tell(error)}", file=sys.stderr)
    if args.json:
        print_json({"kinds": [_document(kind) for kind in kinds]})
    else:
        print("\n\n".join(_listed(kind, say) for kind in kinds))
        print(f"\n{say.text('commands.more_on_kinds')}")
    return 0


def print_kind(kind: PartKind, args: argparse.Namespace) -> int:
    """What this kind measures; with its limits where a rating is told.

    Raises:
        InputError: the rating is not understood.
    """
    rating = None if args.rating is None else rate(kind, args.rating, args.tolerance)
    if args.json:
        limits = {} if rating is None else {"sections": [_limits(s) for s in rating.sections]}
        print_json({"kind": _document(kind), **limits})
    else:
        print(_described(kind, rating, args.say))
    return 0


def _listed(kind: PartKind, say: Presentation) -> str:
    measures = ", ".join(f"{m.name} ({m.unit})" for m in kind.measures)
    told = (
        say.text("commands.kind_label", label=_label(kind, say)),
        say.text("commands.kind_measures", measures=measures),
        say.text("commands.kind_like", example=kind.example),
    )
    return "\n".join((f"{kind.name}   {kind.title}", *(f"    {line}" for line in told)))


def _label(kind: PartKind, say: Presentation) -> str:
    if kind.label == "capacitor":
        return say.text("commands.capacitor_label")
    given = ", ".join(given_words(g, say) for g in kind.givens)
    return given or say.text("commands.nothing_needed")


def _described(kind: PartKind, rating: Rating | None, say: Presentation) -> str:
    lines = [f"{kind.title} ({kind.name})", *filter(None, (kind.about, kind.caution)), ""]
    lines += [
        say.text("commands.label_like", label=_label(kind, say), example=kind.example),
        "",
        say.text("commands.measured"),
    ]
    for measure in kind.measures:
        lines += _measure_lines(measure, say)
    if kind.conclusions:
        lines += ["", say.text("commands.concluded")]
        lines += [f"  {rule.name}: {rule.source}" for rule in kind.conclusions]
    if rating is not None:
        lines += ["", say.text("commands.limits_of", label=rating.text)]
        none = say.text("commands.no_own_limits")
        lines += [f"  {s.name}   {limits_text(s, say) or none}" for s in rating.sections]
    lines += ["", say.text("commands.judge_it", kind=kind.name, reads=_reads(kind))]
    return "\n".join(lines)


def _reads(kind: PartKind) -> str:
    """The readings as they are typed; a name with blanks between quotation marks."""
    labelled = ["HERM=VALUE", "FAN=VALUE"]
    reads = [
        read
        for m in kind.measures
        for read in (labelled if isinstance(m.limits, InLabel) else [f"{m.name}=VALUE"])
    ]
    return " ".join(f'--read "{r}"' if " " in r else f"--read {r}" for r in reads)


def _measure_lines(measure: MeasurementSpec, say: Presentation) -> list[str]:
    meter = f"{set_to(measure.quantity, say)}, {leads_words(measure, say)}"
    told = say.text("commands.measure", title=measure.title, unit=measure.unit, meter=meter)
    lines = [f"  {measure.name}   {told}"]
    return lines + [f"    {said}" for said in (measure.how, *cautions_at(measure, say)) if said]


def _document(kind: PartKind) -> dict[str, Any]:
    return kind_fields(kind)


def _limits(section: Measurement) -> dict[str, Any]:
    return {
        "name": section.name,
        "unit": section.unit,
        "rated": unit_number(section.rated_si, section.unit),
        "low": unit_number(section.low_si, section.unit),
        "high": unit_number(section.high_si, section.unit),
    }
