"""What a session leaves open."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "residual": "Residual voltage was not measured.",
    "discharge": "Discharge temperature was not recorded: the recovery was not watched.",
    "outdoor": "Outdoor temperature was not recorded.",
    "nothing_else": (
        "Nothing else of the unit was tested: this page tells only of what is listed on it."
    ),
    "part": (
        "{part:whole} ({label:whole}) was begun and got no verdict: not every section was measured."
    ),
    "section": "{what:whole}: not measured.",
    "no_reading": "{what:whole}: no reading. {why:whole}",
}
