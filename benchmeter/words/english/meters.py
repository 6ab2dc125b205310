"""Part or meter: a reference part, the meter's history, its bias."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "word_agrees": "meter agrees",
    "word_differs": "meter differs",
    "word_cannot_tell": "cannot tell",
    "no_reading": "No reading",
    "known": "{name}: {what:whole}",
    "offered": (
        "By {part} the meter is off by {bias:whole}.",
        "Nothing is taken off by itself: E offers it.",
    ),
    "due_advice": "Have it done in time.",
    "is_agrees": "The meter agrees.",
    "is_differs": "The meter is off.",
    "is_cannot_tell": "This cannot tell.",
    "means_agrees": "What it says of parts near this value can be trusted.",
    "means_differs": "Do not trust it near this value until that is explained.",
    "means_cannot_tell": "This reading does not show whether the meter is right.",
    "offer_clear": "It is steady and clearly not zero: you can take it off.",
    "offer_too_few": "One reading is too few to take anything off.",
    "offer_unsteady": (
        "A reading stands out, so that the meter may have changed: nothing is taken off."
    ),
    "offer_not_clear": "It cannot be told from zero: nothing is taken off.",
    "offer_too_large": "It is more than a tenth of the value: have the meter repaired.",
    # why
    "why_within": (
        "The meter reads {reading:whole}, {part} is {value:whole}: {off:whole}, "
        "within ±{both:whole} of both uncertainties."
    ),
    "why_beyond": (
        "The meter reads {reading:whole}, {part} is {value:whole}: {off:whole}, "
        "beyond ±{both:whole} of both uncertainties."
    ),
    "why_accuracy_unknown": (
        "The meter reads {reading:whole}, {part} is {value:whole}: {off:whole}; "
        "the meter's accuracy is not known."
    ),
    "why_reference_too_coarse": (
        "The meter reads {reading:whole}, {part} is {value:whole}: {off:whole}, "
        "but the reference is less certain than the meter."
    ),
    "en_number": "En {en:+.2f}; up to ±1 the two agree.",
    "no_value": "{part}: the meter showed no value of it.",
    # the history
    "stands_out": "stands out: {how:whole}",
    "beyond_limits": "beyond the limits",
    "beyond_after_jump": "beyond the limits, after a jump",
    "after_jump": "after a jump",
    "too_few_for_limits": "too few readings for limits, {fewest} are needed",
    "limits_clear": "{low:whole} to {high:whole}, no point stands out",
    "limits_standing_out": "{low:whole} to {high:whole}, standing out: {names}",
    "bias_of_one": "{value:whole} in one reading, which gives no interval",
    "bias": "{value:whole} ({low:whole} to {high:whole}, 95 %) in the last {count} readings",
    "bias_unsteady": "{bias:whole}; not steady, as one of them stands out",
    # the meter, the reference part
    "by_hand": "Typed in by hand, whatever the meter was",
    "plugged": "{title:whole} ({link})",
    "simulated": "{title:whole} ({link}, simulated)",
    "value": "{value:whole} ±{uncertainty:whole} (k = 2)",
    "of_day": "of {day}",
    # a bias that is taken off
    "bias_off": "No bias is taken off any more ({part}).",
    "bias_too_much": (
        "The meter reads {bias:whole} too much near {value:whole}, by {part}: taken off, "
        "as a person accepted."
    ),
    "bias_too_little": (
        "The meter reads {bias:whole} too little near {value:whole}, by {part}: taken off, "
        "as a person accepted."
    ),
    # calibration
    "one_day": "1 day",
    "days": "{count} days",
    "overdue": (
        "Its calibration ran out on {due}, {span:whole} ago: have it done before it counts."
    ),
    "due_today": "Its calibration runs out today, on {due}.",
    "due_soon": "Its calibration runs out in {span:whole}, on {due}.",
    "due_later": "Its calibration is good until {due}.",
}
