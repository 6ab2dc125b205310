"""TOML files of the program and of the user: which one counts, and what is wrong in it."""

import codecs
import re
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TypeVar

import msgspec

from benchmeter.errors import DataFileError
from benchmeter.files.toml_lines import located

__all__ = ["files_by_name", "in_words", "read_all", "read_toml", "where_wrong"]

_T = TypeVar("_T")


def files_by_name(*places: Path) -> dict[str, Path]:
    """The TOML files in some folders by their name without ending; the last folder wins."""
    return {path.stem: path for place in places for path in sorted(place.glob("*.toml"))}


def read_all(
    files: Mapping[str, Path], read: Callable[[Path], _T]
) -> tuple[tuple[_T, ...], tuple[DataFileError, ...]]:
    """What every file holds, by name, and what is wrong with those that cannot be used."""
    found, errors = [], []
    for _, path in sorted(files.items()):
        try:
            found.append(read(path))
        except DataFileError as error:
            errors.append(error)
    return tuple(found), tuple(errors)


def read_toml(path: Path, kind: type[_T], thing: str, advice: str) -> _T:
    """What a file holds, by the types of its fields alone.

    Args:
        thing: what the file describes: "a profile".
        advice: what to do where it is broken.

    Raises:
        DataFileError: it cannot be read, or a field in it is wrong.
    """
    try:
        # Some editors put a byte order mark before the text.
        data = path.read_bytes().removeprefix(codecs.BOM_UTF8)
        return msgspec.toml.decode(data, type=kind)
    except OSError as error:
        raise DataFileError(
            f"{path} cannot be read: {error.strerror}.", "Check the file and its permissions."
        ) from error
    except UnicodeDecodeError as error:
        raise DataFileError(f"{path} is not UTF-8 text.", "Save it as UTF-8.") from error
    except msgspec.DecodeError as error:  # the parent of ValidationError
        raise DataFileError(
            f"{path}: {located(data.decode(errors='replace'), in_words(str(error), thing))}.",
            advice,
            str(error),
        ) from error
    except (ValueError, RecursionError) as error:  # a number or a nesting that nobody writes
        raise DataFileError(f"{path}: it is no TOML that can be read.", advice, str(error)) from (
            error
        )


def where_wrong(path: Path, faults: Sequence[str]) -> str:
    """Faults that begin with their field, each with its line in the file; no full stop."""
    text = path.read_text(encoding="utf-8-sig", errors="replace")
    return f"{path}: {'; '.join(located(text, fault) for fault in faults)}"


_TYPES = {
    "int": "a whole number",
    "float": "a number",
    "str": "text in quotes",
    "bool": "true or false",
    "array": "a list",
    "object": "a table",
    "date": "a date like 2026-11-30, without quotes",
    "null": "absent",
}


def in_words(message: str, thing: str) -> str:
    """What msgspec found, as "line.baud must be a whole number"."""
    found = re.fullmatch(r"(?s)(.*?)(?: - at `(?:key in )?\$\.?(.*)`)?", message)
    what, place = (found[1], found[2] or "") if found else (message, "")
    if match := re.fullmatch(r"Expected `(.*?)`(?:, got `.*`)?", what):
        kinds = [_TYPES.get(kind, kind) for kind in match[1].split(" | ") if kind != "null"]
        return f"{place or 'the file'} must be {' or '.join(kinds)}"
    if match := re.fullmatch(r"Object contains unknown field `(.*)`", what):
        return f"{_joined(place, match[1])} is not a field of {thing}"
    if match := re.fullmatch(r"Object missing required field `(.*)`", what):
        return f"{_joined(place, match[1])} is missing"
    if match := re.fullmatch(r"Invalid (?:enum )?value (.*)", what):
        if place:
            return f"{place} cannot be {match[1]}"
        return f"it is no TOML: {match[1]}"
    return f"{place}: {what}" if place else what


def _joined(place: str, field: str) -> str:
    return f"{place}.{field}" if place else field
