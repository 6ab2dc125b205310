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
        order = np.argsort(hashes, kind="stable")  # of equal ones the earliest is the first
        hashes = hashes[order]
        begins = np.flatnonzero(np.concatenate(([True], hashes[1:] != hashes[:-1])))
        ends = np.append(begins[1:], len(hashes)) - 1
        rows = np.arange(self._rows, self._rows + fresh, dtype=np.int32)
        self._hashes = hashes[begins]
        self._began = np.concatenate((self._began, rows))[order[begins]]
        again = np.concatenate((self._again, np.zeros(fresh, bool)))[order[begins]]
        self._again = again | (ends > begins)
        self._rows += fresh
        self.count = int(np.count_nonzero(self._again))
        twice = np.flatnonzero(ends > begins)
        earliest = twice[np.argsort(self._began[twice])[:_KEPT]]
        for began, last in zip(
            self._began[earliest].tolist(), order[ends[earliest]].tolist(), strict=True
        ):
            self._first[began] = names[last - known]
        self._first = dict(sorted(self._first.items())[:_KEPT])

    def first(self, most: int) -> list[str]:
        """Those that came again, in the order of their first rows; no more than eight."""
        return list(self._first.values())[:most]
