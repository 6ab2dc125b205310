"""`compute replacement`: what of a stock list may replace a part."""

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from benchmeter.commands.computations.answer import Answer, aligned, answer_with
from benchmeter.commands.data_folder import folders_of, open_store

if TYPE_CHECKING:
    from benchmeter.checking.replacement import Ranked
    from benchmeter.checking.stock import BadLine
    from benchmeter.tasks.replacing import ForLabel

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
    from benchmeter.conformity.verdict import Rule
    from benchmeter.tasks.replacing import replace_label

    stock = args.stock or folders_of(args).stock
    with open_store(args) as store:
        found = replace_label(
            store,
            args.label,
            stock,
            tolerance=args.tolerance,
            shape=args.shape,
            session=args.session,
            rule=Rule(args.rule),
        )
    assumes = _ASSUMES if found.shape else f"{_ASSUMES}; the shape is not compared"
    return Answer(
        {
            "items": [_document(line, found) for line in found.lines],
            "not_read": [{"line": b.line, "why": _why(b)} for b in found.stock.bad],
        },
        _SOURCE,
        assumes,
        tuple(_text(found)),
    )


def _document(line: "Ranked", found: "ForLabel") -> dict[str, Any]:
    from benchmeter.words.replacements import reason_words

    candidate, item = line.candidate, line.candidate.item
    return {
        "line": item.line,
        "label": item.rating.text,
        "shape": item.shape,
        "count": item.count,
        "place": item.place,
        "own_number": item.own_number,
        "fit": candidate.fit.value,
        "reasons": [r.value for r in candidate.reasons],
        "why": [reason_words(r, item, found.old, found.shape) for r in candidate.reasons],
        "measured": line.standing.value,
        "offered": line.offered,
    }


def _text(found: "ForLabel") -> list[str]:
    from benchmeter.checking.replacement import Fit
    from benchmeter.words.replacements import item_words, reason_words, standing_words

    lines = []
    for ranked in found.lines:
        candidate, item = ranked.candidate, ranked.candidate.item
        lines += aligned([(candidate.fit.value, item_words(item))])
        lines += [f"    {reason_words(r, item, found.old, found.shape)}" for r in candidate.reasons]
        if candidate.fit is not Fit.DOES_NOT_FIT:
            lines.append(f"    {standing_words(ranked.standing)}")
    if all(line.candidate.fit is Fit.DOES_NOT_FIT for line in found.lines):
        lines.append("Nothing on the list fits.")
    return [*lines, *(f"Line {b.line} is not read: {_why(b)}" for b in found.stock.bad)]


def _why(bad: "BadLine") -> str:
    from benchmeter.files.table_file import one_line
    from benchmeter.words.presentation import Presentation

    return one_line(str(Presentation().tell(bad.error)))
