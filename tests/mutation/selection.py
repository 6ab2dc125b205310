"""Which tests can see a mutant, the likeliest first, as many as the time for one mutant allows."""

import re
from collections.abc import Iterable, Iterator
from pathlib import Path

from tests.mutation.house import House
from tests.mutation.mutant import Mutant
from tests.mutation.tracing import Traces

__all__ = ["Selection"]

_SECONDS = 20.0  # of recorded test time for one mutant
_FURTHEST = 3  # names that lead to names, at import


class Selection:
    """Looks up tests by what they ran and read."""

    def __init__(self, house: House, traces: Traces) -> None:
        self._house, self._traces = house, traces
        failed = set(traces.failed)
        # What fails as it is, or where libraries are loaded already, can judge nothing.
        self._unfit = _union(1 << i for i, name in enumerate(traces.tests) if name in failed)
        self._texts = {file: (house.root / file).read_text() for file in traces.lines}
        test_files = {name.partition("::")[0] for name in traces.tests}
        self._tests = {file: (house.root / file).read_text() for file in sorted(test_files)}

    def tests(self, mutant: Mutant) -> list[str]:
        """The names of the tests to run, in order."""
        if mutant.span is not None:
            bits = self._traces.reads.get(mutant.file, 0)
        elif mutant.lines is not None:
            ran = self._traces.lines.get(mutant.file, {})
            first, last = mutant.lines
            bits = _union(b for line, b in ran.items() if first <= line <= last)
        else:
            bits = self._through_names(mutant.names)
        return self._in_order(mutant, bits & ~self._unfit)

    def _through_names(self, names: frozenset[str]) -> int:
        """The tests that run a statement, or stand in a file, where one of the names occurs."""
        bits, known, new = 0, set[str](), set(names)
        for _ in range(_FURTHEST):
            word = re.compile(rf"\b(?:{'|'.join(map(re.escape, sorted(new)))})\b") if new else None
            known |= new
            new = set()
            if word is None:
                break
            for file, text in self._texts.items():
                ran = self._traces.lines[file]
                for line, source in enumerate(text.splitlines(), 1):
                    if word.search(source):
                        bits |= _nearest(ran, line)
                        if bound := re.match(r"(?:    )?(\w+)(?:: [^=]+)? = ", source):
                            new.add(bound[1])
            for file, text in self._tests.items():
                if word.search(text):
                    bits |= self._of_file(file)
            new -= known
        return bits

    def _of_file(self, file: str) -> int:
        tests = enumerate(self._traces.tests)
        return _union(1 << i for i, name in tests if name.partition("::")[0] == file)

    def _in_order(self, mutant: Mutant, bits: int) -> list[str]:
        stem = Path(mutant.file).stem
        near = f"/{mutant.wing}/"

        def likelihood(index: int) -> tuple[bool, bool, bool, float]:
            name = self._traces.tests[index]
            text = self._tests[name.partition("::")[0]]
            named = stem in name or (mutant.span is not None and stem in text)
            return not named, near not in name, stem not in text, self._traces.seconds[index]

        found, seconds = list[str](), 0.0
        for index in sorted(_members(bits), key=likelihood):
            seconds += self._traces.seconds[index]
            if found and seconds > _SECONDS:
                continue
            found.append(self._traces.tests[index])
        return found


def _nearest(ran: dict[int, int], line: int) -> int:
    """The tests of the statement that a line belongs to: it may have begun a few lines above."""
    for above in range(line, max(0, line - 8), -1):
        if above in ran:
            return ran[above]
    return 0


def _union(several: Iterable[int]) -> int:
    bits = 0
    for one in several:
        bits |= one
    return bits


def _members(bits: int) -> Iterator[int]:
    while bits:
        low = bits & -bits
        yield low.bit_length() - 1
        bits ^= low
