"""What tasks tell."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "parts_repeated": "part {parts}: more than one row; each row counts as a part of its own",
    "more_parts_repeated": "part {parts} and {more} more: more than one row; each row counts as a "
    "part of its own",
    "mixed_digits": "readings of one section end in different places, as when a spreadsheet drops "
    "zeros; say what a count is worth, like --accuracy “1 % + 2 x 0.1 µF”",
    "overwrites_readings": ("--out would overwrite the readings.", "Name another file."),
    "not_written": (
        "“{file}” could not be written; the record has lost nothing.",
        "Try it again, or let the command line write it.",
    ),
    "no_parts": ("{file} names its columns and holds no parts.", "Add a line for each part."),
}
