"""`benchmeter`: the window, or with a command the command line."""

import os
import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from benchmeter.words.presentation import Presentation

__all__ = ["main"]

_INTERRUPTED = 130  # as shells count: 128 and the number of the signal


def main(arguments: Sequence[str] | None = None) -> int:
    """Run; returns the exit status."""
    try:
        return _run(list(sys.argv[1:] if arguments is None else arguments))
    except KeyboardInterrupt:
        return _INTERRUPTED


def _run(given: list[str]) -> int:
    from benchmeter.commands.data_folder import presentation_in

    say = presentation_in(given)
    if _wants_window(given):
        return _window(given, say)
    from benchmeter.commands.main import run

    return run(given, say)


def _wants_window(given: list[str]) -> bool:
    """No command: nothing at all, or options of the window only."""
    first = next((a for a in given if a != "--data" and not a.startswith("--data=")), None)
    if "--data" in given[:1]:
        first = given[2] if len(given) > 2 else None
    return first is None or first == "--simulate"


def _window(given: list[str], say: "Presentation") -> int:
    from benchmeter.commands.main import fails
    from benchmeter.commands.parsing import Parser, common_options, refuse_broken_text
    from benchmeter.commands.terminal import print_plainly
    from benchmeter.errors import WorldError
    from benchmeter.files.resources import STANDARD_SCENARIO

    print_plainly()
    try:
        refuse_broken_text(given)
        parser = Parser(prog="benchmeter", parents=[common_options(say)], add_help=False, say=say)
        parser.add_argument(
            "--simulate", nargs="?", const=STANDARD_SCENARIO, metavar="SCENARIO", default=None
        )
        parser.set_defaults(say=say)
        args = parser.parse_args(given)
        if not _has_display():
            from benchmeter.commands.demonstrate import run as play

            return play(args)
        from benchmeter.app import run
        from benchmeter.commands.data_folder import folders_of

        return run(folders_of(args), simulate=args.simulate)
    except WorldError as error:
        return fails(error, say)


def _has_display() -> bool:
    if sys.platform in ("win32", "darwin"):
        return True
    named = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    return any(os.environ.get(name) for name in named)


if __name__ == "__main__":
    sys.exit(main())
