"""The verdict plate as the answer of the bench: the first thing that is seen."""

from dataclasses import replace

from benchmeter.window.theme.palette import Theme
from benchmeter.window.widgets.verdict_plate import VerdictPlate

__all__ = ["AnswerPlate"]

_LARGER = 1.25  # than beside other things


class AnswerPlate(VerdictPlate):
    """A verdict plate in larger type, where there is room for that."""

    _large = True

    @property
    def look(self) -> Theme:
        plain = super().look
        if not self._large:
            return plain
        return replace(plain, zoom=plain.zoom * _LARGER)

    def set_large(self, on: bool) -> None:
        """Whether there is room for the larger type."""
        if on != self._large:
            self._large = on
            self.updateGeometry()
            self.update()
