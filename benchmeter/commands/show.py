"""`benchmeter show ID`: one session, with its readings, events and verdicts."""

import argparse
from typing import Any

from benchmeter.commands.data_folder import open_store
from benchmeter.commands.parsing import print_json

__all__ = ["add_parser"]


def add_parser(commands: Any, name: str, **options: Any) -> None:
    parser = commands.add_parser(name, **options)
    parser.option("id", metavar="ID", help="commands.help_show_id")
    parser.option("--brief", action="store_true", help="commands.help_brief")
    parser.set_defaults(run=_run)


def _run(args: argparse.Namespace) -> int:
    from benchmeter.reports.record_json import record_json
    from benchmeter.reports.record_text import record_text
    from benchmeter.reports.tag_code import parse_tag_code

    wanted, _check = parse_tag_code(args.id)
    with open_store(args) as store:
        if args.json:
            print_json(record_json(store, wanted, readings=not args.brief))
        else:
            print(record_text(store, wanted, args.say))
    return 0
