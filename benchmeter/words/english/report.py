"""The page for the customer."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "untitled": "Session",
    "footer": "Session {session:whole}, recorded by benchmeter {version}",
    "page_of": "Page {number} of {last}",
    "cut_off": "cut off, not closed",
    "open": "still being recorded",
    "simulated": "Simulated: no real part and no real unit was measured.",
    # parts
    "parts": "Parts",
    "no_part": "No part was judged.",
    "section": "section",
    "rated": "rated",
    "limits": "limits",
    "reading": "reading ±U",
    "chance": "chance inside",
    "taken": "taken",
    "verdict": "verdict",
    "measured": "measured",
    "together": "together",
    "value": "value ±U",
    "range": "range",
    "both_terminals": "both terminals",
    "by_hand": "{clock}, by\u00a0hand",
    # what a verdict rests on
    "label": "Label: {text:whole}.",
    "no_label": "Label: nothing was needed.",
    "tolerance_from_label": "Tolerance: {tolerance:whole}, from the label.",
    "tolerance_from_user": "Tolerance: {tolerance:whole}, told by the user.",
    "accuracy": "Accuracy of the meter: {text:whole}. U: expanded uncertainty, k = 2.",
    "accuracy_unknown": "Accuracy of the meter: not known. U: expanded uncertainty, k = 2.",
    "rule_guarded": "Decision rule: guarded, guard band w = U (ILAC-G8:09/2019).",
    "rule_simple": (
        "Decision rule: simple, the meter's uncertainty is left aside (ILAC-G8:09/2019)."
    ),
    "leads_open": "The open leads read {offset:whole}, which was taken off.",
    "leads_joined": "The joined leads read {offset:whole}, which was taken off.",
    "repeated": (
        "{section:whole} was taken {count} times; the last one counts. Earlier: {earlier:whole}."
    ),
    # the recovery
    "recovery": "Recovery",
    "not_watched": "The recovery was not watched.",
    "picture": "Discharge and outdoor temperature over time, the fit and the settled value",
    "power": "Power restored",
    "start": "Discharge air began to rise",
    "after_power": "{clock}, {delay:whole} after power",
    "settled": "Settled discharge air",
    "will_settle": "Discharge air will settle at (forecast)",
    "outdoor": "Outdoor air",
    "rise": "Rise over outdoor air",
    "rise_forecast": "Rise over outdoor air (forecast)",
    "interval": "{value:whole} ({low:whole} to {high:whole})",
    "usual": "Usual for a split unit under load",
    "usual_rise": "{low:whole} to {high:whole} (common practice)",
    "usual_rise_in_f": "{low:whole} to {high:whole}, that is 15 to 30 °F (common practice)",
    "judgement": "Judgement of the rise",
    "judged_usual": "usual",
    "judged_too_small": "too small",
    "judged_too_large": "too large",
    "judged_close": "closer to a limit than can be told",
    "judged_not_yet": "none: it had not settled",
    "judged_no_outdoor": "none: the outdoor temperature is not known",
    # the rest
    "meter": "The meter",
    "not_tested": "What was not tested",
    "events": "What happened",
    "time": "time",
    "event": "event",
    "no_events": "Nothing besides the readings.",
    "instruments": "Measured with",
    "channel": "channel",
    "quantity": "quantity",
    "instrument": "instrument",
    "readings": "readings",
    "typed": "typed in",
    "no_instruments": "Nothing was connected.",
    "notes": "Please note",
    "charge": (
        "Stored charge and live parts can kill. Work on them is for qualified persons only, locked "
        "out and verified dead (29 CFR 1910.147, 1910.333), with meters and leads rated for the "
        "circuit (1910.334)."
    ),
    "aid": (
        "Local codes, the maker's instructions and licensed practice come first; these verdicts "
        "are an aid."
    ),
    "numbers": "All numbers come from the stored readings.",
    # the file
    "ending": ("“{file:whole}” ends in neither .pdf nor .html.", "Choose one of these."),
}
