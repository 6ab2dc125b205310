"""Long texts that make a careless reader busy: fifty thousand signs of one pattern each."""

from collections.abc import Iterator

from tests.hostile.writing import Writing

__all__ = ["LENGTH", "long_texts"]

LENGTH = 50_000
PATTERNS = (
    "1", "a", " ", "[", "]", '"', "'", ",", ";", "\n", "\t", "=", "-", "±", "%", ".", "{", "#", "\\",
    "1 ", "1a", "1,", "1;", "a.", "a ", "1\n", '"\n', '",', 'a","""\n', '""",\n', "1 V ", "±1 %", "1-",
    "5 ohm, ", "1 % + 2 counts;", "resistance 1 %\n", "up to 5 V ", "[a]\n", "[[a]]\n", "a=1\n",
    "urn:uuid:", "9", "0.", "1e", "\0", "\x1d", "\ufeff", "\N{LATIN SMALL LETTER LONG S}", "x = ", "part,",
    "label\n", "label;", "45 uF 5 %\n", "- at `$.a", "..", "[ ", "\r", "\r\n", "V/", "+1/-",
)  # fmt: skip


def _long(pattern: str) -> str:
    return (pattern * LENGTH)[:LENGTH]


def long_texts(writing: Writing) -> Iterator[str]:
    """Each pattern alone, and behind what the reader knows."""
    for pattern in PATTERNS:
        for head in ("",) if writing.file else ("", writing.seeds[0][:40]):
            yield head + _long(pattern)
