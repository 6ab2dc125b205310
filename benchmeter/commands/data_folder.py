"""Opening the data folder that a command works on."""

import argparse
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from benchmeter.files.folders import Folders

if TYPE_CHECKING:
    from benchmeter.record.store import Store

__all__ = ["folders_of", "open_store"]


def folders_of(args: argparse.Namespace) -> Folders:
    """The folders that `--data` names, or the user's."""
    return Folders(Path(args.data)) if args.data else Folders.of_user()


@contextmanager
def open_store(args: argparse.Namespace, *, write: bool = False) -> "Iterator[Store]":
    """The store of the command's data folder, closed at the end."""
    from benchmeter.record.store import Store

    store = Store.open(folders_of(args), write=write)
    try:
        yield store
    finally:
        store.close()
