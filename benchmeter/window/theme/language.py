"""The texts of the window: Qt's own `tr`, asked by the codes of the catalogue."""

from typing import cast

from PySide6.QtCore import QCoreApplication, QTranslator

from benchmeter.words.catalogue import ENGLISH, find

__all__ = ["CatalogueTranslator", "speak"]


class CatalogueTranslator(QTranslator):
    """Finds a sentence by its code, whatever widget asks for it."""

    def __init__(self, language: str, parent: QCoreApplication) -> None:
        super().__init__(parent)
        self.spoken = language

    def isEmpty(self) -> bool:
        return False

    def translate(
        self, _context: str, code: str, _disambiguation: str | None = None, _n: int = -1
    ) -> str:
        found = find(self.spoken, code)
        return found[0] if found is not None else code  # Qt asks for texts of its own, too


def speak(app: QCoreApplication, language: str = ENGLISH) -> None:
    """Let the whole application speak this language; every widget is told by Qt's change event."""
    before = cast("CatalogueTranslator | None", app.property("benchmeter_language"))
    if before is not None:
        if before.spoken == language:
            return
        app.removeTranslator(before)
    translator = CatalogueTranslator(language, app)
    app.setProperty("benchmeter_language", translator)
    app.installTranslator(translator)
