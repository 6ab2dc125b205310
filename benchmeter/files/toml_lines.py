"""In which line of a TOML file a field stands."""

import re

__all__ = ["line_of"]

_HEADER = re.compile(r"\s*(\[\[?)([^\[\]]+)\]\]?\s*(?:#.*)?")
_KEY = re.compile(r"""\s*((?:[\w-]+|"[^"]*"|'[^']*')(?:\s*\.\s*(?:[\w-]+|"[^"]*"|'[^']*'))*)\s*=""")
_MANY_LINES = ('"""', "'''")


def line_of(text: str, place: str) -> int | None:
    """The line, counted from 1, of a field like `measures[2].limits.low`.

    The nearest table or value that holds it, where it has no line of its own; None where there is
    none.
    """
    found: dict[str, int] = {}
    table, counts, inside = "", dict[str, int](), ""
    # Not splitlines(): TOML knows no other ends of lines, and editors count none.
    for number, line in enumerate(text.split("\n"), 1):
        if inside:
            inside = "" if inside in line else inside
            continue
        header, key = _HEADER.fullmatch(line), _KEY.match(line)
        if header is not None:
            table = _table(_names(header[2]), header[1] == "[[", counts)
            found.setdefault(table, number)
        elif key is not None:
            found.setdefault(".".join(filter(None, (table, *_names(key[1])))), number)
            inside = next((m for m in _MANY_LINES if line.count(m) % 2), "")
    while place:
        if place in found:
            return found[place]
        place = place.rpartition(".")[0] if "." in place else ""
    return None


def _names(dotted: str) -> list[str]:
    return [name.strip().strip("\"'") for name in dotted.split(".")]


def _table(names: list[str], of_array: bool, counts: dict[str, int]) -> str:
    """The full place of a header: [[a]] is a[0], then a[1]; [a.b] below it is a[1].b."""
    path = ""
    for depth, name in enumerate(names):
        path = f"{path}.{name}" if path else name
        if of_array and depth == len(names) - 1:
            counts[path] = counts.get(path, -1) + 1
        if path in counts:
            path = f"{path}[{counts[path]}]"
    return path
