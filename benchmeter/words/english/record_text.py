"""A stored session in the terminal."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "untitled": "Session",
    "meter": "Meter: {words:whole}",
    "recovery": "Recovery: {words:whole}",
    "no_channel": "No channel.",
    "channel": "{channel:whole}: {count} readings",
    "channel_of": "{channel:whole}: {count} readings of {quantities:whole}",
    "stretch_unknown": "from {clock}: {count} readings, what was measured is not known",
    "stretch_empty": "from {clock}: {count} readings of {quantity}, none with a value",
    "stretch": "from {clock}: {count} readings of {quantity}, {low:whole} to {high:whole}",
    "part": "{part:whole} ({label:whole}): {verdict:whole}",
}
