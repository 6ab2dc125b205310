"""Why a value is not admitted, whether it was metered, typed or written in a table."""

_LIKE = "Write what the meter shows: 10 Ω, 44.1 µF, OL."

TEXTS: dict[str, str | tuple[str, str]] = {
    "below_absolute_zero": ("“{text}” lies below absolute zero.", _LIKE),
    "function_unknown": (
        "The function “{function}” is not known here.",
        "Write for example capacitance, resistance, DC voltage.",
    ),
    "kilohm_or_kelvin": ("“{unit}” may be kΩ or kelvin.", "Write kΩ; a temperature has °C or °F."),
    "less_than_can_be": ("“{text}” is less than a {quantity} can be.", _LIKE),
    "more_than_meters_show": ("“{text}” is more than any meter shows.", _LIKE),
    "no_number": ("“{text}” is too small to be a number.", _LIKE),
    "not_shown_by_meters": ("“{unit}” is a unit of nothing that a meter shows.", _LIKE),
    "other_quantity": (
        "“{text}” says nothing of {quantity}.",
        "Set the meter to {quantity}, and type what it shows then.",
    ),
    "status_unknown": (
        "The status “{status}” is not known here.",
        "Leave it empty where the value holds, or write overload, no value, hold.",
    ),
    "unit_missing": (
        "“{text}” has no unit.",
        "Add the one that the meter shows: {likes:or}.",
    ),
}
