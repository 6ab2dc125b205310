"""What a running session refuses."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "not_for_parts": (
        "The channel “{channel}” is not for capacitance, so no part is judged by it.",
        "Name the meter's channel “{capacitor}”, or “{meter}” if it tells what its knob is set to.",
    ),
    "no_part": ("No part is being checked.", "Type the part's label first."),
    "no_meter": ("No meter is connected as “{channel}”.", "Connect one, or type the reading."),
    "no_meter_for_bias": (
        "No meter is connected as “{channel}”, so no bias of one is taken off.",
        "Connect it: what is typed in may come from any meter.",
    ),
    "nothing_to_type": (
        "Nothing is expected to be typed in for “{channel}”.",
        "Begin the check of a part first.",
    ),
    "no_volts_shown": (
        "No meter shows the volts left on the part.",
        "Set it to DC volts and let it send, or type the volts.",
    ),
}
