"""`benchmeter COMMAND …`: picks the command and turns errors into exit states.

Exit status: 0 done, 2 the input is wrong, 1 the work failed.
"""

import argparse
import importlib
import sys
from collections.abc import Sequence

from benchmeter import __version__
from benchmeter.commands.parsing import Parser, common_options, refuse_broken_text
from benchmeter.errors import DataFileError, InputError, NoSuchRecord, WorldError
from benchmeter.words.presentation import Presentation

__all__ = ["run"]

COMMANDS = {
    "ports": "serial ports, and which profile fits",
    "judge": "the verdict on a part, without a session",
    "compute": "one computation",
    "record": "record a session",
    "sessions": "what is in the store",
    "show": "one session",
    "recheck": "decode and judge again from the raw record",
    "report": "a page for the customer",
    "tag": "tags to stick on the parts that were judged",
}


def run(arguments: Sequence[str]) -> int:
    """Run one command; errors go to standard error as one sentence each."""
    try:
        refuse_broken_text(arguments)
        args = _parser(arguments).parse_args(arguments)
        return int(args.run(args))
    except (InputError, DataFileError, NoSuchRecord) as error:
        print(f"benchmeter: {Presentation().tell(error)}", file=sys.stderr)
        return 2
    except WorldError as error:
        print(f"benchmeter: {Presentation().tell(error)}", file=sys.stderr)
        return 1
    except BrokenPipeError:
        sys.stderr.close()  # the reader has gone: nobody is there to be told
        return 1


def _parser(arguments: Sequence[str]) -> argparse.ArgumentParser:
    """Only the module of the command that is called is imported: it must start fast."""
    parser = Parser(
        prog="benchmeter",
        description="Find the failed part by measurement, prove the replacement, prove the "
        "recovery, keep the readings. Without a command the window opens.",
        epilog="--simulate [SCENARIO] opens the window with the simulated bench running.",
    )
    parser.add_argument("--version", action="version", version=f"benchmeter {__version__}")
    commands = parser.add_subparsers(metavar="COMMAND", required=True, parser_class=Parser)
    called = next((a for a in arguments if a in COMMANDS), None)
    for name, about in COMMANDS.items():
        if called in (None, name):
            module = importlib.import_module(f"benchmeter.commands.{name}")
            module.add_parser(commands, name, help=about, parents=[common_options()])
        else:
            commands.add_parser(name, help=about)
    return parser
