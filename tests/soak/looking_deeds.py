"""Going about, looking on, setting things, and what hands do without a plan."""

from benchmeter.window.pages.settings_page import SettingsPage
from tests.soak.deeds import Deed, Deeds
from tests.soak.fingers import Pauses

__all__ = ["LookingDeeds"]

_PLACES = ("F1", "F1", "F1", "F2", "F2", "F3", "F4", "F5", "F6")
_SIZES = ((1280, 800), (1280, 800), (1920, 1080), (1024, 700), (800, 600), (1600, 900))
_ACCURACIES = ("1 % + 2 x 0.1 uF", "1 %", "x")
_SETTINGS = 4
_SIGNS = (*range(32, 127), *range(161, 224))  # that QTest can type


class LookingDeeds(Deeds):
    """What does not touch the measurement, and what may touch anything."""

    def deeds(self) -> dict[str, Deed]:
        return {
            "go to a place": Deed(8, "rpn", self.one_of(*_PLACES)),
            "work at the plot": Deed(6, "rpn", self._plot),
            "dismiss the notice": Deed(3, "rpn", self.keys("F8")),
            "larger or smaller": Deed(2, "rpn", self.one_of("Ctrl++", "Ctrl+-", "Ctrl+0")),
            "other colours": Deed(2, "rpn", self.keys("F9")),
            "change a setting": Deed(3, "rpn", self._set),
            "undo": Deed(3, "rpn", self.keys("U")),
            "click something": Deed(6, "rpn", self._click),
            "walk with Tab": Deed(3, "rpn", self._walk),
            "turn the wheel": Deed(3, "rpn", self._wheel),
            "type nonsense": Deed(1, "rpn", self._nonsense),
            "resize the window": Deed(1, "rpn", self._resize),
            "look on": Deed(3, "rp", self._look_on),
        }

    def _plot(self) -> Pauses:
        self.fingers.press("F2")
        yield 0.2
        for _ in range(self.chance.randint(1, 5)):
            self.fingers.press(self.chance.choice(("Home", "F", "+", "-", "Left", "Right")))
            yield self.chance.uniform(0.1, 0.4)

    def _set(self) -> Pauses:
        self.fingers.press("F5")
        yield 0.3
        place = self.window.place(_SETTINGS)
        assert isinstance(place, SettingsPage)
        if self.chance.random() < 0.2:
            self.fingers.click(place.accuracy)
            yield from self.fingers.write_instead(self.chance.choice(_ACCURACIES))
            self.fingers.press("Tab")
            return
        others = ("zoom", "decimal_sign", "sound", "decision_rule")
        unit = self.chance.random() < 0.4
        option = "temperature_unit" if unit else self.chance.choice(others)
        yield from self.fingers.choose(place.boxes[option])

    def _click(self) -> Pauses:
        self.fingers.click_something()
        yield 0.0

    def _walk(self) -> Pauses:
        for _ in range(self.chance.randint(1, 8)):
            self.fingers.press(self.chance.choice(("Tab", "Tab", "Tab", "Shift+Tab")))
            yield 0.1
        self.fingers.press(self.chance.choice(("Return", "Space", "Down", "Esc", "Esc")))

    def _wheel(self) -> Pauses:
        for _ in range(self.chance.randint(1, 6)):
            self.fingers.turn_wheel()
            yield 0.05

    def _nonsense(self) -> Pauses:
        yield from self.fingers.write("".join(chr(self.chance.choice(_SIGNS)) for _ in range(12)))

    def _resize(self) -> Pauses:
        self.window.resize(*self.chance.choice(_SIZES))
        yield 0.3

    def _look_on(self) -> Pauses:
        yield self.chance.uniform(0.5, 4.0)
