"""Settings: what one person prefers."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from benchmeter.conformity.accuracy import parse_accuracy
from benchmeter.errors import InputError
from benchmeter.files.preferences import Preferences
from benchmeter.reports.label_stock import LabelStock
from benchmeter.words.presentation import Presentation

__all__ = ["PALETTE", "ZOOMS", "Setting", "SettingsScene", "accuracy_fault", "settings_scene"]

ZOOMS = (100, 110, 125, 150, 175, 200)
PALETTE = "palette"


@dataclass(frozen=True, slots=True)
class Setting:
    """One choice.

    Attributes:
        option: name of the preference.
        choices: texts with their values.
        value: the one that holds.
    """

    option: str
    title: str
    choices: tuple[tuple[str, Any], ...]
    value: Any


@dataclass(frozen=True, slots=True)
class SettingsScene:
    """The choices, palettes first and labels last, and the accuracy lines of the meter."""

    settings: tuple[Setting, ...]
    accuracy: str
    next_step: str


def settings_scene(
    preferences: Preferences, stocks: Sequence[LabelStock], tell: Presentation
) -> SettingsScene:
    """The settings as they are to be drawn.

    Args:
        stocks: labels that tags may be printed on.
    """
    text = tell.text
    table: tuple[tuple[str, str, tuple[tuple[str, Any], ...]], ...] = (
        (
            PALETTE,
            text("page_settings.colours"),
            (
                (text("page_settings.day"), "day"),
                (text("page_settings.night"), "night"),
                (text("page_settings.sunlight"), "sunlight"),
            ),
        ),
        (
            "zoom",
            text("page_settings.size_everything_ctrl_ctrl"),
            tuple((f"{percent} %", percent) for percent in ZOOMS),
        ),
        (
            "temperature_unit",
            text("page_settings.temperatures"),
            (
                (text("page_settings.degrees_fahrenheit_f"), "°F"),
                (text("page_settings.degrees_celsius_c"), "°C"),
            ),
        ),
        (
            "decimal_sign",
            text("page_settings.decimal_sign_both_understood"),
            (
                (text("page_settings.point_39_2"), "."),
                (text("page_settings.comma_39_2"), ","),
            ),
        ),
        (
            "sound",
            text("page_settings.sound"),
            (
                (text("page_settings.rhythm_good_bad_look"), True),
                (text("page_settings.off"), False),
            ),
        ),
        (
            "decision_rule",
            text("page_settings.decision_rule_next_check"),
            (
                (text("page_settings.guarded_meter_s_uncertainty"), "guarded"),
                (text("page_settings.simple_reading_alone_counts"), "simple"),
            ),
        ),
        (
            "tag_stock",
            text("page_settings.tags_printed"),
            tuple((stock.title, stock.name) for stock in stocks),
        ),
    )
    settings = tuple(
        Setting(option, title, choices, getattr(preferences, option))
        for option, title, choices in table
    )
    following = text("page_settings.choose_takes_effect_at")
    return SettingsScene(settings, preferences.accuracy, following)


def accuracy_fault(typed: str, tell: Presentation) -> str:
    """Why these accuracy lines cannot be used; "" where they can, or are empty."""
    try:
        if typed.strip():
            parse_accuracy(typed.strip())
    except InputError as fault:
        return str(tell.tell(fault))
    return ""
