"""What is seen on a part: a finding that alone decides, whatever it reads."""

from dataclasses import dataclass
from enum import StrEnum

from benchmeter.errors import InputError

__all__ = ["Look", "SeenFault", "seen_in"]


class Look(StrEnum):
    """How a part looks that is replaced unmeasured (common practice, no source)."""

    SWOLLEN = "swollen"  # a domed lid: the pressure interrupter has opened
    LEAKING = "leaking"
    BURNT = "burnt"
    PITTED = "pitted"


@dataclass(frozen=True, slots=True)
class SeenFault:
    """A fault that was seen.

    Attributes:
        look: what it is.
        words: as typed.
        photo: where a picture of it lies; "" none.
    """

    look: Look
    words: str
    photo: str = ""


def seen_in(text: str, photo: str = "") -> SeenFault | None:
    """What was typed: "swollen", or "burnt: terminal C"; None for nothing.

    The first word says what it is, so that "not swollen" is none.

    Raises:
        InputError: it begins with no such word, or there is a picture of nothing.
    """
    words = " ".join(text.split())
    if not words:
        if photo.strip():
            raise InputError("parts.photo_of_nothing")
        return None
    first = words.split(":")[0].split()[0].strip(",;.").casefold()
    if first not in list(Look):
        raise InputError("parts.nothing_seen", text=words, looks=[look.value for look in Look])
    return SeenFault(Look(first), words, photo.strip())
