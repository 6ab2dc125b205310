"""`compute replacement`: what of a stock list may replace a part."""

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from benchmeter.commands.computations.answer import Answer, aligned, answer_with
from benchmeter.commands.data_folder import folders_of, open_store
from benchmeter.commands.parsing import Parser
from benchmeter.words.presentation import Presentation

if TYPE_CHECKING:
    from benchmeter.checking.replacement import Ranked
    from benchmeter.checking.stock import BadLine
    from benchmeter.tasks.replacing import ForLabel

__all__ = ["add_computations"]

_SOURCE = "computations.replacement_source"
_ASSUMES = "computations.replacement_assumes"


def add_computations(what: Any, common: Parser, say: Presentation) -> None:
    """Add `replacement`."""
    parser = what.add_parser(
        "replacement", parents=[common], say=say, help=say.text("computations.replacement")
    )
    parser.option("label", metavar="LABEL", help="computations.help_old_label")
    parser.option("--tolerance", default="", help="computations.help_tolerance")
    parser.option("--shape", default="", metavar="SHAPE", help="computations.help_shape")
    parser.option(
        "--from",
        dest="stock",
        type=Path,
        metavar="STOCK.csv",
        help="computations.stock_columns",
    )
    parser.option(
        "--session",
        metavar="ID",
        help="computations.help_session",
    )
    parser.option(
        "--rule",
        choices=["guarded", "simple"],
        default="guarded",
        help="computations.help_rule",
    )
    answer_with(parser, _replacement)


def _replacement(args: argparse.Namespace) -> Answer:
    from benchmeter.conformity.verdict import Rule
    from benchmeter.tasks.replacing import replace_label

    say: Presentation = args.say
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
    assumes = say.text(_ASSUMES)
    if not found.shape:
        assumes += f"; {say.text('computations.shape_not_compared')}"
    return Answer(
        {
            "items": [_document(line, found, say) for line in found.lines],
            "not_read": [{"line": b.line, "why": _why(b, say)} for b in found.stock.bad],
        },
        say.text(_SOURCE),
        assumes,
        tuple(_text(found, say)),
    )


def _document(line: "Ranked", found: "ForLabel", say: Presentation) -> dict[str, Any]:
    from benchmeter.words.replacement_words import reason_words

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
        "why": [reason_words(r, item, found.old, found.shape, say) for r in candidate.reasons],
        "measured": line.standing.value,
        "offered": line.offered,
    }


def _text(found: "ForLabel", say: Presentation) -> list[str]:
    from benchmeter.checking.replacement import Fit
    from benchmeter.words.replacement_words import item_words, reason_words, standing_words

    lines = []
    for ranked in found.lines:
        candidate, item = ranked.candidate, ranked.candidate.item
        lines += aligned([(candidate.fit.value, item_words(item, say))])
        lines += [
            f"    {reason_words(r, item, found.old, found.shape, say)}" for r in candidate.reasons
        ]
        if candidate.fit is not Fit.DOES_NOT_FIT:
            lines.append(f"    {standing_words(ranked.standing, say)}")
    if all(line.candidate.fit is Fit.DOES_NOT_FIT for line in found.lines):
        lines.append(say.text("computations.nothing_fits"))
    return [
        *lines,
        *(
            say.text("computations.line_not_read", line=b.line, why=_why(b, say))
            for b in found.stock.bad
        ),
    ]


def _why(bad: "BadLine", say: Presentation) -> str:
    from benchmeter.files.table_file import one_line

    return one_line(str(say.tell(bad.error)))
