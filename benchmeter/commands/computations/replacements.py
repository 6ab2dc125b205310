"""`compute replacement`: what of a stock list may replace a part."""

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from benchmeter.commands.computations.answer import Answer, aligned, answer_with
from benchmeter.commands.data_folder import folders_of, open_store

if TYPE_CHECKING:
    from benchmeter.checking.part_check import PartCheck
    from benchmeter.checking.replacement import Candidate, Standing
    from benchmeter.checking.stock import BadLine
    from benchmeter.conformity.verdict import Rating

__all__ = ["add_computations"]

_SOURCE = "same µF, rated voltage equal or higher, tolerance equal or tighter: common practice"
_ASSUMES = (
    "what fits by its label is measured before it goes in; the highest voltage on a label is the "
    "one that it is rated for; HERM is the larger section"
)


def add_computations(what: Any, common: argparse.ArgumentParser) -> None:
    """Add `replacement`."""
    parser = what.add_parser(
        "replacement", parents=[common], help="what of a stock list may replace a part"
    )
    parser.add_argument("label", metavar="LABEL", help='of the old part: "45/5 uF ±6%% 440 V"')
    parser.add_argument("--tolerance", default="", help='if the label gives none: "6 %%"')
    parser.add_argument("--shape", default="", metavar="SHAPE", help="of the old part: oval, round")
    parser.add_argument(
        "--from",
        dest="stock",
        type=Path,
        metavar="STOCK.csv",
        help="columns label, shape, count, place, own number; stock.csv of the data folder "
        "unless told",
    )
    parser.add_argument(
        "--session",
        metavar="ID",
        help="whose checks of a “replacement” count; a part with a number of its own is looked "
        "for in all sessions",
    )
    parser.add_argument(
        "--rule",
        choices=["guarded", "simple"],
        default="guarded",
        help="decision rule of the verdicts that count (guarded)",
    )
    answer_with(parser, _replacement)


def _replacement(args: argparse.Namespace) -> Answer:
    from benchmeter.checking.replacement import candidates, judged, shape_on, verdict_of
    from benchmeter.checking.stock import read_stock
    from benchmeter.conformity.verdict import Rule
    from benchmeter.parts.nameplate.label import parse_label

    old = parse_label(args.label, args.tolerance)
    shape = args.shape.strip() or shape_on(args.label)
    stock = read_stock(args.stock or folders_of(args).stock)
    found = candidates(old, stock.items, shape)
    checks = _checks(args, [c.item.own_number for c in found])
    standings = [judged(c.item, verdict_of(c.item, checks), Rule(args.rule)) for c in found]
    pairs = list(zip(found, standings, strict=True))
    assumes = _ASSUMES if shape else f"{_ASSUMES}; the shape is not compared"
    return Answer(
        {
            "items": [_document(c, s, old, shape) for c, s in pairs],
            "not_read": [{"line": b.line, "why": _why(b)} for b in stock.bad],
        },
        _SOURCE,
        assumes,
        tuple(_text(pairs, stock.bad, old, shape)),
    )


def _checks(args: argparse.Namespace, own_numbers: list[str]) -> "list[PartCheck]":
    """Checks that may be of an item: of the session, and of the parts with numbers of their own."""
    from benchmeter.checking.part_check import PartCheck

    checks: list[PartCheck] = []
    with open_store(args) as store:
        checks += store.checks_of_parts([number for number in own_numbers if number])
        if args.session is not None:
            verdicts = store.verdicts(store.session(args.session).id)
            checks += [v.finding for v in verdicts if isinstance(v.finding, PartCheck)]
    return checks


def _document(c: "Candidate", standing: "Standing", old: "Rating", shape: str) -> dict[str, Any]:
    from benchmeter.checking.replacement import offered
    from benchmeter.words.replacements import reason_words

    item = c.item
    return {
        "line": item.line,
        "label": item.rating.text,
        "shape": item.shape,
        "count": item.count,
        "place": item.place,
        "own_number": item.own_number,
        "fit": c.fit.value,
        "reasons": [r.value for r in c.reasons],
        "why": [reason_words(r, item, old, shape) for r in c.reasons],
        "measured": standing.value,
        "offered": offered(c, standing),
    }


def _text(
    pairs: "list[tuple[Candidate, Standing]]",
    bad: "tuple[BadLine, ...]",
    old: "Rating",
    shape: str,
) -> list[str]:
    from benchmeter.checking.replacement import Fit
    from benchmeter.words.replacements import (
        item_words,
        reason_words,
        standing_words,
    )

    lines = []
    for c, standing in pairs:
        lines += aligned([(c.fit.value, item_words(c.item))])
        lines += [f"    {reason_words(r, c.item, old, shape)}" for r in c.reasons]
        if c.fit is not Fit.DOES_NOT_FIT:
            lines.append(f"    {standing_words(standing)}")
    if all(c.fit is Fit.DOES_NOT_FIT for c, _ in pairs):
        lines.append("Nothing on the list fits.")
    return [*lines, *(f"Line {b.line} is not read: {_why(b)}" for b in bad)]


def _why(bad: "BadLine") -> str:
    from benchmeter.files.table_file import one_line

    return one_line(str(bad.error))
