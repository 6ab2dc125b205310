"""The connections page."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "chosen_recording": "Chosen for this recording",
    "add_instrument": "Add this instrument",
    "look_again": "Look again",
    "connect_record": "Connect and record",
    "take_out": "Take it out",
    "only_type_readings": "Only type readings",
    "simulated_bench": "Simulated bench",
    "looking_what_plugged": "Looking what is plugged in…",
    "ports_could_not_listed": "The ports could not be listed; a path can be typed.",
    "what_does_measure": "What does it measure?",
    "what_plugged": "What is plugged in?",
    "cable_or_port_choose": "Cable or port (choose, or type its path)",
    "kind_instrument": "Kind of instrument",
    "one_cable_found": "One cable is found.",
    "connecting": "Connecting…",
    "nothing_added": (
        "Nothing was added: the cable or the kind of instrument is missing.",
        "Choose a cable, or type the path of its port.",
    ),
    "nothing_chosen": "No instrument is chosen yet.",
    "no_cable_found_plug": "No cable is found. Plug the meter's cable in, switch the meter on, then press L.",
    "add_another_instrument_or": "Add another instrument, or connect with G",
    "choose_cable_kind_instrument": "Choose the cable and the kind of instrument, then add it with A",
    "what_does_value_name": "What does its value “{name}” measure?",
    "number_cables_found": "{number} cables are found.",
}
