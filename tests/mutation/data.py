"""Single-point mistakes in the TOML files of `resources`: numbers, flags and words of a list.

A word belongs to a list if the same key holds one of a few words throughout the folder: those of
`overload`, `quantity`, `by`. Prose, names and comments are left alone. Numbers inside text count
where the text says a limit or an accuracy: "10 ohm", "±15 %". How long to wait (`…_ms`) is our own
choice, which a test could only repeat.
"""

import re
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from tests.mutation.mutant import Mutant

__all__ = ["data_mutants"]

_TOKEN = re.compile(
    r"""
    (?P<comment>\#[^\n]*)
  | (?P<prose>\"{3}.*?\"{3} | '{3}.*?'{3})
  | (?P<text>"(?:\\.|[^"\\\n])*" | '[^'\n]*')
  | (?P<date>\b\d{4}-\d\d-\d\d\b)
  | (?P<number>(?<![\w.])[+-]?\d[\d_]*(?:\.\d+)?(?:[eE][+-]?\d+)?(?![\w.]))
  | (?P<flag>\b(?:true|false)\b)
  | (?P<table>^[ \t]*\[\[?[^\[\]\n]+\]\]?(?=[ \t]*(?:\#|$)))
  | (?P<key>(?:[A-Za-z0-9_-]+|"[^"\n]*")(?:\.[A-Za-z0-9_-]+)*(?=[ \t]*=))
    """,
    re.VERBOSE | re.MULTILINE | re.DOTALL,
)
_WORD = re.compile(r"[a-z][a-z0-9 /-]*", re.IGNORECASE)
_NUMBER = re.compile(r"(?<![\w.])\d+(?:\.\d+)?")
_MOST_WORDS = 12
_PROSE = {
    *("title", "about", "example", "how", "failure", "source", "name", "field", "also", "text"),
    *("caution", "too_low", "too_high", "open", "shorted", "pass_leaves"),
}


@dataclass(frozen=True, slots=True)
class _Token:
    kind: str
    key: str
    scope: str
    start: int
    text: str


def data_mutants(texts: Mapping[str, str], wing: str) -> list[Mutant]:
    """Every mutant of the files of one folder, by their names."""
    tokens = {file: list(_tokens(text)) for file, text in texts.items()}
    words = _words(tokens)
    found = []
    for file, text in texts.items():
        seen: Counter[tuple[str, ...]] = Counter()
        for token in tokens[file]:
            for after, operator in _changes(token, words):
                line = text.count("\n", 0, token.start) + 1
                statement = text.splitlines()[line - 1].strip()
                alike = (token.scope, statement, operator, token.text, after)
                span = (token.start, token.start + len(token.text))
                found.append(
                    Mutant(
                        file, wing, line, token.scope, statement, operator, token.text, after,
                        seen[alike], span=span,
                    )
                )  # fmt: skip
                seen[alike] += 1
    return found


def _tokens(text: str) -> Iterator[_Token]:
    """The values of a file, each with its key and the table that it stands in."""
    scope, key = "", ""
    tables: Counter[str] = Counter()
    for match in _TOKEN.finditer(text):
        kind, found = match.lastgroup or "", match[0]
        if kind == "table":
            name = found.strip()
            scope, key = f"{name}#{tables[name]}", ""
            tables[name] += 1
        elif kind == "key":
            key = found.strip('"')
        elif kind in ("text", "number", "flag", "date"):
            yield _Token(kind, key, scope, match.start(), found)


def _words(tokens: Mapping[str, list[_Token]]) -> dict[str, list[str]]:
    """The words that a key may hold, for those keys that hold one of a few."""
    held: defaultdict[str, Counter[str]] = defaultdict(Counter)
    for token in (token for of_file in tokens.values() for token in of_file):
        if token.kind == "text" and token.key not in _PROSE:
            held[token.key][token.text[1:-1]] += 1
    return {
        key: sorted(words)
        for key, words in held.items()
        if 1 < len(words) <= _MOST_WORDS and all(_WORD.fullmatch(word) for word in words)
    }


def _changes(token: _Token, words: Mapping[str, list[str]]) -> Iterator[tuple[str, str]]:
    match token.kind:
        case "number" if token.key.endswith("_ms"):
            return
        case "number":
            yield _other_number(token.text), "number"
        case "flag":
            yield "false" if token.text == "true" else "true", "flag"
        case "text" if token.key in words:
            of_list = words[token.key]
            place = of_list.index(token.text[1:-1])
            yield f'"{of_list[(place + 1) % len(of_list)]}"', "word"
        case "text" if token.key not in _PROSE:
            for number in _NUMBER.finditer(token.text):
                before, after = token.text[: number.start()], token.text[number.end() :]
                yield f"{before}{_other_number(number[0])}{after}", "number in text"


def _other_number(text: str) -> str:
    """A whole number one larger; another one a tenth larger, as people write it."""
    plain = text.replace("_", "")
    if re.fullmatch(r"[+-]?\d+", plain):
        return str(int(plain) + 1)
    value = float(plain)
    return repr(value * 1.1 if value else 1.0)
