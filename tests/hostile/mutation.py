"""Valid input, spoiled: bits turned, bytes lost, doubled, moved, and pieces of other inputs."""

from collections.abc import Sequence
from random import Random

__all__ = ["spoiled", "spoiled_text"]

_ODD = (b"", b"\x00", b"\n", b"\r", b"#", b"9", b"-", b".", b",", b"\xff", b"\x80", b"e9", b"\xb5")
_ODD_TEXT = (
    *"\0\n\r\t ,.;:-−+±/()[]{}'\"%=&?#*~^\\|<>0159eEµμΩ\u2126°℃℉½²٤४Ⅷ㎌\u00a0\u202f\u200b\u202e\udcff",
    "uF", "MFD", "mF", "kΩ", "nan", "inf", "1e99", "1e-99", "-0", "9" * 45, "1,234", "1'234",
    "±", "+10/-5 %", "250VAC", "--", "\x1b[31m", "é", "😀", "OL", "open", "=", "&&",
)  # fmt: skip


def spoiled(valid: bytes, others: Sequence[bytes], chance: Random) -> bytes:
    """`valid` after one to four changes."""
    data = bytearray(valid)
    for _ in range(chance.choice((1, 1, 1, 2, 3, 4))):
        at = chance.randrange(len(data) + 1)
        to = min(len(data), at + chance.choice((1, 1, 2, 3, 8)))
        match chance.randrange(8):
            case 0 | 1:
                if data:
                    data[at % len(data)] ^= 1 << chance.randrange(8)
            case 2:
                if data:
                    data[at % len(data)] = chance.randrange(256)
            case 3:
                del data[at:to]
            case 4:
                data[at:at] = chance.choice(_ODD)
            case 5:
                data[at:at] = data[at:to]
            case 6:
                data[at:at] = chance.randbytes(chance.choice((1, 2, 5, 40)))
            case _:
                other = chance.choice(others)
                data[at:to] = other[chance.randrange(len(other) + 1) :]
    return bytes(data)


def spoiled_text(valid: str, others: Sequence[str], chance: Random) -> str:
    """`valid` after one to four changes, sign by sign."""
    text = valid
    for _ in range(chance.choice((1, 1, 1, 2, 3, 4))):
        at = chance.randrange(len(text) + 1)
        to = min(len(text), at + chance.choice((1, 1, 2, 5)))
        match chance.randrange(6):
            case 0:
                text = text[:at] + text[to:]
            case 1 | 2:
                text = text[:at] + chance.choice(_ODD_TEXT) + text[at:]
            case 3:
                text = text[:at] + chance.choice(_ODD_TEXT) + text[to:]
            case 4:
                text = text[:at] + text[at:to] + text[at:]
            case _:
                other = chance.choice(others)
                text = text[:at] + other[chance.randrange(len(other) + 1) :] + text[to:]
    return text
