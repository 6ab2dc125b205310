"""Does a replacement fit, why not, and was it measured."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "fit_fits": "Fits by its label.",
    "fit_look_first": "May fit: look first.",
    "fit_does_not_fit": "Does not fit.",
    "standing_not_measured": "Not measured yet: measure it before it goes in.",
    "standing_other_label": "Measured by another label: measure it by this one.",
    "standing_other_rule": "Measured by another decision rule: measure it again.",
    "standing_good": "Measured: good.",
    "standing_close": "Measured: good, but closer than the meter can tell.",
    "standing_bad": "Measured: bad. Do not fit it.",
    "standing_undecided": "Measured, but the meter could not decide: take a better one.",
    "other_kind": "It is a {new}, and the old part is a {old}.",
    "other_sections": "It has {new:whole}, and the old part has {old:whole}.",
    "other_capacitance": "It has another capacitance: {new:whole}, not {old:whole}.",
    "lower_voltage": "It is rated {new} V, the old part {old} V.",
    "looser_tolerance": "Its tolerance is looser: {new:whole}, the old part {old:whole}.",
    "old_voltage_unknown": (
        "The voltage of the old part is not known: it must not be higher than this one."
    ),
    "new_voltage_unknown": "Its voltage is not written: read it off the part.",
    "other_frequency": "It is made for {new:whole}, the old part for {old:whole}.",
    "other_shape": (
        "It is {new:whole}, the old part is {old:whole}: see whether the clamp holds it."
    ),
    "shape_unknown": "Its shape is not written: see whether the clamp holds it.",
    "none_left": "None is left.",
    "count_unknown": "How many are left is not written.",
    "one_section": "one section",
    "sections": "{count} sections",
    "left": "{count} left",
}
