"""What the user prefers: one declaration an option, kept in a TOML file of the data folder."""

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal

import msgspec

from benchmeter.errors import DataFileError, StoreReadOnly
from benchmeter.files.folders import Folders
from benchmeter.files.input_file import read_input
from benchmeter.files.output_file import writing_whole

__all__ = [
    "LABELS_KEPT",
    "DecimalSign",
    "Language",
    "LoadedPreferences",
    "PaletteName",
    "Preferences",
    "RuleName",
    "TemperatureUnit",
    "load_preferences",
    "save_preferences",
]

PaletteName = Literal["day", "night", "sunlight"]
TemperatureUnit = Literal["°F", "°C"]
DecimalSign = Literal[".", ","]
Language = Literal["english", "pseudo"]
RuleName = Literal["guarded", "simple"]

LABELS_KEPT = 8


class Preferences(msgspec.Struct, frozen=True, kw_only=True):
    """The user's preferences. Never a measured value: those live in the store.

    Attributes:
        palette: colours for the shop, for the dark, for the sun.
        zoom: size of everything, percent.
        temperature_unit: what temperatures are shown in.
        decimal_sign: what numbers are shown with; both are understood when typed.
        sound: whether verdicts and notices are heard.
        accuracy: accuracy line of the capacitance meter; "" if not known.
        labels: rating labels typed last, newest first.
        language: of the texts; "pseudo" shows what is not translated.
        tag_stock: name of the label that tags are printed on.
        decision_rule: agreed before the measurement.
    """

    palette: PaletteName = "day"
    zoom: Annotated[int, msgspec.Meta(ge=100, le=200)] = 100
    temperature_unit: TemperatureUnit = "°F"
    decimal_sign: DecimalSign = "."
    sound: bool = True
    accuracy: str = ""
    labels: tuple[str, ...] = ()
    language: Language = "english"
    tag_stock: str = "62x29"
    decision_rule: RuleName = "guarded"

    def with_label(self, label: str) -> "Preferences":
        """Remember a label as the newest; each label once."""
        others = tuple(known for known in self.labels if known != label)
        return msgspec.structs.replace(self, labels=(label, *others)[:LABELS_KEPT])


@dataclass(frozen=True, slots=True)
class LoadedPreferences:
    """The preferences, and what was wrong with their file if they had to be the defaults."""

    preferences: Preferences
    problem: DataFileError | None = None


def load_preferences(folders: Folders) -> LoadedPreferences:
    """Read the file; a broken one is kept aside and the defaults are used."""
    path = folders.settings
    try:
        data = read_input(path, DataFileError)
    except DataFileError as fault:
        problem = DataFileError("preferences.unreadable", path=path, detail=str(fault))
        return LoadedPreferences(Preferences(), problem if path.exists() else None)
    try:
        return LoadedPreferences(msgspec.toml.decode(data, type=Preferences))
    except (msgspec.DecodeError, UnicodeDecodeError) as fault:
        aside = _kept_aside(path)
        if aside is None:
            problem = DataFileError("preferences.broken_and_left", why=str(fault), path=path)
        else:
            problem = DataFileError("preferences.broken", why=str(fault), aside=aside.name)
        return LoadedPreferences(Preferences(), problem)


def _kept_aside(path: Path) -> Path | None:
    """The broken file by its new name; None where it cannot have one."""
    number = 1
    while (aside := path.with_name(f"{path.stem}.broken-{number}{path.suffix}")).exists():
        number += 1
    try:
        path.rename(aside)
    except OSError:
        return None
    return aside


def save_preferences(folders: Folders, preferences: Preferences) -> None:
    """Write the file whole or not at all.

    Raises:
        StoreReadOnly: the data folder cannot be written.
    """
    import tomli_w

    data = tomli_w.dumps(msgspec.to_builtins(preferences)).encode()
    try:
        folders.make()
        with writing_whole(folders.settings) as file:
            file.write(data)
    except OSError as fault:
        raise StoreReadOnly(
            "preferences.not_written", folder=folders.data, detail=str(fault)
        ) from fault
