"""What to watch while a story or the record plays: nothing is to be done by hand."""

from PySide6.QtCore import QCoreApplication

from benchmeter.checking.check import PartCheck, Step

__all__ = ["replay_words", "story_words"]


def story_words(check: PartCheck | None) -> str:
    """One line instead of what to do next, for a story of the simulated bench."""
    tr = QCoreApplication.translate
    if check is None:
        return tr("Story", "The story plays by itself: watch the leads and the first part")
    return tr("Story", "The story plays: {words}").format(words=_watch_words(check))


def replay_words(check: PartCheck | None) -> str:
    """One line instead of what to do next, for a session of the record."""
    tr = QCoreApplication.translate
    words = tr("Story", "no part yet") if check is None else _watch_words(check)
    return tr("Story", "Replay: {words}").format(words=words)


def _watch_words(check: PartCheck) -> str:
    tr = QCoreApplication.translate
    match check.step:
        case Step.HOLD:
            words = tr("Story", "watch the reading settle")
        case Step.DONE:
            words = tr("Story", "judged. Other parts may follow")
        case Step.NOTHING_BETWEEN_LEADS:
            words = tr("Story", "nothing is between the leads")
        case Step.LOOKS_LIKE_OTHER_SECTION:
            words = tr("Story", "the leads are on the other section")
        case Step.UNLIKELY:
            words = tr("Story", "an unlikely value; it is not taken by itself")
        case Step.MAKE_SAFE:
            words = tr("Story", "the part is made safe first")
        case Step.TYPE_IT:
            words = tr("Story", "the next value is typed")
        case Step.SET_FUNCTION:
            words = tr("Story", "the meter is in a wrong function")
        case Step.OVERLOAD:
            words = tr("Story", "overload: it is no value")
        case Step.METER_SILENT:
            words = tr("Story", "the meter is silent")
        case _:
            words = tr("Story", "next the leads go on {section}").format(section=_section(check))
    return words


def _section(check: PartCheck) -> str:
    section = check.section
    measure = check.measure(section) if section is not None else None
    if measure is not None and all(measure.leads):
        return QCoreApplication.translate("Story", "{red} and {black}").format(
            red=measure.leads[0], black=measure.leads[1]
        )
    if len(check.sections) == 1 or check.expected is None:
        return QCoreApplication.translate("Story", "the part")
    return QCoreApplication.translate("Story", "C and {name}").format(name=check.expected)
