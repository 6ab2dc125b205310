"""`benchmeter`: the window, or with a command the command line."""

import os
import sys
from collections.abc import Sequence

__all__ = ["main"]


def main(arguments: Sequence[str] | None = None) -> int:
    """Run; returns the exit status."""
    given = list(sys.argv[1:] if arguments is None else arguments)
    if _wants_window(given):
        return _window(given)
    from benchmeter.commands.main import run

    return run(given)


def _wants_window(given: list[str]) -> bool:
    """No command: nothing at all, or options of the window only."""
    first = next((a for a in given if a != "--data" and not a.startswith("--data=")), None)
    if "--data" in given[:1]:
        first = given[2] if len(given) > 2 else None
    return first is None or first == "--simulate"


def _window(given: list[str]) -> int:
    from benchmeter.commands.parsing import Parser, common_options, refuse_broken_text
    from benchmeter.errors import InputError, WorldError
    from benchmeter.files.resources import STANDARD_SCENARIO

    try:
        refuse_broken_text(given)
        parser = Parser(prog="benchmeter", parents=[common_options()], add_help=False)
        parser.add_argument(
            "--simulate", nargs="?", const=STANDARD_SCENARIO, metavar="SCENARIO", default=None
        )
        args = parser.parse_args(given)
        if not _has_display():
            from benchmeter.commands.demonstrate import run as play

            return play(args)
        from benchmeter.app import run
        from benchmeter.commands.data_folder import folders_of

        return run(folders_of(args), simulate=args.simulate)
    except WorldError as error:
        from benchmeter.words.presentation import Presentation

        print(f"benchmeter: {Presentation().tell(error)}", file=sys.stderr)
        return 2 if isinstance(error, InputError) else 1


def _has_display() -> bool:
    if sys.platform in ("win32", "darwin"):
        return True
    named = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    return any(os.environ.get(name) for name in named)


if __name__ == "__main__":
    sys.exit(main())
