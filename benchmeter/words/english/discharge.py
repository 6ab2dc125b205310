"""The charge on a part."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "time": (
        "{kiloohm:g} kΩ brings this part from {peak:.0f} V below {safe:g} V in {seconds:g} s."
    ),
}
