"""What the record tells: the database, what is stored in it, and whether it is still whole."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "locked": (
        "Another benchmeter is open on the data folder {folder}, so nothing can be recorded "
        "or changed from here.",
        "Go on in the one that is open, or close it first; stored sessions can still be viewed.",
    ),
    "newer": (
        "The record {file} was made by a newer benchmeter, so this one opens it read-only.",
        "Update benchmeter, or choose another data folder.",
    ),
    "foreign": (
        "The file {file} is not a benchmeter record, or its beginning is destroyed; it was "
        "left as it is.",
        "Choose another data folder, or put back a backup of the record.",
    ),
    "damaged": (
        "The record {file} is damaged, so it cannot be trusted; it was left as it is.",
        "Copy the whole data folder to a safe place, then put back the last backup.",
    ),
    "session_damaged": (
        "A stored session in {file} is not what was recorded: it was changed or is damaged, so "
        "nothing of it is shown.",
        "Find out what differs (benchmeter recheck) and put back a backup.",
    ),
    "unknown": (
        "A stored session in {file} holds something that this benchmeter does not know: a newer "
        "one recorded it.",
        "Update benchmeter.",
    ),
    "read_only": (
        "The record {file} cannot be written, so nothing can be saved there.",
        "Make the folder writable, or choose another data folder.",
    ),
    "vanished": (
        "The record {file} has been moved or deleted while benchmeter was writing to it.",
        "Put the file back where it was.",
    ),
    "fault_of_ours": (
        "A fault in benchmeter keeps it from writing to {file}.",
        "Note down what was measured and send the log file with a description.",
    ),
    "memory_full": (
        "{count} readings are held in memory for the disk of {file}, and no more can be: the "
        "recording ends here.",
        "Free some space: what is held is written as soon as there is room.",
    ),
    "full": (
        "No space is left on the disk that holds {file}, so nothing new can be saved there.",
        "Free some space: delete or move other files.",
    ),
    "disk_lost": (
        "The disk that holds {file} does not answer, so nothing new can be saved there.",
        "Check that the drive is plugged in and sound.",
    ),
    "held": (
        "Another program holds the record {file}, so nothing can be saved there.",
        "Close the other program.",
    ),
    "refused": "The record {file} refused what should be saved.",
    "changed_by_another": (
        "The record was changed by another program while this session was recorded.",
        "Close the other program and begin a new session.",
    ),
    "several_fit": (
        "{count} sessions fit “{wanted}”.",
        "Give more of the number, for example {example}.",
    ),
    "none_fits": (
        "No session is stored under “{wanted}”.",
        "List the sessions to see what there is (benchmeter sessions).",
    ),
    "no_such_number": (
        "No session is stored under the number {number}.",
        "List the sessions to see what there is (benchmeter sessions).",
    ),
    "pages_damaged": "The database file is damaged: {found:whole}.",
    "orphans": "{count} stored rows belong to no session.",
    "changed_after_sealing": "The session was changed after it was sealed.",
    "seal_missing": "The seal of the session is missing.",
    "stream_gap": "A piece of the raw stream is missing before {time}.",
    "stream_unreadable": "The raw stream from {time} on cannot be read.",
    "stream_changed": "The raw stream was changed at {time} or before.",
    "stream_end_missing": "The end of the raw stream is missing.",
    "stream_or_setup_changed": "The raw stream or the setup was changed.",
    "readings_missing": "Readings of {channel:whole} are missing before {time}.",
    "readings_changed": "The readings of {channel:whole} from {time} on were changed.",
    "readings_unreadable": "The readings of {channel:whole} from {time} on cannot be read.",
    "readings_miscounted": "{stored} readings are stored, {recorded} were recorded.",
    "events_miscounted": "{stored} events are stored, {recorded} were recorded.",
    "verdicts_miscounted": "{stored} verdicts are stored, {recorded} were recorded.",
    "events_changed": "The stored events were changed.",
    "verdicts_changed": "The stored verdicts were changed.",
    "session_changed": (
        "The session {number} is not what was recorded: it was changed or is damaged, so nothing "
        "of it is shown.",
        "Find out what differs (benchmeter recheck) and put back a backup.",
    ),
    "view_of_newer": (
        "The record was made by a newer benchmeter: it is opened read-only.",
        "Update benchmeter to write to it.",
    ),
    "view_of_older": (
        "The record was made by an older benchmeter: names, remarks, times and what was cut off "
        "are not sealed against change.",
        "Open it in the window once: that brings it up to date.",
    ),
    "session_lost": "The session is damaged beyond being read.",
    "row_changed": "The name, state, time or another entry of the session itself was changed.",
}
