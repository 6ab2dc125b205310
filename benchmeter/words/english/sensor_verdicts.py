"""A sensor beside a reference thermometer."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "off_curve": "As {name} it is {kelvin:+.2f} K off",
    "off_curve_known": "As {name} it is {kelvin:+.2f} K off (±{uncertainty:.2g} K)",
    "never_reads": "As {name} it reads what that curve never has",
    "fits": "{shown:whole}: it fits.",
    "other_curve": (
        "{shown:whole}, but it fits {others:or}: a wrong curve, not a bad sensor. Check at a "
        "second temperature."
    ),
    "no_curve": "{shown:whole}, and it fits no other curve: a bad sensor.",
    "cannot_tell": (
        "{shown:whole}, but {others:or} fits here as well: near 25 °C the curves meet. "
        "Measure in ice water."
    ),
    "class_allows": "class {name} allows ±{kelvin:.2f} K",
    "off": "{kelvin:+.2f} K off; {allowed:whole}",
    "off_known": "{kelvin:+.2f} ±{uncertainty:.2g} K off; {allowed:whole}",
    "accuracy_needed": (
        "{read:whole}. How good meter and probe are decides it: give their accuracy."
    ),
    "too_coarse": "{read:whole}, which is closer than meter and probe can tell.",
    "count_unknown": (
        "{read:whole}. The accuracy counts digits, but what one is worth is not known."
    ),
    "accuracy_unknown": "{read:whole}; the accuracy of meter or probe is not known.",
    "is_so": "{read:whole}.",
}
