"""Kinds of parts: what a verdict takes for granted, how a nameplate value is written."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "tolerance_from_label": "tolerance: {tolerance:whole}, from the label",
    "tolerance_from_user": "tolerance: {tolerance:whole}, told by the user",
    "default": "{title:whole}: {value:whole}, taken as usual ({source:whole})",
    "no_source": "no source",
    "limits_of": "limits of {names:whole}: {source:whole}",
    "a_range": "a range",
    "else": "else {value:whole}",
    "if_known": "if known",
    "given": "{name} ({how:whole})",
    "live": "Measured in a live circuit: for qualified persons only.",
}
