"""What somebody does at the window, and how often."""

from collections.abc import Callable
from dataclasses import dataclass
from random import Random

from benchmeter.window.shell.window import Window
from tests.soak.fingers import Fingers, Pauses

__all__ = ["Deed", "Deeds"]


@dataclass(frozen=True, slots=True)
class Deed:
    """Something to do.

    Attributes:
        weight: how often, against the others.
        when: in a recording (r), a replay (p), with neither (n).
    """

    weight: float
    when: str
    do: Callable[[], Pauses]


class Deeds:
    """A kind of work: `deeds` by what a person would call them."""

    def __init__(self, window: Window, fingers: Fingers, chance: Random) -> None:
        self.window = window
        self.controller = window.controller
        self.fingers = fingers
        self.chance = chance

    def deeds(self) -> dict[str, Deed]:
        """All of this kind."""
        raise NotImplementedError

    def keys(self, *keys: str) -> Callable[[], Pauses]:
        """Press these, one after the other."""

        def do() -> Pauses:
            for key in keys:
                self.fingers.press(key)
                yield self.chance.uniform(0.05, 0.3)

        return do

    def one_of(self, *keys: str) -> Callable[[], Pauses]:
        """Press any of these."""

        def do() -> Pauses:
            self.fingers.press(self.chance.choice(keys))
            yield 0.0

        return do

    def line(self, key: str, text: str) -> Pauses:
        """Ask for the line to type into with a key, fill it, and note it (or put it off)."""
        self.fingers.press(key)
        yield 0.3
        if self.window.entry.isVisible():
            yield from self.fingers.write_instead(text)
            self.fingers.press(self.chance.choice(("Return", "Return", "Return", "Esc")))

    def asked(self, beginning: str, text: str) -> bool:
        """Whether the line is asked for that, and this stands in it, and Return would note it."""
        entry = self.window.entry
        return (
            entry.isVisible()
            and entry.field.hasFocus()
            and entry.prompt.text().startswith(beginning)
            and entry.field.text() == text
        )
