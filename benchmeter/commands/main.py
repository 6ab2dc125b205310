"""`benchmeter COMMAND …`: picks the command and turns errors into exit states.

Exit status: 0 done, 2 the input is wrong, 1 the work failed.
"""

import importlib
import sys
from collections.abc import Sequence
from contextlib import suppress

from benchmeter import __version__
from benchmeter.commands.output import telling_of_output
from benchmeter.commands.parsing import Parser, common_options, refuse_broken_text
from benchmeter.commands.terminal import print_plainly
from benchmeter.errors import DataFileError, InputError, NoSuchRecord, WorldError
from benchmeter.words.presentation import PLAIN, Presentation

__all__ = ["COMMANDS", "fails", "parser_of", "run"]

COMMANDS = {
    "ports": "commands.ports",
    "judge": "commands.judge",
    "compute": "commands.compute",
    "record": "commands.record",
    "sessions": "commands.sessions",
    "show": "commands.show",
    "visit": "commands.visit",
    "recheck": "commands.recheck",
    "report": "commands.report",
    "tag": "commands.tag",
}


def run(arguments: Sequence[str], say: Presentation = PLAIN) -> int:
    """Run one command; errors go to standard error as one sentence each."""
    print_plainly()
    try:
        with telling_of_output(say):
            refuse_broken_text(arguments)
            args = parser_of(arguments, say).parse_args(arguments)
            return int(args.run(args))
    except WorldError as error:
        return fails(error, say)


def fails(error: WorldError, say: Presentation) -> int:
    """Tell an error; returns the exit status."""
    with suppress(OSError):  # nobody is there to be told
        print(f"benchmeter: {say.tell(error)}", file=sys.stderr)
    return 2 if isinstance(error, InputError | DataFileError | NoSuchRecord) else 1


def parser_of(arguments: Sequence[str], say: Presentation) -> Parser:
    """Only the module of the command that is called is imported: it must start fast."""
    parser = Parser(
        prog="benchmeter",
        description=say.text("commands.about"),
        epilog=say.text("commands.simulate"),
        say=say,
    )
    version = f"benchmeter {__version__}"
    parser.option("--version", action="version", version=version, help="commands.version")
    parser.set_defaults(say=say)
    commands = parser.add_subparsers(metavar="COMMAND", required=True, parser_class=Parser)
    called = next((a for a in arguments if a in COMMANDS), None)
    for name, about in COMMANDS.items():
        if called in (None, name):
            module = importlib.import_module(f"benchmeter.commands.{name}")
            module.add_parser(
                commands, name, say=say, help=say.text(about), parents=[common_options(say)]
            )
        else:
            commands.add_parser(name, say=say, help=say.text(about))
    return parser
