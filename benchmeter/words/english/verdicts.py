"""Verdicts on a measurement: what it is, and why."""

TEXTS: dict[str, str | tuple[str, str]] = {
    # in a word, as in ILAC-G8
    "word_pass": "pass",
    "word_conditional_pass": "conditional pass",
    "word_conditional_fail": "conditional fail",
    "word_fail": "fail",
    "word_undecidable": "undecidable",
    "word_measured": "measured",
    "word_open": "open",
    "word_shorted": "shorted",
    "word_no_reading": "no reading",
    # what it is
    "is_pass": "Good.",
    "is_conditional_pass": "Good, but closer than this meter can tell.",
    "is_conditional_fail": "Bad, but closer than this meter can tell.",
    "is_fail": "Bad.",
    "is_undecidable": "This meter cannot decide.",
    "is_measured": "Measured; judged with the others.",
    "is_open": "Bad: open inside.",
    "is_shorted": "Bad: shorted inside.",
    "is_no_reading": "Not measured.",
    # what the meter's knob must point at, where the trade says it in another word
    "knob_resistance": "ohms",
    "knob_voltage_dc": "DC volts",
    "knob_voltage_ac": "AC volts",
    "knob_current_dc": "DC amps",
    "knob_current_ac": "AC amps",
    "knob_frequency": "hertz",
    "knob_diode": "diode test",
    # limits
    "between": "{low:whole} to {high:whole}",
    "at_least": "at least {low:whole}",
    "no_more_than": "no more than {high:whole}",
    "inside": "inside {limits:whole}",
    "outside": "outside {limits:whole}",
    "above": "above {high:whole}",
    "below": "below {low:whole}",
    # why, with a value
    "why_inside": "{reading:whole} is {inside:whole}.",
    "why_inside_simple": (
        "{reading:whole} is {inside:whole}; the rule leaves the meter's {uncertainty:whole} aside."
    ),
    "why_accuracy_unknown": "{reading:whole} is {side:whole}; the meter's accuracy is not known.",
    "why_near_inside": (
        "{reading:whole} is {inside:whole}, but within the meter's {uncertainty:whole} of "
        "{limit:whole}."
    ),
    "why_near_outside": (
        "{reading:whole} is {outside:whole}, but by no more than the meter's {uncertainty:whole}."
    ),
    "below_limit": "below the limit of {limit:whole}",
    "above_limit": "above the limit of {limit:whole}",
    "why_judged_together": "{reading:whole}; judged with the others.",
    "why_too_coarse": (
        "{reading:whole}: the limits {limits:whole} are closer together than that; "
        "a meter good for ±{needed:whole} or better could decide."
    ),
    "why_scatter": (
        "{reading:whole}: the limits {limits:whole} are closer together than that; "
        "the readings scatter too much: measure again."
    ),
    "why_scattered": (
        "{reading:whole} is the mean of readings that scatter over a limit ({limits:whole}): "
        "measure again."
    ),
    "why_count_unknown": (
        "The accuracy counts digits, but what one is worth is not known: write it like "
        "{example:whole}."
    ),
    "why_shorted": "{reading:whole} is no more than {most:whole}: shorted.",
    "why_open": "{reading:whole} is no more than 1 % of {rated:whole}: open.",
    # why, without a value
    "no_contact": "The leads had no contact.",
    "no_value": "The meter showed no value.",
    "still_moving": "The reading was still moving.",
    "stale": "The meter had fallen silent: its last reading was too old to count.",
    "not_a_capacitance": "The reading is below zero: no capacitor reads so. Check the leads.",
    "not_measured": "It was not measured.",
    "no_capacitance": "No capacitance between the terminals: open.",
    "no_continuity": "No continuity between the terminals: open.",
    "no_resistance_below": "Less than {ohm} Ω between the terminals: shorted.",
    "no_resistance": "No resistance between the terminals: shorted.",
    "overload_open": "The meter showed overload: open.",
    "overload_good": "The meter showed overload, as it should.",
    "overload_beyond": (
        "The meter showed overload: beyond its range, where {limits:whole} is needed."
    ),
    "overload_or_shorted": (
        "The meter showed overload: too high for its range, or the part is shorted."
    ),
    "overload": "The meter showed overload: too high for its range.",
    "wrong_function": "The meter was not set to {function}.",
    "below_zero": "The reading is below zero: no {quantity} reads so. Check the leads.",
    "no_reading_shown": "no value",
}
