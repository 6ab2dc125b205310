"""Kinds of parts from files: those that come with the program, and the user's own.

A user's file takes the place of the program's of the same name, even when it is broken: what the
user has changed is never replaced in silence.
"""

from pathlib import Path

import msgspec

from benchmeter.errors import DataFileError, InputError
from benchmeter.files.folders import Folders
from benchmeter.files.resources import resource
from benchmeter.files.toml_files import files_by_name, in_words, read_all, read_toml, where_wrong
from benchmeter.parts.part_kind import PartKind
from benchmeter.parts.part_kind_checks import faults_of

__all__ = ["all_part_kinds", "kind_in", "kind_text", "load_part_kind", "read_part_kind"]

_ADVICE = "Correct the file; until then this kind of part cannot be used."


def all_part_kinds(folders: Folders) -> tuple[tuple[PartKind, ...], tuple[DataFileError, ...]]:
    """Every kind of part by name, and what is wrong with the files that cannot be used."""
    return read_all(_files(folders), read_part_kind)


def load_part_kind(name: str, folders: Folders) -> PartKind:
    """The kind of part of that name.

    Raises:
        InputError: there is no such kind.
        DataFileError: its file is broken.
    """
    files = _files(folders)
    if name not in files:
        raise InputError(
            f"There is no kind of part “{name[:40]}”.",
            f"Choose one of {', '.join(sorted(files))}, or put a file with that name and the"
            f" ending .toml into {folders.parts}.",
        )
    return read_part_kind(files[name])


def read_part_kind(path: Path) -> PartKind:
    """The kind of part in a file, named after the file.

    Raises:
        DataFileError: it cannot be read, or a field in it is wrong.
    """
    kind = msgspec.structs.replace(
        read_toml(path, PartKind, "a kind of part", _ADVICE), name=path.stem
    )
    faults = faults_of(kind)
    if faults:
        raise DataFileError(f"{where_wrong(path, faults)}.", _ADVICE)
    return kind


def kind_text(kind: PartKind) -> str:
    """The kind as JSON, in the fields of its file and its name: what a record keeps."""
    return msgspec.json.encode(kind).decode()


def kind_in(text: str) -> PartKind:
    """The kind that `kind_text` wrote.

    Raises:
        InputError: no such JSON, or a field in it is wrong.
    """
    advice = "Choose the kind of part again."
    try:
        kind = msgspec.json.decode(text, type=PartKind)
    except msgspec.DecodeError as error:  # the parent of ValidationError
        why = in_words(str(error), "a kind of part")
        raise InputError(f"The kind of part cannot be read: {why}.", advice) from error
    except (ValueError, RecursionError) as error:
        raise InputError("The kind of part cannot be read.", advice, str(error)) from error
    faults = faults_of(kind)
    if faults:
        raise InputError(f"The kind of part cannot be used: {'; '.join(faults)}.", advice)
    return kind


def _files(folders: Folders) -> dict[str, Path]:
    return files_by_name(resource("parts"), folders.parts)
