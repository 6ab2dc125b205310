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
        tr("PlayNote", "The story plays by itself"),
        (
            tr(
                "PlayNote",
                "Meters, parts and the unit are simulated. What they send is measured, judged "
                "and recorded as if they were real.",
            ),
            tr(
                "PlayNote",
                "Watch the reading, then the verdict; a unit, if there is one, is at F2.",
            ),
            tr("PlayNote", "H shows your hands: press one of their keys and the story is yours."),
        ),
    )


def replay_note() -> PlayNote:
    """For a session of the record."""
    tr = QCoreApplication.translate
    return PlayNote(
        tr("PlayNote", "The record plays again"),
        (
            tr(
                "PlayNote",
                "What was measured then is shown and judged once more, to the same digit.",
            ),
            tr("PlayNote", "The keys below stop it, step, and go faster."),
        ),
    )
