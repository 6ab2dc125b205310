"""Temperature sensors: what they cannot be asked."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "unknown": ("“{name}” is no sensor that is known here.", "Choose one of {known}."),
    "no_range": "{field:whole} must be above lowest_c",
    "no_curve": "at {t_c:g} °C its curve stands for another temperature",
    "no_class": ("{sensor:whole} has no class “{name}”.", "Choose {known}."),
    "no_build": ("{sensor:whole} knows no build “{name}”.", "Choose {known}."),
    "outside": (
        "{sensor:whole} is defined from {low_c:g} to {high_c:g} °C only.",
        "Give a temperature in that range.",
    ),
    "class_outside": (
        "{sensor:whole} class {name} is defined from {low_c:g} to {high_c:g} °C only.",
        "Give a temperature in that range.",
    ),
    "never_reads": (
        "{sensor:whole} never reads {reading:.6g} {unit}: it gives {low:.6g} to {high:.6g} {unit}.",
        "Check the kind of sensor, the meter's range and the contacts.",
    ),
    "no_resistance": ("A thermistor has a resistance above zero.", "Read it again in kΩ."),
}
