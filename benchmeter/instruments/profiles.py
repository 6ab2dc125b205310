"""Profiles from files: those that come with the program, and the user's own.

A user's file takes the place of the program's of the same name, even when it is broken: what the
user has changed is never replaced in silence.
"""

import codecs
import re
from pathlib import Path

import msgspec

from benchmeter.errors import DataFileError, InputError
from benchmeter.instruments.profile import Profile
from benchmeter.instruments.profile_checks import faults_of
from benchmeter.settings.folders import Folders
from benchmeter.settings.resources import resource

__all__ = ["all_profiles", "load_profile", "read_profile"]


def all_profiles(folders: Folders) -> tuple[tuple[Profile, ...], tuple[DataFileError, ...]]:
    """Every profile by name, and what is wrong with the files that cannot be used."""
    profiles, errors = [], []
    for _, path in sorted(_files(folders).items()):
        try:
            profiles.append(read_profile(path))
        except DataFileError as error:
            errors.append(error)
    return tuple(profiles), tuple(errors)


def load_profile(name: str, folders: Folders) -> Profile:
    """The profile of that name.

    Raises:
        InputError: there is no such profile.
        DataFileError: its file is broken.
    """
    files = _files(folders)
    if name not in files:
        raise InputError(
            f"There is no instrument profile “{name}”.",
            f"Choose one of {', '.join(sorted(files))}, or put a file {name}.toml into"
            f" {folders.instruments}.",
        )
    return read_profile(files[name])


def read_profile(path: Path) -> Profile:
    """The profile in a file, named after the file.

    Raises:
        DataFileError: it cannot be read, or a field in it is wrong.
    """
    try:
        # Some editors put a byte order mark before the text.
        text = path.read_bytes().removeprefix(codecs.BOM_UTF8)
        profile = msgspec.toml.decode(text, type=Profile)
    except OSError as error:
        raise DataFileError(
            f"{path} cannot be read: {error.strerror}.", "Check the file and its permissions."
        ) from error
    except UnicodeDecodeError as error:
        raise DataFileError(f"{path} is not UTF-8 text.", "Save it as UTF-8.") from error
    except msgspec.DecodeError as error:  # the parent of ValidationError
        raise DataFileError(f"{path}: {_in_words(str(error))}.", _ADVICE, str(error)) from error
    faults = faults_of(profile)
    if faults:
        raise DataFileError(f"{path}: {'; '.join(faults)}.", _ADVICE)
    return msgspec.structs.replace(profile, name=path.stem)


_ADVICE = "Correct the file; until then this profile cannot be used."


def _files(folders: Folders) -> dict[str, Path]:
    places = (resource("instruments"), folders.instruments)
    return {path.stem: path for place in places for path in sorted(place.glob("*.toml"))}


_TYPES = {
    "int": "a whole number",
    "float": "a number",
    "str": "text in quotes",
    "bool": "true or false",
    "array": "a list",
    "object": "a table",
    "null": "absent",
}


def _in_words(message: str) -> str:
    """What msgspec found, as "line.baud must be a whole number"."""
    found = re.fullmatch(r"(?s)(.*?)(?: - at `(?:key in )?\$\.?(.*)`)?", message)
    what, place = (found[1], found[2] or "") if found else (message, "")
    if match := re.fullmatch(r"Expected `(.*?)`(?:, got `.*`)?", what):
        kinds = [_TYPES.get(kind, kind) for kind in match[1].split(" | ") if kind != "null"]
        return f"{place or 'the file'} must be {' or '.join(kinds)}"
    if match := re.fullmatch(r"Object contains unknown field `(.*)`", what):
        return f"{_joined(place, match[1])} is not a field of a profile"
    if match := re.fullmatch(r"Object missing required field `(.*)`", what):
        return f"{_joined(place, match[1])} is missing"
    if match := re.fullmatch(r"Invalid (?:enum )?value (.*)", what):
        if place:
            return f"{place} cannot be {match[1]}"
        return f"it is no TOML: {match[1]}"
    return f"{place}: {what}" if place else what


def _joined(place: str, field: str) -> str:
    return f"{place}.{field}" if place else field
