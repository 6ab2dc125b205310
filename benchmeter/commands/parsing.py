"""What all commands share: options, and errors that are one sentence."""

import argparse
import json
import re
import sys
from collections.abc import Iterator, Sequence
from typing import Any, NoReturn

from benchmeter.commands.output import knows_every_letter
from benchmeter.errors import InputError
from benchmeter.words.plain_text import plain_json
from benchmeter.words.presentation import PLAIN, Presentation

__all__ = ["Parser", "common_options", "help_text", "print_json", "refuse_broken_text"]


class Parser(argparse.ArgumentParser):
    """Raises InputError instead of printing usage and leaving; its words are the catalogue's."""

    def __init__(self, *arguments: Any, say: Presentation = PLAIN, **options: Any) -> None:
        wants_help = options.pop("add_help", True)
        options["add_help"] = False
        super().__init__(*arguments, **options)
        self.say = say
        # -5C after an option is a value: without this only bare numbers may be negative.
        self._negative_number_matcher = re.compile(r"-[\d.,]")
        if wants_help:  # options that others share keep argparse's titles, by which they are joined
            self._positionals.title = say.text("commands.arguments")
            self._optionals.title = say.text("commands.options")
            self.option("-h", "--help", action="help", help="commands.show_help")

    def option(self, *names: str, help: str, **options: Any) -> None:
        """Add an argument. `help`: code of the catalogue."""
        self.add_argument(*names, help=help_text(self.say, help), **options)

    def _print_message(self, message: str, file: Any = None) -> None:
        """Print help or version; argparse itself takes no notice of an output that is full."""
        (file or sys.stderr).write(message)

    def error(self, message: str) -> NoReturn:
        said = f"{message[0].upper()}{message[1:].rstrip('.')}"
        raise InputError("commands.not_parsed", said=said, program=self.prog)


def help_text(say: Presentation, code: str, **parameters: Any) -> str:
    """A text of the catalogue for argparse, which takes a percent sign for a field."""
    return say.text(code, **parameters).replace("%", "%%")


def refuse_broken_text(arguments: Sequence[str]) -> None:
    """Bytes that are no text in the terminal's encoding could be neither stored nor shown.

    Raises:
        InputError: there are some.
    """
    for text in arguments:
        if any("\ud800" <= sign <= "\udfff" for sign in text):
            shown = text.encode("utf-8", "replace").decode()
            raise InputError("commands.bytes_are_no_text", shown=shown)


def common_options(say: Presentation = PLAIN) -> Parser:
    """`--data DIR` and `--json`, which every command takes."""
    common = Parser(add_help=False, say=say)
    common.option("--data", metavar="DIR", help="commands.data_folder")
    common.option("--json", action="store_true", help="commands.as_json")
    return common


def print_json(document: dict[str, Any]) -> None:
    """One JSON document on standard output; NaN is never written.

    What an iterator gives is written as it comes, an item a line: it may be longer than memory.
    """
    write = sys.stdout.write
    before = "{"
    for name, value in document.items():
        write(f"{before}\n  {_json(name)}: ")
        if isinstance(value, Iterator):
            inside = "["
            for item in value:
                write(f"{inside}\n    {_json(item)}")
                inside = ","
            write("[]" if inside == "[" else "\n  ]")
        else:
            write(_json(value, indent=2).replace("\n", "\n  "))
        before = ","
    write("\n}\n")


def _json(value: Any, indent: int | None = None) -> str:
    ascii_only = not knows_every_letter()
    text = json.dumps(value, ensure_ascii=ascii_only, allow_nan=False, indent=indent)
    return plain_json(text)
