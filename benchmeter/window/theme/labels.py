"""Labels in the few sizes and tones that there are."""

from typing import Literal

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QWidget

__all__ = ["label", "restyle"]

Size = Literal["", "small", "lead", "title", "figure"]
Tone = Literal["", "faint", "caution", "bad"]


def label(
    text: str = "",
    parent: QWidget | None = None,
    *,
    size: Size = "",
    tone: Tone = "",
    wrap: bool = True,
) -> QLabel:
    """A label of plain text; what is typed by people is never read as markup."""
    made = QLabel(text, parent)
    made.setTextFormat(Qt.TextFormat.PlainText)
    made.setWordWrap(wrap)
    if size:
        made.setProperty("text_size", size)
    if tone:
        made.setProperty("tone", tone)
    return made


def restyle(widget: QWidget, name: str, value: str) -> None:
    """Set a property that the style sheet looks at, and let it look again."""
    if widget.property(name) != value:
        widget.setProperty(name, value)
        widget.style().unpolish(widget)
        widget.style().polish(widget)
