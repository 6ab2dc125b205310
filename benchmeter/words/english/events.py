"""What happened in a session besides readings."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "link_up": "Connected: {link:whole}.",
    "link_up_about": "Connected: {link:whole} ({about:whole}).",
    "link_lost": "No connection to {link:whole}.",
    "link_lost_why": "No connection to {link:whole}: {why:whole}",
    "link_lost_advice": "Check the plug; what else is connected goes on being recorded.",
    "gap": "No readings from {channel:whole} for {seconds:.1f} s; the line shows a gap.",
    "clock_step": (
        "The computer slept or its clock was set: {seconds:+.0f} s. "
        "The lines show a gap; times before and after are not joined."
    ),
    "garbled_one": "A frame from {link:whole} could not be read ({why:clause}) and gave no value.",
    "garbled": (
        "{count} frames from {link:whole} could not be read ({why:clause}) and gave no value."
    ),
    "garbled_advice": "If it goes on, check the cable and the profile's line settings.",
    "decoder_fault": (
        "Bytes from {link:whole} gave no value ({why:whole}); they are recorded, and reading goes on."
    ),
    "decoder_given_up": (
        "Nothing from {link:whole} is read any more ({why:whole}); its bytes are still recorded."
    ),
    "decoder_given_up_advice": (
        "Unplug its cable and plug it in again to begin anew; what else is connected goes on being "
        "recorded."
    ),
    "function": "{channel:whole} measures {quantity:whole}.",
    "resolution_learned": (
        "The digits that “{channel}” sends are not those of its display: one count is worth "
        "{step:whole}, as learned from its readings."
    ),
    "resolution_learned_advice": (
        "Compare with the display, and write its counts into the profile: counts = 6000."
    ),
    "typed": "{channel:whole}: {value:whole}, typed in by hand.",
    "power_restored": "Power restored.",
    "start_detected": "The unit started: discharge air rises.",
    "settled": "Discharge air has settled.",
    "leads_joined": "Joined leads read {value:whole}, taken off every resistance.",
    "leads_open": "Open leads taken as zero: {value:whole}.",
    "bias": "{channel:whole}: {what:whole}",
    "reported": ("{reason:whole}", "{advice:whole}"),
    "other_reasons": "for other reasons",
}
