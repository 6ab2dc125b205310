"""Labels and nameplates: what on them cannot be used."""

_LABEL = "Type it like 45/5 µF ±6 % 440 V."
_LIKE = "Type it like: {example:whole}"
_TOLERANCE = "Write it like ±6 % or 0/+10 %."

TEXTS: dict[str, str | tuple[str, str]] = {
    # a capacitor's label
    "section_word": (
        "“{text}” on a label is not read here.",
        "Type both values as 45/5 µF: the larger one is taken as HERM.",
    ),
    "label_word": (
        "“{text}” on the label is not understood.",
        "Leave it out or correct it.",
    ),
    "tolerance_not_percent": (
        "The tolerance “{text}” is not in percent.",
        "Type it in percent, or type the range like 43-47 µF.",
    ),
    "negative": ("“{text}” is negative.", _LABEL),
    "label_number": ("“{text}” on the label has no unit that is known here.", _LABEL),
    "no_capacitance": ("“{text}” gives no capacitance.", _LABEL),
    "two_capacitances": (
        "The label gives “{one}” and “{other}”.",
        "Type two sections as 45/5 µF, and nothing twice.",
    ),
    "many_sections": ("“{text}” has more than two sections.", _LABEL),
    "no_range_of_part": (
        "“{text}” is no range of one part.",
        "Type a range as 88-108 µF and two sections as 45/5 µF.",
    ),
    "range_or_sections": (
        "“{text}” may be a range or two sections.",
        "Type a range as 88-108 µF and two sections with the larger one first.",
    ),
    "range_and_tolerance": (
        "The label gives a range and the tolerance {tolerance}.",
        "Type one of them.",
    ),
    "no_tolerance": (
        "“{text}” gives no tolerance.",
        'Add what the part says, for example 6 % (command line: --tolerance "6 %").',
    ),
    "no_tolerance_in_list": (
        "“{text}” gives no tolerance.",
        "Add it to the label, like 45 µF ±6 % 440 V.",
    ),
    "two_tolerances": (
        "The tolerances {one} and {other} contradict each other.",
        "Type the one that the part carries.",
    ),
    "absurd_on_label": ("“{number} {unit}” on the label cannot be right.", "Correct it."),
    # tolerances
    "one_side": ("The tolerance “{text}” has one side only.", _TOLERANCE),
    "sides_of_tolerance": (
        "The tolerance “{text}” does not have a minus and a plus side.",
        _TOLERANCE,
    ),
    "fraction_or_percent": ("“{text}” may be a fraction or percent.", "Write it like 6 %."),
    "tolerance_not_understood": ("The tolerance “{text}” is not understood.", _TOLERANCE),
    "tolerance_of_zero": ("A tolerance of 0 % leaves no room for any part.", _TOLERANCE),
    "tolerance_too_wide": ("A tolerance of 100 % and more is none.", _TOLERANCE),
    # the nameplate of any other part
    "comma_first": (
        "“{text}” may begin with 0{number}, or with a comma that parts.",
        "Type the zero, or a blank after the comma: {example:whole}",
    ),
    "not_understood": ("“{text}” is not understood.", _LIKE),
    "tolerance_for_value": (
        "“{text}” is a tolerance, not {title}.",
        "Type the value first, like {name} 10 {unit}.",
    ),
    "range_for_value": ("“{text}” is a range.", "{title} is one value: type that."),
    "no_room": ("“{text}” leaves no room for any part.", "Correct it."),
    "larger_first": ("“{text}” is no range.", "Type the smaller value first, like 9-14 ohm."),
    "range_for_tolerance": ("“{text}” is no tolerance.", "Write it like ±10 {unit}."),
    "absurd": ("“{text}” cannot be right.", "Check the number and its unit ({unit})."),
    "idle_kind_tolerance": (
        "A tolerance says nothing of the kind “{kind}”.",
        "Leave “{tolerance}” out.",
    ),
    "two_frequencies": (
        "The label gives {hz:and} Hz.",
        "Type the one that the mains have, for example 60 Hz.",
    ),
    "wrong_default": (
        "“{text}” is no value of {title}.",
        "Correct the file of the kind of part.",
    ),
    "missing": ("{title} is missing.", _LIKE),
    "other_current": (
        "“{text}” is {current}, and this kind of part is for {wanted}.",
        "Choose the kind of part that fits, or correct it.",
    ),
    "value_missing": ("After “{name}” a value is missing.", _LIKE),
    "unit_missing": ("“{text}” has no unit.", "Write it like {like:or}."),
    "unit_missing_in": ("“{text}” has no unit.", _LIKE),
    "no_choice": ("“{text}” is not known as {title}.", "Choose one of {known}."),
    "word_for_value": ("After “{name}” a value is missing: “{text}” is none.", _LIKE),
    "unknown_word": ("“{text}” is not understood.", f"Leave it out. {_LIKE}"),
    "idle_amount": (
        "The tolerance “{text}” belongs to nothing here.",
        "Write it into the value, like 14 ±2 ohm, or in percent.",
    ),
    "not_asked": (
        "“{text}” is nothing that is asked of this kind of part.",
        f"Leave it out. {_LIKE}",
    ),
    "several_fit": ("“{text}” may be {titles:or}.", "Put the name before it: {name} {text}"),
    "twice": (
        "{title} stands there twice: “{one}” and “{other}”.",
        f"Leave one out. {_LIKE}",
    ),
    "value_for_choice": ("“{text}” is not understood.", "Choose one of {known}."),
    "misfit": ("“{text}”: {why}", _LIKE),
}
