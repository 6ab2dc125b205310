"""The simulated bench."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "cable_off": (
        "The cable has come off.",
        "Plug it in again; reading goes on by itself.",
    ),
    "not_now": (
        "“{action:whole}” cannot be done at the simulated bench now.",
        "Choose one of the actions that it offers.",
    ),
}
