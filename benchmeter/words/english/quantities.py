"""Numbers and units as people type them."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "at": "{where:whole}: {why}",
    "no_number": ("There is no number.", "Type it like 44.1 or 44,1."),
    "not_a_number": (
        "“{text}” is not a number.",
        "Type it like 44.1 or 44,1, without spaces or thousands separators.",
    ),
    "comma_may_group": (
        "“{text}” may be {decimal} or {grouped}.",
        "Type it with a point, or without the comma.",
    ),
    "farad_or_fahrenheit": ("“{unit}” may be farad or Fahrenheit.", "Write µF or °F."),
    "micro_or_milli": ("“{unit}” may be microfarad or millifarad.", "Write µF (or MFD)."),
    "unit_unknown": ("The unit “{unit}” is not known here.", "Write for example µF, V, Ω, °C."),
    "unit_of_other_kind": "“{unit}” is a unit of {kind}, not of {wanted}.",
    "unit_does_not_compose": (
        "“{unit}” is no unit of {wanted}.",
        "Compose it of units like V, A, Ω, F, W, m, s, kg.",
    ),
    "unit_missing": ("“{number}” has no unit.", "Write a {wanted} with its unit."),
    "below_absolute_zero": "“{number} {unit}” lies below absolute zero.",
    "below_no_pressure": (
        "“{number} {unit}” is less than no pressure at all.",
        "A gauge pressure has a unit of its own: psig, barg, kPag.",
    ),
    "text_too_long": (
        "The text is {length} characters long.",
        "Type only what the rating says.",
    ),
    "no_motor_capacitance": (
        "“{number} {unit}” cannot be the capacitance of a motor capacitor.",
        "Type it with its unit, for example 45 µF.",
    ),
}
