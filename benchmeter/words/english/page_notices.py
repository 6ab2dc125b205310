"""The notices page."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "notices_latest_first": "Notices, the latest first",
    "what_has_been_noticed": "What has been noticed?",
    "since_benchmeter_was_opened": "Since benchmeter was opened, the latest first.",
    "read_what_happened_what": "Read what happened and what to do; nothing here is lost",
    "nothing_has_been_noticed": "Nothing has been noticed since benchmeter was opened.",
    "all_well_go_at": "All is well; go on at the bench (F1)",
    "severity_info": "for information",
    "severity_warning": "warning",
    "severity_error": "to do",
}
