"""Lots and gauge R&R: what cannot be used."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "no_number": ("A reading of part {part} by {operator} is no number.", "Measure it again."),
    "too_little_for_gauge_rr": (
        "A gauge R&R study needs two parts or more, each measured twice or more.",
        "Ten parts, measured three times by each of two people, tell a good deal.",
    ),
    "unequal_repeats": (
        "Part {part} has {count} readings by {operator}, another has {most}.",
        "Each person measures each part equally often.",
    ),
}
