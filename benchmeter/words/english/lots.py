"""The statistics of a lot."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "too_small": "too small to say anything else: {fewest} readings are needed",
    "readings": "Readings",
    "one_reading": "1 reading",
    "some_readings": "{count} readings",
    "beyond": "{count} beyond the meter's range, which is good",
    "open": "{count} open",
    "shorted": "{count} shorted",
    "unread": "{count} not read",
    "outside": "outside the limits: {outside} of {judged}",
    "outside_share": (
        "outside the limits: {outside} of {judged}, {share:whole} ({low:whole} to {high:whole})"
    ),
    "mean": "mean {estimate:whole}",
    "from_middle": "from the middle of the limits {estimate:whole}",
    "from_rated": "from rated {estimate:whole}",
    "deviation": "standard deviation {estimate:whole}",
    "estimate": "{value:whole} ({low:whole} to {high:whole})",
    "order": "in the order of measuring: {trend:whole}",
    "rising": "rising, {slope:whole} a part",
    "falling": "falling, {slope:whole} a part",
    "groups": "readings hang together in groups",
    "to_and_fro": "readings go to and fro",
    "no_trend": "no trend seen",
    "capability": (
        "Cp {cp:.2f} ({cp_low:.2f} to {cp_high:.2f}), Cpk {cpk:.2f} ({cpk_low:.2f} to "
        "{cpk_high:.2f})"
    ),
    "capability_few": "too small to say Cp and Cpk: {fewest} readings are needed",
    "capability_coarse": "no Cp and Cpk: the meter's last digit is coarser than the spread",
    "histogram": ("below {below} | {low:whole}: {counts:whole} : {high:whole} | above {above}"),
}
