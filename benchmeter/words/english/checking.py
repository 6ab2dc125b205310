"""What the check of a part refuses: readings, the leads, reference parts, the stock list."""

_LIKE = "Type it like 10 {unit}, or what the meter shows instead: OL, open, shorted, none."

TEXTS: dict[str, str | tuple[str, str]] = {
    # the check of a part
    "no_such_section": ("This part has no section “{section}”.", "It has {sections:and}."),
    "no_rule": ("“{text}” is no decision rule.", "Write {rules:or}."),
    "all_taken": (
        "Every section of this part has been taken.",
        "Choose the one to repeat ({sections:and}), or begin the next part.",
    ),
    "volts_left": (
        "{volts:.1f} volts are left on the part: nothing is measured on it.",
        "Discharge it through a resistor and measure the DC volts again.",
    ),
    "unknown_volts_left": (
        "Unknown volts are left on the part: nothing is measured on it.",
        "Discharge it through a resistor and measure the DC volts again.",
    ),
    # what is typed as a reading
    "no_reading": ("“{text}” is no reading.", _LIKE),
    "word_says_nothing": ("“{text}” says nothing of {quantity}.", _LIKE),
    "value_needed": (
        "“{text}” is not enough here: it is judged by its value.",
        "Type what the meter shows, like 0.2 Ω.",
    ),
    # the leads
    "leads_not_settled": (
        "The leads have not settled.",
        "Hold the open leads apart and still, or for ohms their tips together; then again.",
    ),
    "leads_in_other_function": (
        "Only in ohms and farads the leads alone read something that is taken off.",
        "Set the meter to one of these first.",
    ),
    "no_such_lead_offset": (
        "“{text}” is {quantity}: no lead offset of this part is measured so.",
        "Write the µF of the open leads, or the Ω of the joined ones.",
    ),
    "lead_offset_twice": ("The lead offset is given twice.", "Leave one of them out."),
    # the meter
    "bias_not_clear": (
        "The bias by “{part}” cannot be taken off: {reason}.",
        "Read the reference part again, now and then.",
    ),
    "bias_is_no_number": ("The bias is no number.", "Accept it again."),
    "bias_too_large": (
        "The bias is more than a tenth of “{part}”.",
        "Have the meter repaired: that is no matter of a correction.",
    ),
    "reference_of_the_future": (
        "The value of “{part}” is of {valued}, and today is {today}.",
        "Correct the date in the list of reference parts, or the clock.",
    ),
    # the list of reference parts
    "reference_no_name": (
        "it is empty.",
        "Give the part a name, and write it on the part.",
    ),
    "reference_twice": "it stands there twice.",
    "reference_in_list": (
        "“{name}” is in the list already.",
        "Give it another name, or correct that one.",
    ),
    "reference_due_before": "it lies before the date of the value.",
    "reference_kind": ("“{text}” is a {kind}.", "Write a capacitance, Ω or volts DC."),
    "reference_ac": ("“{text}” is AC.", "Write a value in volts DC."),
    "reference_other_kind": "“{text}” is a {kind}, the value a {value}.",
    "reference_no_unit": ("“{text}” has no unit.", "Write it like 45.02 µF."),
    "reference_list_closed": (
        "No part can be added at the end of {file:whole} as it is written.",
        "Write it into the file by hand.",
    ),
    "reference_list_not_written": (
        "{file:whole} could not be written; it is as it was.",
        "Check who may write to {folder}, and that the disk is not full.",
    ),
    # the stock list
    "stock_column_twice": (
        "{file:whole} has two columns “{column}”.",
        "Rename one of them.",
    ),
    "stock_not_written": (
        "{file:whole} could not be written.",
        "Check who may write to {folder}, and that the disk is not full.",
    ),
    "stock_line": ("{why:whole}", "Correct that line."),
    "stock_no_label": ("It has no label.", "Write what the part's label says."),
    "stock_two_shapes": (
        "The label says {told} and the shape is “{shape}”.",
        "Correct one of them.",
    ),
    "stock_no_count": (
        "The count “{text}” is no whole number.",
        "Write how many are left, 0 for none.",
    ),
    "stock_number_twice": (
        "The own number “{number}” stands in line {line} already.",
        "Give each part a number of its own.",
    ),
}
