"""Accuracy lines, test leads and reference parts: what cannot be used."""

_LINE = "Write it like 1.2 % + 2 x 0.1 {unit}, or 1.2 % + 2 counts."

TEXTS: dict[str, str | tuple[str, str]] = {
    "accuracy_not_understood": ("The accuracy “{text}” is not understood.", _LINE),
    "accuracy_twice": (
        "The accuracy “{text}” gives two lines for one function and range.",
        "Leave one of them out.",
    ),
    "accuracy_too_large": ("The accuracy “{text}” is too large to be one.", _LINE),
    "accuracy_of_zero": ("No meter is free of error.", _LINE),
    "unit_of_other_current": ("“{unit}” does not fit {quantity}.", "Correct one of them."),
    "empty_range": ("A range up to {range} holds nothing.", _LINE),
    "percent_of_temperature": (
        "A percentage of a temperature depends on the scale.",
        "Write the accuracy of a thermometer in degrees: 0.5 °C.",
    ),
    "no_accuracy_of_kind": (
        "“{unit}” is a unit of {kind}: no accuracy is asked of that.",
        "Write it like 1.2 % + 2 x 0.1 µF, or 1.2 % + 2 counts.",
    ),
    "percent_of_range": (
        "“{text}” is not a percentage of the reading.",
        "Write that part in {unit}, for example 1 % + 0.5 {unit}.",
    ),
    "no_resolution": ("“{text}” cannot be the worth of a count.", _LINE),
    "leads_not_open": (
        "A lead offset of {offset} is more than a tenth of the part: the leads were not open.",
        "Hold the open leads apart and take their reading again.",
    ),
    "leads_out_of_range": (
        "Test leads have between 0 and {most_ohm} Ω.",
        "Hold their tips together and take their reading again.",
    ),
    "reference_without_value": (
        "The reference part “{name}” needs a value and an uncertainty above zero that a part can"
        " have.",
        "Take both from its certificate, or from the meter that it was measured with.",
    ),
    "reference_of_other_unit": (
        "The reference part “{name}” is no {quantity} in “{unit}”.",
        "Correct its unit.",
    ),
    "reference_entry": (
        "{path}, {where:whole}, {why}",
        "Correct the file; until then this part cannot be used.",
    ),
    "reading_before_value": (
        "The reading of {read_on} is older than the value of “{name}”, {valued_on}.",
        "Correct one of the dates.",
    ),
}
