"""Windings, insulation and supply: what cannot be used."""

_PAIRS = "Write for example C-S=2.6ohm C-R=0.8ohm S-R=3.4ohm, or OL where it shows that."

TEXTS: dict[str, str | tuple[str, str]] = {
    "rated_voltage_too_high": (
        "The floor of 5 MΩ holds for motors below 1000 V.",
        "Give the voltage on the nameplate.",
    ),
    "no_insulation_resistance": ("This is no insulation resistance.", "Give it like 20 MΩ, or OL."),
    "no_winding_temperature": (
        "This is no temperature of a winding under test.",
        "Give one between -40 and 150 °C.",
    ),
    "three_voltages_needed": (
        "Three line voltages are needed.",
        "Measure L1-L2, L2-L3 and L1-L3.",
    ),
    "voltage_out_of_range": (
        "A line voltage is out of range.",
        "Give three voltages between 0 V and 1000 V.",
    ),
    "pair_twice": ("The pair {pair} stands there twice.", _PAIRS),
    "three_pairs_needed": ("Three terminals have three pairs, and each is needed once.", _PAIRS),
    "no_pair": ("“{text}” is no pair of terminals with its reading.", _PAIRS),
    "same_terminal_twice": ("“{text}” names the same terminal twice.", _PAIRS),
    "pair_value": ("{text}: {why}", _PAIRS),
    "no_winding_resistance": ("“{text}” is no resistance of a winding.", _PAIRS),
    "less_than_leads": (
        "A pair reads less than the test leads alone.",
        "Read the leads again, then the pair.",
    ),
}
