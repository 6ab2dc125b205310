"""`benchmeter judge --kinds`, and `--kind KIND` without readings: what each kind measures."""

import argparse
import sys
from typing import Any

from benchmeter.commands.data_folder import folders_of
from benchmeter.commands.parsing import print_json
from benchmeter.conformity.verdict import (
    Measurement,
)
from benchmeter.parts.catalogue import all_part_kinds, kind_fields, load_part_kind
from benchmeter.parts.part_kind import InLabel, MeasurementSpec, PartKind
from benchmeter.parts.rated_part import (
    Rating,
)
from benchmeter.parts.rating import rate
from benchmeter.reports.plain_numbers import unit_number
from benchmeter.words.kinds import given_words
from benchmeter.words.leads import leads_words
from benchmeter.words.presentation import Presentation
from benchmeter.words.verdicts import limits_text, set_to

__all__ = ["print_kind", "print_kinds"]


def print_kinds(args: argparse.Namespace) -> int:
    """List the kinds of the program and of the user; a broken file is told and left out."""
    if args.kind is not None:
        return print_kind(load_part_kind(args.kind.strip(), folders_of(args)), args)
    kinds, errors = all_part_kinds(folders_of(args))
    for error in errors:
        print(f"benchmeter: {Presentation().tell(error)}", file=sys.stderr)
    if args.json:
        print_json({"kinds": [_document(kind) for kind in kinds]})
    else:
        print("\n\n".join(_listed(kind) for kind in kinds))
        print("\nMore on one: judge --kind NAME. Your own: TOML files in the folder “parts” of the "
              "data folder.")  # fmt: skip
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
        print(_described(kind, rating))
    return 0


def _listed(kind: PartKind) -> str:
    measures = ", ".join(f"{m.name} ({m.unit})" for m in kind.measures)
    lines = [f"{kind.name}   {kind.title}", f"    label: {_label(kind)}"]
    lines += [f"    measures: {measures}", f"    like: {kind.example}"]
    return "\n".join(lines)


def _label(kind: PartKind) -> str:
    if kind.label == "capacitor":
        return "of a capacitor"
    return ", ".join(given_words(g) for g in kind.givens) or "nothing is needed"


def _described(kind: PartKind, rating: Rating | None) -> str:
    lines = [f"{kind.title} ({kind.name})", kind.about, ""]
    lines += [f"The label: {_label(kind)}. Like: {kind.example}", "", "Measured:"]
    for measure in kind.measures:
        lines += _measure_lines(measure)
    if kind.conclusions:
        lines += ["", "Told from them together:"]
        lines += [f"  {rule.name}: {rule.failure}" for rule in kind.conclusions]
    if rating is not None:
        lines += ["", f"Limits of “{rating.text}”:"]
        lines += [f"  {s.name}   {limits_text(s) or 'none of its own'}" for s in rating.sections]
    lines += ["", f"Judge it: judge RATING --kind {kind.name} {_reads(kind)}"]
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


def _measure_lines(measure: MeasurementSpec) -> list[str]:
    meter = f"{set_to(measure.quantity)}, {leads_words(measure)}"
    lines = [f"  {measure.name}   {measure.title}, in {measure.unit}: {meter}"]
    live = "The circuit is live for it: qualified persons only." if measure.powered else ""
    return lines + [f"    {said}" for said in (measure.how, live, measure.caution) if said]


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
