"""Parts and their kinds: what cannot be used, and what is wrong in the file of a kind."""

TEXTS: dict[str, str | tuple[str, str]] = {
    # a rating
    "range_needed": ("“{text}” is no range.", "Type both ends, like 9-14 ohm."),
    "no_tolerance": ("“{text}” is no tolerance.", "Write it like 10 % or 5 psi."),
    "tolerance_needed": ("“{text}” has no tolerance.", "Add it, like ±10 %, or type the range."),
    "measurement_twice": "The kind {kind} has two measurements of one name.",
    "idle_tolerance": (
        "The tolerance {tolerance} belongs to no value here.",
        "Leave it out, or type the one value that has it: {example:whole}",
    ),
    "one_section": (
        "The label gives one section, and this kind of part has two.",
        "Choose the kind that fits the label.",
    ),
    "two_sections": (
        "The label gives two sections, and this kind of part has one.",
        "Choose the kind that fits the label.",
    ),
    # a capacitor
    "current_out_of_range": (
        "This {field} is out of range.",
        "Give a {field} between 0.001 A and 1000 A.",
    ),
    "voltage_out_of_range": (
        "This {field} is out of range.",
        "Give a {field} between 1 V and 1000 V.",
    ),
    "frequency_out_of_range": (
        "This {field} is out of range.",
        "Give a {field} between 10 Hz and 100 Hz.",
    ),
    "capacitance_out_of_range": (
        "This {field} is out of range.",
        "Give a {field} between 1 pF and 100 000 µF.",
    ),
    "resistance_out_of_range": (
        "This {field} is out of range.",
        "Give a {field} between 0.1 Ω and 1 GΩ.",
    ),
    "final_voltage": (
        "The final voltage must lie between 0 V and the peak of {peak_v:.1f} V.",
        "Give a lower one, for example 50 V.",
    ),
    # the kind in a record
    "no_kind_in": ("The kind of part cannot be read: {why:clause}.", "Choose the kind again."),
    "no_kind_in_text": ("The kind of part cannot be read.", "Choose the kind again."),
    "faulty_kind_in": ("The kind of part cannot be used: {why:clause}.", "Choose the kind again."),
    # the file of a kind
    "no_word": "{field:whole} must be one word of letters and digits, not “{word}”",
    "word_is_choice": "{field:whole}: “{word}” is one of the choices as well",
    "word_taken": "{field:whole}: another given of the same kind of unit has that word",
    "twice": "{field:whole}: “{name}” stands there twice",
    "unit_or_choices": "{field:whole} must be given, or choices, and not both",
    "wrong_unit": "{field:whole} cannot be “{unit}”: write one of {fitting}",
    "range_of_value": "{field:whole} is for values only",
    "default_without_source": "{field:whole} of the default is missing",
    "frequency_only": "{field:whole} must be Hz: a capacitor's label gives nothing else here",
    "name_of_section": "{field:whole}: “{name}” is a section of the label",
    "short_of_resistance": "{field:whole} is for resistances only",
    "label_twice": "{field:whole}: only one may take its limits from the capacitor's label",
    "no_given": "{field:whole}: there is no given “{name}”",
    "other_unit": "{field:whole}: “{name}” must be in a unit of {kinds:or}",
    "no_range": "{field:whole}: “{name}” may not be written as a range",
    "share_of_range": "{field:whole}: of a range there is no share",
    "share_of_temperature": "{field:whole}: of a temperature there is no share",
    "one_value": "{field:whole}: “{name}” must be one value",
    "power_gives_resistance": "{field:whole}: volts and power with a tolerance give a resistance",
    "power_gives_current": "{field:whole}: volts and power without tolerance give a current",
    "capacitance_in_label": "{field:whole}: only a capacitance stands in the label",
    "capacitor_label": "{field:whole}: label must be “capacitor”",
    "no_limit": "{field:whole} must have low, high or both",
    "low_above_high": "{field:whole} must be below high",
    "tolerance_in_degrees": "{field:whole}: of a temperature write it in degrees, like 5 Δ°F",
    "tolerance_in_percent": "{field:whole} must be in percent",
    "three_pairs": "{field:whole} must be C-S, C-R and S-R, each once",
    "two_measurements": "{field:whole} must name at least two measurements",
    "one_quantity": "{field:whole} must name measurements of one quantity",
    "two_of_one_quantity": "{field:whole} and less must be two measurements of one quantity",
    "share_or_amount": "{field:whole} must be a share or an amount, like 5 % or 20 mV",
    "no_choices": "{field:whole} must name a given with choices",
    "no_measurement": "{field:whole}: there is no measurement “{name}”",
    "other_quantity": "{field:whole}: “{name}” must measure {quantities:or}",
}
