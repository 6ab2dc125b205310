"""Opening the data folder that a command works on."""

import argparse
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from benchmeter.commands.parsing import common_options
from benchmeter.errors import InputError, Message
from benchmeter.files.folders import Folders
from benchmeter.files.output_file import OutputFile
from benchmeter.words.presentation import PLAIN, Presentation

if TYPE_CHECKING:
    from benchmeter.record.store import Store

__all__ = ["folders_of", "open_store", "output_file", "presentation_in"]


def folders_of(args: argparse.Namespace) -> Folders:
    """The folders that `--data` names, or the user's."""
    return Folders(Path(args.data)) if args.data else Folders.of_user()


def output_file(args: argparse.Namespace, path: Path) -> OutputFile:
    """The file that a command is to write."""
    return OutputFile.beside(folders_of(args), path, replace=args.replace)


@contextmanager
def open_store(args: argparse.Namespace, *, write: bool = False) -> "Iterator[Store]":
    """The store of the command's data folder, closed at the end."""
    from benchmeter.record.store import Store
    from benchmeter.record.tables import SCHEMA_VERSION

    store = Store.open(folders_of(args), write=write)
    if store.version != SCHEMA_VERSION:
        newer = store.version > SCHEMA_VERSION
        told = Message("record.view_of_newer" if newer else "record.view_of_older")
        print(args.say.tell(told), file=sys.stderr)
    try:
        yield store
    finally:
        store.close()


def presentation_in(arguments: Sequence[str]) -> Presentation:
    """How this person is told things: the language that is chosen in the window's settings.

    Numbers keep the point and temperatures °C, since scripts read them; `report` has options.
    """
    try:
        named, _ = common_options().parse_known_args(
            [a for a in arguments if a not in ("-h", "--help")]
        )
    except InputError:  # told when the command is read
        return PLAIN
    folders = folders_of(named)
    if not folders.settings.exists():
        return PLAIN
    from benchmeter.files.preferences import load_preferences

    return replace(PLAIN, language=load_preferences(folders).preferences.language)
