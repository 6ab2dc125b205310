"""What all commands share: options, and errors that are one sentence."""

import argparse
import json
import re
import sys
from collections.abc import Sequence
from typing import Any, NoReturn

from benchmeter.errors import InputError

__all__ = ["Parser", "common_options", "print_json", "refuse_broken_text"]


class Parser(argparse.ArgumentParser):
    """Raises InputError instead of printing usage and leaving."""

    def __init__(self, *arguments: Any, **options: Any) -> None:
        super().__init__(*arguments, **options)
        # -5C after an option is a value: without this only bare numbers may be negative.
        self._negative_number_matcher = re.compile(r"-[\d.,]")

    def error(self, message: str) -> NoReturn:
        advice = f"See: {self.prog} --help"
        raise InputError(f"{message[0].upper()}{message[1:].rstrip('.')}.", advice)


def refuse_broken_text(arguments: Sequence[str]) -> None:
    """Bytes that are no text in the terminal's encoding could be neither stored nor shown.

    Raises:
        InputError: there are some.
    """
    for text in arguments:
        if any("\ud800" <= sign <= "\udfff" for sign in text):
            shown = text.encode("utf-8", "replace").decode()[:40]
            raise InputError(f"“{shown}” holds bytes that are no text.", "Type it again.")


def common_options() -> argparse.ArgumentParser:
    """`--data DIR` and `--json`, which every command takes."""
    common = argparse.ArgumentParser(add_help=False)
    common.add_argument("--data", metavar="DIR", help="data folder of its own")
    common.add_argument("--json", action="store_true", help="one JSON document on standard output")
    return common


def print_json(document: Any) -> None:
    """One JSON document on standard output; NaN is never written."""
    json.dump(document, sys.stdout, ensure_ascii=False, allow_nan=False, indent=2)
    sys.stdout.write("\n")
