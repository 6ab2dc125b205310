"""`benchmeter report ID --to FILE`: a page for the customer."""

import argparse
from dataclasses import replace
from pathlib import Path
from typing import Any

from benchmeter.commands.data_folder import folders_of, open_store, output_file
from benchmeter.commands.parsing import print_json

__all__ = ["add_parser"]


def add_parser(commands: Any, name: str, **options: Any) -> None:
    parser = commands.add_parser(name, **options)
    parser.add_argument("id", metavar="ID")
    parser.option("--to", metavar="FILE", required=True, help="commands.help_report_to")
    parser.option("--replace", action="store_true", help="commands.help_replace")
    parser.option("--letter", action="store_true", help="commands.help_letter")
    parser.option("--fahrenheit", action="store_true", help="commands.help_fahrenheit")
    parser.set_defaults(run=_run)


def _run(args: argparse.Namespace) -> int:
    from benchmeter.files.preferences import load_preferences
    from benchmeter.tasks.writing import Report
    from benchmeter.window.headless import drawing, session_picture
    from benchmeter.words.presentation import Presentation

    preferred = Presentation.of(load_preferences(folders_of(args)).preferences)
    presentation = replace(preferred, temperature_unit="°F" if args.fahrenheit else "°C")
    with open_store(args) as store, drawing():
        to = output_file(args, Path(args.to))
        Report(args.id, to, args.letter, presentation).write(store, session_picture)
    if args.json:
        print_json({"id": args.id, "file": str(Path(args.to).resolve())})
    else:
        print(args.say.text("commands.written", path=Path(args.to).resolve()))
    return 0
