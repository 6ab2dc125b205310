"""Instruments that need nothing of the computer that the tests run on."""

from pathlib import Path

from benchmeter.files.folders import Folders
from benchmeter.links.instruments.profile import Profile
from benchmeter.links.instruments.profiles import load_profile


def text_profile(name: str = "text-value-unit") -> Profile:
    """A profile that comes with the program, whatever the user has."""
    return load_profile(name, Folders(Path("no such folder")))
