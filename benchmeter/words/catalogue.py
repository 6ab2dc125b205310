"""Where the sentences of a language are found: `resources/words/<language>`, one file a wing.

The first part of a code names its file. The rest names one sentence in it, or two where advice
follows: what happened, what to do. `{name}` stands for a parameter, written as its type asks; after
a colon stands how:

* `{text}`: a person's words, clipped to forty characters
* `{text:whole}`: all of them
* `{names:and}`, `{names:or}`: a list
* `{why:clause}`: another message without its full stop
* `{number:.1f}`: as Python's format, with the reader's decimal sign

Another language is a folder beside `english` with the same files.
"""

import math
import tomllib
from functools import cache

from benchmeter.files.resources import resource

__all__ = ["ENGLISH", "PSEUDO", "find", "language_tag", "languages"]

ENGLISH = "english"
PSEUDO = "pseudo"
"""English with accents, 40 % longer: shows what is not translated and what is cut off."""

_PSEUDO_WORD = 6  # lines break between words
_ACCENTED = str.maketrans("aeiounyAEIOUCcsz", "áéíóúñýÁÉÍÓÚÇçšž")


def languages() -> tuple[str, ...]:
    """The languages that can be chosen."""
    return (ENGLISH, PSEUDO)


def language_tag(language: str) -> str:
    """As a document names its language (RFC 5646); `en-XA` is English with accents."""
    return {ENGLISH: "en", PSEUDO: "en-XA"}[language]


@cache
def find(language: str, code: str) -> tuple[str, str] | None:
    """Sentence and advice of a code; None where the catalogue does not know it."""
    room, _, name = code.partition(".")
    if language == PSEUDO:
        found = find(ENGLISH, code)
        return found and (_pseudo(found[0]), _pseudo(found[1]))
    texts = _texts(language, room) if room.isidentifier() else {}
    entry = texts.get(name)
    if entry is None:
        return None
    return (entry, "") if isinstance(entry, str) else (entry[0], entry[1])


@cache
def _texts(language: str, room: str) -> dict[str, str | list[str]]:
    file = resource("words") / language / f"{room}.toml"
    return tomllib.loads(file.read_text(encoding="utf-8")) if file.is_file() else {}


def _pseudo(template: str) -> str:
    """Letters outside braces with accents, and 40 % more of them."""
    if not template:
        return ""
    out, depth, letters = [], 0, 0
    for sign in template:
        depth += (sign == "{") - (sign == "}")
        letters += not depth and sign != "}"
        out.append(sign if depth or sign == "}" else sign.translate(_ACCENTED))
    more = max(math.ceil(0.4 * letters) - 2, 1)  # beside the brackets
    gap = _PSEUDO_WORD + 1
    padding = "".join(" " if i % gap == _PSEUDO_WORD and i + 1 < more else "·" for i in range(more))
    return f"[{''.join(out)}{padding}]"
