"""`benchmeter compute WHAT …`: one computation; each result with its unit and its source."""

import argparse
from typing import Any

from benchmeter.commands.computations import (
    capacitors,
    gauge,
    meter,
    recoveries,
    replacements,
    sensor_readings,
    step_fits,
    supply,
    winding_readings,
)
from benchmeter.commands.computations.step_fits import read_table
from benchmeter.commands.parsing import Parser

__all__ = ["add_parser", "read_table"]


def add_parser(commands: Any, name: str, **options: Any) -> None:
    parser = commands.add_parser(name, **options)
    # The options of every command, here too: they may stand before and after WHAT.
    common = Parser(add_help=False, say=parser.say)
    common.add_argument("--data", metavar="DIR", default=argparse.SUPPRESS, help=argparse.SUPPRESS)
    common.option(
        "--json", action="store_true", default=argparse.SUPPRESS, help="commands.json_here"
    )
    what = parser.add_subparsers(metavar="WHAT", required=True, parser_class=type(parser))
    for subject in (
        capacitors,
        step_fits,
        recoveries,
        supply,
        winding_readings,
        sensor_readings,
        gauge,
        meter,
        replacements,
    ):
        subject.add_computations(what, common, parser.say)
