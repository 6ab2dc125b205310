"""What to watch while a story or the record plays: nothing is to be done by hand."""

from PySide6.QtCore import QCoreApplication

from benchmeter.checking.check import PartCheck, Step

__all__ = ["replay_words", "story_words"]


def story_words(check: PartCheck | None) -> str:
    """One line instead of what to do next, for a story of the simulated bench."""
    tr = QCoreApplication.translate
    if check is None:
        return tr("Story", "window.story_plays_itself_watch")
    return tr("Story", "window.story_plays_words").format(words=_watch_words(check))


def replay_words(check: PartCheck | None) -> str:
    """One line instead of what to do next, for a session of the record."""
    tr = QCoreApplication.translate
    words = tr("Story", "window.no_part_yet") if check is None else _watch_words(check)
    return tr("Story", "window.replay_words").format(words=words)


def _watch_words(check: PartCheck) -> str:
    tr = QCoreApplication.translate
    match check.step:
        case Step.HOLD:
            words = tr("Story", "window.watch_reading_settle")
        case Step.DONE:
            words = tr("Story", "window.judged_other_parts_may")
        case Step.NOTHING_BETWEEN_LEADS:
            words = tr("Story", "window.nothing_between_leads")
        case Step.LOOKS_LIKE_OTHER_SECTION:
            words = tr("Story", "window.leads_other_section")
        case Step.UNLIKELY:
            words = tr("Story", "window.unlikely_value_not_taken")
        case Step.MAKE_SAFE:
            words = tr("Story", "window.part_made_safe_first")
        case Step.TYPE_IT:
            words = tr("Story", "window.next_value_typed")
        case Step.SET_FUNCTION:
            words = tr("Story", "window.meter_wrong_function")
        case Step.OVERLOAD:
            words = tr("Story", "window.overload_no_value")
        case Step.METER_SILENT:
            words = tr("Story", "window.meter_silent")
        case _:
            words = tr("Story", "window.next_leads_go_section").format(section=_section(check))
    return words


def _section(check: PartCheck) -> str:
    section = check.section
    measure = check.measure(section) if section is not None else None
    if measure is not None and all(measure.leads):
        return QCoreApplication.translate("Story", "window.red_black").format(
            red=measure.leads[0], black=measure.leads[1]
        )
    if len(check.sections) == 1 or check.expected is None:
        return QCoreApplication.translate("Story", "window.part")
    return QCoreApplication.translate("Story", "window.c_name").format(name=check.expected)
