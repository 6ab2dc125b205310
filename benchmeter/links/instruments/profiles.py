"""Profiles from files: those that come with the program, and the user's own."""

from pathlib import Path

import msgspec

from benchmeter.errors import DataFileError, Message
from benchmeter.files.folders import Folders
from benchmeter.files.toml_folder import TomlFolder
from benchmeter.links.instruments.profile import Profile
from benchmeter.links.instruments.profile_checks import faults_of

__all__ = ["all_profiles", "load_profile", "read_profile"]


def all_profiles(folders: Folders) -> tuple[tuple[Profile, ...], tuple[DataFileError, ...]]:
    """Every profile by name, and what is wrong with the files that cannot be used."""
    return _PROFILES.all(folders)


def load_profile(name: str, folders: Folders) -> Profile:
    """The profile of that name.

    Raises:
        InputError: there is no such profile.
        DataFileError: its file is broken.
    """
    return _PROFILES.load(name, folders)


def read_profile(path: Path) -> Profile:
    """The profile in a file, named after the file.

    Raises:
        DataFileError: it cannot be read, or a field in it is wrong.
    """
    return _PROFILES.read(path)


def _named(profile: Profile, name: str) -> Profile:
    return msgspec.structs.replace(profile, name=name)


_PROFILES: TomlFolder[Profile] = TomlFolder(
    "instruments", Profile, Message("files.profile"), _named, faults_of
)
