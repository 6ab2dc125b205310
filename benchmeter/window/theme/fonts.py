"""The two fonts that are shipped: the same letters and the same digit widths on every computer."""

from PySide6.QtGui import QFontDatabase

from benchmeter.files.resources import resource

__all__ = ["DIGITS", "TEXT", "load"]

TEXT = "B612"
"""Family of all text; its digits are tabular."""
DIGITS = "B612 Mono"
"""Family of readings: every character has the same width."""

_FILES = ("B612-Regular.otf", "B612-Bold.otf", "B612Mono-Regular.otf", "B612Mono-Bold.otf")


def load() -> None:
    """Register the fonts; needs a QGuiApplication. Again is harmless.

    Raises:
        FileNotFoundError, RuntimeError: a broken installation.
    """
    if {TEXT, DIGITS} <= set(QFontDatabase.families()):
        return
    for name in _FILES:
        if QFontDatabase.addApplicationFont(str(resource(f"fonts/{name}"))) < 0:
            raise RuntimeError(f"the font {name} cannot be read")
