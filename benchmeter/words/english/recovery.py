"""Where a recovery stands, what may be expected, what to do."""

TEXTS: dict[str, str | tuple[str, str]] = {
    # why there is no forecast
    "failure_too_few": (
        "There are too few readings to say where this settles.",
        "Wait for more of them; at least five are needed while it still changes.",
    ),
    "failure_too_short": (
        "It is too early to say where this settles: the curve is still a straight line.",
        "Keep measuring.",
    ),
    "failure_not_converged": (
        "The readings do not follow a single rise or fall, so no forecast can be made.",
        "Judge by the measured values, or measure from the start again.",
    ),
    "failure_no_change": (
        "The readings do not change, so there is nothing to forecast.",
        "Check that the probe lies in the air that should change.",
    ),
    # where it stands
    "no_readings": (
        "No readings of the discharge temperature.",
        "Check the probe and its link.",
    ),
    "missed": (
        "No rise has been seen, but it may have been missed.",
        "If the unit does not run, restore power with the probes in place.",
    ),
    "waiting": "Waiting for power, or for the discharge air to get warmer.",
    "held_off": (
        "Held off: many controls wait 3 to 5 minutes before the compressor may start.",
        "No rise is no fault yet.",
    ),
    "no_start": (
        "No rise {span:whole} after power: look at the call for cooling, "
        "the contactor, the capacitor and the compressor.",
        "A rise before the probes were in place cannot be seen.",
    ),
    "one_minute": "1 minute",
    "minutes": "{count} minutes",
    "long": "long",
    "stopped": (
        "The discharge air has fallen back by more than half of its rise: "
        "the unit has stopped, or the probe has moved."
    ),
    "rising_early": ("Rising.", "Too early to say where it settles."),
    "no_forecast": ("Not settled.", "The readings allow no forecast."),
    "rising_to": ("Rising.", "Settles at about {value:whole}."),
    "falling_to": ("Falling.", "Settles at about {value:whole}."),
    "rising_in": ("Rising.", "Settles at about {value:whole} in {span:whole}."),
    "falling_in": ("Falling.", "Settles at about {value:whole} in {span:whole}."),
    "nearly": "Nearly settled, at about {value:whole}.",
    "settled": "Settled.",
    "settled_at": "Settled at {value:whole}.",
    "no_readings_now": "No readings now.",
    # the rise over outdoor air
    "no_outdoor": "Without the outdoor temperature the rise cannot be judged.",
    "rise_usual": "{rise:whole} over outdoor air; usual is {low:whole} to {high:whole} "
    "(common practice).",
    "rise_too_small": "{rise:whole} over outdoor air: too small; usual is {low:whole} to "
    "{high:whole} (common practice).",
    "rise_too_large": "{rise:whole} over outdoor air: too large; usual is {low:whole} to "
    "{high:whole} (common practice).",
    "rise_close": (
        "{rise:whole} over outdoor air, closer to a limit than can be told ({least:whole} to "
        "{most:whole}); usual is {low:whole} to {high:whole} (common practice)."
    ),
}
