"""Profiles from files: those that come with the program, and the user's own.

A user's file takes the place of the program's of the same name, even when it is broken: what the
user has changed is never replaced in silence.
"""

from pathlib import Path

import msgspec

from benchmeter.errors import DataFileError, InputError
from benchmeter.files.folders import Folders
from benchmeter.files.resources import resource
from benchmeter.files.toml_files import files_by_name, read_all, read_toml, where_wrong
from benchmeter.links.instruments.profile import Profile
from benchmeter.links.instruments.profile_checks import faults_of

__all__ = ["all_profiles", "load_profile", "read_profile"]


def all_profiles(folders: Folders) -> tuple[tuple[Profile, ...], tuple[DataFileError, ...]]:
    """Every profile by name, and what is wrong with the files that cannot be used."""
    return read_all(_files(folders), read_profile)


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
    profile = read_toml(path, Profile, "a profile", _ADVICE)
    faults = faults_of(profile)
    if faults:
        raise DataFileError(f"{where_wrong(path, faults)}.", _ADVICE)
    return msgspec.structs.replace(profile, name=path.stem)


_ADVICE = "Correct the file; until then this profile cannot be used."


def _files(folders: Folders) -> dict[str, Path]:
    return files_by_name(resource("instruments"), folders.instruments)
