"""What tasks tell."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "channel_twice": ("Two channels are called “{channel}”.", "Give each a name of its own."),
    "file_no_column_part": "The file has no column “{column_name}” for this part.",
    "filled_part_no_such": "“{header}” is filled, and a part of “{text}” has no such section.",
    "held": (
        "{count} readings since second {since:.0f} of the session are held in memory until the "
        "disk takes them.",
        "Free some space; who asks for the end once more gives them up.",
    ),
    "left_open": (
        "Every reading is stored; the session could not be closed.",
        "The next start of benchmeter closes it.",
    ),
    "lost": (
        "{count} readings from second {since:.0f} to second {until:.0f} of the session are lost: "
        "the disk did not take them. All before them is stored.",
        "Free some space before the next recording.",
    ),
    "keeps_known_column": (
        "“{column}” means something here, so --keep cannot pass it by.",
        "Leave it out of --keep, or rename the column.",
    ),
    "measuring_stopped": (
        "The measuring stopped because of a fault in the program; the record is safe.",
        "Start the session again; the log says more.",
    ),
    "mixed_digits": "readings of one section end in different places, as when a spreadsheet drops zeros; say what a count is worth, like --accuracy “1 % + 2 x 0.1 µF”",
    "more_parts_repeated": "part {parts} and {more} more: more than one row; each row counts as a part of its own",
    "no_meter_channel": (
        "No channel is called {channels:or}, so there is nothing to judge the part by.",
        "Name the meter's channel in its link: serial:PATH?profile=NAME&channel={role}.",
    ),
    "no_parts": ("{file} names its columns and holds no parts.", "Add a line for each part."),
    "no_probe_channel": (
        "No channel is called “{channel}”, which “{measurement}” is read from.",
        "Name the channel of the probe in its link: &channel=probe.",
    ),
    "not_a_serial_link": (
        "“{text:whole}” is not a serial link.",
        "Write serial:PATH?profile=NAME.",
    ),
    "not_written": (
        "“{file}” could not be written; the record has lost nothing.",
        "Try it again, or let the command line write it.",
    ),
    "overwrites_readings": ("--out would overwrite the readings.", "Name another file."),
    "parts_repeated": "part {parts}: more than one row; each row counts as a part of its own",
    "record_written_again": "The record is written again; nothing was lost.",
    "replay_takes_no_command": (
        "This is a replay: what was measured cannot be changed.",
        "Remarks are added in the list of sessions.",
    ),
    "sections_left_out": "more than {most} ratings: the statistics tell the first {most}; every part is judged",
    "session_over": (
        "The session has ended, so what was done last is not in its record.",
        "Begin a new session and do it again.",
    ),
    "simulated_stands_alone": (
        "A simulated bench stands alone.",
        "Give one simulated link, or serial ones.",
    ),
    "two_columns": ("{name} has two columns “{cell}”.", "Rename one of them."),
    "typed_in": (
        "“{measurement}” of this kind is typed in; while recording nobody is asked.",
        "Judge such a part in the window, or with benchmeter judge --kind.",
    ),
    "units_differ": (
        "The unit of this row, {unit}, is not {other}, which the column or the cell gives.",
        "Give it once.",
    ),
    "unknown_columns": (
        "{file:whole} has columns that mean nothing here: {columns:and}.",
        "Known are {known:and}. Rename or delete the others, or carry one along unread with --keep.",
    ),
}
