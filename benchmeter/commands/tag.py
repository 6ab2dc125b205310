"""`benchmeter tag ID --to FILE`: tags to stick on the parts that were judged."""

import argparse
from pathlib import Path
from typing import Any

from benchmeter.commands.data_folder import folders_of, open_store, output_file
from benchmeter.commands.parsing import help_text, print_json
from benchmeter.words.presentation import Presentation

__all__ = ["add_parser"]

_SIZE = "62x29"


def add_parser(commands: Any, name: str, **options: Any) -> None:
    say: Presentation = options["say"]
    parser = commands.add_parser(
        name, formatter_class=argparse.RawDescriptionHelpFormatter, epilog=_sizes(say), **options
    )
    parser.option("id", metavar="ID", help="commands.help_tag_id")
    parser.option("--to", metavar="FILE", required=True, help="commands.help_tag_to")
    parser.option("--replace", action="store_true", help="commands.help_replace")
    parser.option("--check", type=int, metavar="N", help="commands.help_tag_check")
    stock = parser.add_mutually_exclusive_group()
    stock.add_argument(
        "--size", metavar="NAME", help=help_text(say, "commands.help_size", size=_SIZE)
    )
    stock.add_argument("--sheet", metavar="NAME", help=help_text(say, "commands.help_sheet"))
    parser.option(
        "--start",
        type=int,
        default=1,
        metavar="PLACE",
        help="commands.help_start",
    )
    parser.set_defaults(run=_run)


def _sizes(say: Presentation) -> str:
    from benchmeter.reports.label_stock import shipped_stock

    lines = {True: [say.text("commands.sheets")], False: [say.text("commands.sizes")]}
    for stock in shipped_stock():
        lines[stock.sheet is not None].append(f"  {stock.name:14} {stock.title}")
    own = say.text("commands.own_labels")
    return "\n".join((*lines[False], "", *lines[True], "", own))


def _run(args: argparse.Namespace) -> int:
    from benchmeter.reports.label_stock import load_stock
    from benchmeter.reports.tag_code import parse_tag_code
    from benchmeter.tasks.writing import Tags
    from benchmeter.window.headless import drawing, session_picture

    wanted, coded = parse_tag_code(args.id)
    name = args.sheet or args.size or _SIZE
    stock = load_stock(name, folders_of(args), sheet=args.sheet is not None)
    path = Path(args.to)
    check = args.check if args.check is not None else coded
    with open_store(args) as store, drawing():
        to = output_file(args, path)
        tags = Tags(wanted, to, stock, check, args.start).write(store, session_picture)
    if args.json:
        print_json(
            {
                "file": str(path.resolve()),
                "stock": stock.name,
                "tags": [
                    {"check": t.number, "part": t.part, "verdict": t.verdict.value, "code": t.code}
                    for t in tags
                ],
            }
        )
    else:
        for tag in tags:
            print(f"{tag.part}: {tag.word.lower()}")
        print(args.say.text("commands.written", path=path.resolve()))
    return 0
