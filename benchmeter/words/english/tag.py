"""Tags to stick on parts that were judged."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "no_verdict": (
        "Check {check} of this session has no verdict.",
        "There is one on: {judged}.",
    ),
    "nothing_judged": (
        "No part was judged in this session, so there is nothing to write on a tag.",
        "Choose a session with a verdict (benchmeter sessions).",
    ),
    "ending": ("“{file:whole}” does not end in .pdf.", "Tags are written as PDF."),
    "no_place_on_label": (
        "There is no place {start} to start at: {stock} is a single label.",
        "Count the places of a sheet from 1, along the rows.",
    ),
    "no_place_on_sheet": (
        "There is no place {start} to start at: {stock} has places 1 to {places}.",
        "Count the places of a sheet from 1, along the rows.",
    ),
    "no_code": (
        "“{text}” is not the code of a tag.",
        "Scan it again, or type the number of the record that stands on the tag.",
    ),
    # what stands on it
    "label_and_tolerance": "{label:whole}, {tolerance:whole} (not on the label)",
    "limits": "limits {limits:whole}",
    "more": "and {count} more, in the record",
    "record": "record {number}",
    "no_meter": "meter not recorded",
    "by_hand": "typed in by hand",
    "partly_by_hand": "{meter:whole} and typed in by hand",
    "simulated": "simulated: {meter:whole}",
    "accuracy_unknown": "accuracy not known",
    "simple_rule": "simple rule",
    "bias": "bias taken off",
}
