"""What several measurements of a part say together."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "not_measured": "Needs {names:and}; at least one has no reading.",
    # why nothing can be concluded, by finding
    "cannot_less_than_leads": (
        "A pair reads less than the test leads alone: read the leads again, then the pair."
    ),
    "cannot_nothing_to_compare": (
        "There is nothing to compare: switch the machine on, then read again."
    ),
    "cannot_range_needed": "The label gives no range: type both ends, like 20-40 °F.",
    "cannot_no_voltage": "There is no voltage: switch the machine on, then read again.",
    "cannot_frequency_needed": (
        "The label gives no frequency: type that of the supply with it, like 60 Hz."
    ),
    "cannot_sensor_unknown": "This sensor is not known here: choose one that is.",
    "cannot_other_measure": (
        "This sensor is read in another unit: a thermocouple in mV, the others in Ω."
    ),
    "cannot_leads_exchanged": (
        "It would be right with the leads exchanged: exchange them and read again."
    ),
    "cannot_junction_needed": (
        "A thermocouple is judged with the temperature of its terminals: measure that as well."
    ),
    # poles, lines
    "one_open": "One of {names:and} is open.",
    "one_shorted": "One of {names:and} reads nothing: shorted.",
    "no_such_supply": "No supply has such voltages: check what the meter is set to.",
    # a capacitor under load, a difference
    "no_such_load": (
        "No capacitor in operation has such volts and amps: check what the meter is set to."
    ),
    "no_current": "There are volts across it, but no current goes through it: open.",
    "under_load": "{volts} and {amps}: {why:whole}",
    "difference": "{of} less {less}: {why:whole}",
    "count_unknown": (
        "{value:whole}; the accuracy counts digits, but what one is worth is not known: "
        "write it with its unit, like {example:whole}."
    ),
    "too_coarse": (
        "{value:whole}: the limits {limits:whole} are closer together than that; "
        "it takes a finer meter."
    ),
    "no_limits": "{value:whole}; the label gives no limits for it.",
    # windings
    "role": "{role} is {terminal}",
    "roles": "{why:whole} {roles:and}.",
    # sensors
    "sensor_open": "The sensor is open.",
    "sensor_shorted": "The sensor reads nothing: shorted.",
    "never_reads": "{sensor} never reads so: another kind of sensor, or a bad one.",
    "beyond_curve": (
        "{sensor} has no curve at this temperature: check it, or measure in ice water."
    ),
    "class_needed": "{sensor} is judged by its tolerance class: give it with the sensor.",
    "class_undefined": "{sensor} has no class {tolerance_class} at this temperature.",
    "sound_sensor": "a sound {sensor} is within ±{kelvin:.2f} K",
}
