"""What stands beside the reading while something plays by itself and has no part yet."""

from collections.abc import Sequence

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtWidgets import QVBoxLayout, QWidget

from benchmeter.window.theme.labels import label
from benchmeter.window.theme.palette import current_theme

__all__ = ["PlayNote", "replay_note", "story_note"]


class PlayNote(QWidget):
    """Says that nothing is to be typed now, and why."""

    def __init__(self, title: str, lines: Sequence[str], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(current_theme().gap)
        rows.setAlignment(Qt.AlignmentFlag.AlignTop)
        rows.addWidget(label(title, size="title"))
        for line in lines:
            rows.addWidget(label(line))


def story_note() -> PlayNote:
    """For the story of the simulated bench."""
    tr = QCoreApplication.translate
    return PlayNote(
        tr("PlayNote", "pages.story_plays_itself"),
        (
            tr(
                "PlayNote",
                "pages.meters_parts_unit_simulated",
            ),
            tr(
                "PlayNote",
                "pages.watch_reading_then_verdict",
            ),
            tr("PlayNote", "pages.h_shows_your_hands"),
        ),
    )


def replay_note() -> PlayNote:
    """For a session of the record."""
    tr = QCoreApplication.translate
    return PlayNote(
        tr("PlayNote", "pages.record_plays_again"),
        (
            tr(
                "PlayNote",
                "pages.what_was_measured_then",
            ),
            tr("PlayNote", "pages.keys_below_stop_step"),
        ),
    )
