"""Where the words of the markers stand: in rows, so that none meets another or is cut off."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

__all__ = ["PlotWord", "place_words"]

_LONGEST = (1.0, 0.5)  # word, as part of the room, before single ones are shortened further
_GAP = 6.0

MeasurementSpec = Callable[[str], float]
Shorten = Callable[[str, float], str]


@dataclass(frozen=True, slots=True)
class PlotWord:
    """A word at its line; lengths in pixels from the left edge.

    Attributes:
        line: where its line stands.
        text: as shown, with an ellipsis where it had to be shortened; "" where there is no room.
        row: 0 is the uppermost.
        left, right: ends of the word; it begins or ends at its line.
    """

    line: float
    text: str
    row: int
    left: float
    right: float


def place_words(
    words: Sequence[tuple[float, str]],
    room: float,
    rows: int,
    measure: MeasurementSpec,
    shorten: Shorten,
) -> tuple[PlotWord, ...]:
    """Place words in at most `rows` rows. Never do two words meet.

    A line reaches from below up to its word. If there is room no line crosses another's word; if
    there is too little, a word is shortened where the next one of its row begins; if there is next
    to none, some lines have no word.

    Args:
        words: place of the line, 0 to `room`, and text; by place.
        measure: width of a text. shorten: a text made to fit a width.
    """
    cut: tuple[PlotWord, ...] = ()
    for part in _LONGEST:
        wide = [
            _at_its_line(line, shorten(text, room * part), room, measure) for line, text in words
        ]
        free = _side_by_side(wide, rows)
        cut = free if free is not None else _shortened(wide, rows, measure, shorten)
        if all(word.text for word in cut):
            break
    return cut


def _at_its_line(line: float, text: str, room: float, measure: MeasurementSpec) -> PlotWord:
    """Right of its line, or left of it where it would leave the plot."""
    width = measure(text)
    left = line if line + width <= room or line < width else line - width
    left = max(min(left, room - width), 0.0)
    return PlotWord(line, text, 0, left, left + width)


def _side_by_side(words: Sequence[PlotWord], rows: int) -> tuple[PlotWord, ...] | None:
    """Each whole, in the uppermost row where no word and no line is in the way."""
    placed: list[PlotWord] = []
    for word in words:
        row = next((r for r in range(rows) if _is_free(placed, word, r)), None)
        if row is None:
            return None
        placed.append(replace(word, row=row))
    return tuple(placed)


def _is_free(placed: Sequence[PlotWord], word: PlotWord, row: int) -> bool:
    return not any(
        (other.row == row and other.left < word.right and word.left < other.right)
        or (other.row > row and other.left < word.line < other.right)
        or (other.row < row and word.left < other.line < word.right)
        for other in placed
    )


def _shortened(
    words: Sequence[PlotWord], rows: int, measure: MeasurementSpec, shorten: Shorten
) -> tuple[PlotWord, ...]:
    """Each in the row that has been free for the longest, the one before it cut to what is left."""
    placed: list[PlotWord] = []
    last: dict[int, int] = {}  # row: number of the word that stands there last
    least = measure("…")
    for word in words:
        row = min(
            range(rows),
            key=lambda r: (
                (placed[last[r]].right > word.left, placed[last[r]].left)
                if r in last
                else (False, float(r))
            ),
        )
        before = placed[last[row]] if row in last else None
        if before is not None and before.right > word.left:
            text = shorten(before.text, word.left - _GAP - before.left)
            right = before.left + measure(text)
            if right > word.left or len(text) < 2 or right - before.left <= least:
                placed.append(PlotWord(word.line, "", row, word.line, word.line))
                continue
            placed[last[row]] = replace(before, text=text, right=right)
        last[row] = len(placed)
        placed.append(replace(word, row=row))
    return tuple(placed)
