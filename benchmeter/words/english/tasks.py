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
    "simulated_stands_alone": (
        "A simulated bench stands alone.",
        "Give one simulated link, or serial ones.",
    ),
    "not_a_serial_link": (
        "“{text:whole}” is not a serial link.",
        "Write serial:PATH?profile=NAME.",
    ),
    "channel_twice": ("Two channels are called “{channel}”.", "Give each a name of its own."),
    "replay_takes_no_command": (
        "This is a replay: what was measured cannot be changed.",
        "Remarks are added in the list of sessions.",
    ),
    "record_written_again": "The record is written again; nothing was lost.",
    "measuring_stopped": (
        "The measuring stopped because of a fault in the program; the record is safe.",
        "Start the session again; the log says more.",
    ),
    "session_over": (
        "The session has ended, so what was done last is not in its record.",
        "Begin a new session and do it again.",
    ),
    "no_parts": ("{file} names its columns and holds no parts.", "Add a line for each part."),
}
