"""The settings file."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "unreadable": (
        "The settings in {path} cannot be read, so the standard settings are used.",
        "Check who may read the data folder.",
    ),
    "broken": (
        "The settings file is broken ({why:whole}), so the standard settings are used.",
        "The broken file is kept as {aside:whole}; choose your settings again.",
    ),
    "broken_and_left": (
        "The settings file is broken ({why:whole}), so the standard settings are used.",
        "Correct or remove {path}; it is left as it is until you change a setting.",
    ),
    "not_written": (
        "The settings could not be written, so they hold until you close benchmeter.",
        "Check who may write to {folder}, and that the disk is not full.",
    ),
}
