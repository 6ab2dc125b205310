"""Names that stand on several rows, found without keeping a million of them."""

from collections.abc import Sequence

__all__ = ["RepeatedNames"]

_KEPT = 8  # names that are told


class RepeatedNames:
    """Knows a name by its hash: of a million names two share one by a chance of 1 in 30 million.

    `count`: names that came twice or more often.
    """

    def __init__(self) -> None:
        import numpy as np

        self.count = 0
        self._rows = 0
        self._hashes = np.empty(0, np.int64)  # of each name once, ascending
        self._began = np.empty(0, np.int32)  # the row where each came first
        self._again = np.empty(0, bool)  # whether it came again
        self._first: dict[int, str] = {}

    def add(self, names: Sequence[str]) -> None:
        """Take the names of further rows."""
        import numpy as np

        if not names:
            return
        known, fresh = len(self._hashes), len(names)
        hashes = np.concatenate((self._hashes, np.fromiter(map(hash, names), np.int64, fresh)))
        # Of equal ones the earliest is the first.
        order = np.argsort(hashes, kind="stable").astype(np.int32)
        hashes = hashes[order]
        first = np.ones(len(hashes), bool)
        first[1:] = hashes[1:] != hashes[:-1]
        self._hashes = hashes[first]
        rows = np.arange(self._rows, self._rows + fresh, dtype=np.int32)
        self._began = np.concatenate((self._began, rows))[order[first]]
        self._again = np.concatenate((self._again, np.zeros(fresh, bool)))[order[first]]
        self._rows += fresh
        repeats = np.flatnonzero(~first)
        of_each = np.cumsum(first, dtype=np.int32)[repeats] - 1
        self._again[of_each] = True
        self.count = int(np.count_nonzero(self._again))
        began, at = np.unique(self._began[of_each], return_index=True)
        for row, place in zip(
            began[:_KEPT].tolist(), order[repeats[at[:_KEPT]]].tolist(), strict=True
        ):
            self._first[row] = names[place - known]
        self._first = dict(sorted(self._first.items())[:_KEPT])

    def first(self, most: int) -> list[str]:
        """Those that came again, in the order of their first rows; no more than eight."""
        return list(self._first.values())[:most]
