"""Windings, their insulation, the supply."""

TEXTS: dict[str, str | tuple[str, str]] = {
    # windings, by finding; behind a residual or alone
    "residual": "The sum differs by {ohm:.3g} Ω: {finding:whole}",
    "residual_known": (
        "The sum differs by {ohm:.3g} Ω (the meter's uncertainty is ±{uncertainty:.2g} Ω): "
        "{finding:whole}"
    ),
    "windings_consistent": ("the two windings add up, and the terminals are where they belong."),
    "windings_consistent_rounding": (
        "the two windings add up to the last digit; the meter's accuracy is not known."
    ),
    "windings_sum_too_large": (
        "the two windings together have more than the pair across both: read again, with the leads "
        "subtracted; if it stays, the windings are bad."
    ),
    "windings_sum_too_small": (
        "the pair across both windings has more than the two together: clean the terminals and "
        "read again; if it stays, the windings are bad."
    ),
    "windings_leads_not_subtracted": (
        "the leads alone can explain it: hold their tips together, read them, and give that as "
        "lead offset."
    ),
    "windings_accuracy_needed": (
        "whether that is too much depends on the meter: give its accuracy in ohm."
    ),
    "windings_count_unknown": (
        "the accuracy counts digits, but what one is worth is not known: write it like 2 x 0.1 Ω."
    ),
    "windings_meter_too_coarse": (
        "a winding reads no more than this meter's uncertainty: use one that resolves milliohms."
    ),
    "windings_names_doubtful": (
        "the pairs fit other names of the terminals: S-R must read most and C-R least. Check which "
        "terminal is which."
    ),
    "windings_alike": (
        "pairs read alike, so the terminals cannot be told apart. A three-phase motor has three "
        "equal pairs."
    ),
    "windings_shorted": "a pair reads less than any winding has: shorted.",
    "windings_open_at_c": (
        "C has no connection to S and R. An internal protector opens there when the motor is hot: "
        "let it cool and read again before it is condemned."
    ),
    "windings_open_start": "S has no connection to C and R: the start winding is open.",
    "windings_open_run": "R has no connection to C and S: the run winding is open.",
    "windings_open_terminal": (
        "one terminal has no connection to the others: a winding is open, or an internal protector "
        "that must cool first."
    ),
    "windings_open_all": "no pair is connected: check the leads and where they touch.",
    "windings_contradictory": (
        "one pair reads open while the other two join it, which cannot be: read it again."
    ),
    # off the mean
    "pair_open": "A pair is open.",
    "pair_shorted": "A pair reads nothing: shorted.",
    "a_winding": "A winding",
    "off": "{what:whole} is {read:whole} off the mean; the limit is {limit:whole}.",
    "off_accuracy_unknown": (
        "{what:whole} is {read:whole} off the mean; the limit is {limit:whole}; "
        "the meter's accuracy is not known."
    ),
    "off_too_coarse": (
        "{what:whole} is {read:whole} off the mean: too coarse to judge {limit:whole}."
    ),
    "off_count_unknown": (
        "{what:whole} is {read:whole} off the mean; the accuracy counts digits, but what one is "
        "worth is not known: write it with its unit, like 2 x 0.1 Ω."
    ),
    # insulation
    "insulation_overload": (
        "More to the case than the meter shows; the floor is {floor:g} MΩ (IEEE 43)."
    ),
    "insulation_grounded": (
        "{read:.3g} MΩ to the case is less than {old_floor:.3g} MΩ (kV + 1, older motors) and "
        "{floor:g} MΩ (IEEE 43): grounded."
    ),
    "insulation_below": (
        "{read:.3g} MΩ to the case is less than {floor:g} MΩ (IEEE 43), yet more than "
        "{old_floor:.3g} MΩ (kV + 1, older motors): dry it out and test again."
    ),
    "insulation_good": "{read:.3g} MΩ to the case is not below {floor:g} MΩ (IEEE 43).",
    # the supply
    "derating_none": "More than 5 %: do not run a motor on this supply.",
    "derating_part": "The motor may give {percent:.0f} % of its rated power.",
    "derating_whole": "The motor may give its rated power.",
}
