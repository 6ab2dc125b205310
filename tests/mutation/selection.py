"""Which tests can see a mutant, the likeliest first, as many as the time for one mutant allows."""

import re
from collections.abc import Iterator, Sequence

from tests.mutation.house import House
from tests.mutation.mutant import Mutant
from tests.mutation.tracing import Traces

__all__ = ["Selection"]

_SECONDS = 15.0  # of recorded test time for one mutant


class Selection:
    """Looks up tests, by their numbers, by what they ran and read."""

    def __init__(self, house: House, tests: Sequence[str], traces: Traces) -> None:
        self._tests, self._traces = tests, traces
        self._files = [name.partition("::")[0] for name in tests]
        self._texts = {file: (house.root / file).read_text() for file in set(self._files)}
        self._texts |= {file: (house.root / file).read_text() for file, _ in traces.seen}

    def tests(self, mutant: Mutant) -> list[int]:
        """The tests to run, in order."""
        first, last = mutant.lines or (1, 1 << 30)
        files = {mutant.file}
        word = re.compile(rf"\b(?:{'|'.join(sorted(mutant.names)) or '(?!)'})\b")
        if mutant.span is not None:
            first, last = 0, 0
        elif mutant.lines is None:
            # Worked out at import: whoever runs something in a file that names it may see it.
            files |= {file for file, text in self._texts.items() if word.search(text)}
        bits = 0
        for (file, line), ran in self._traces.seen.items():
            if file in files and first <= line <= last:
                bits |= ran
        named = {file for file in set(self._files) if mutant.names and file in files}
        numbers = {*_members(bits), *(i for i, file in enumerate(self._files) if file in named)}
        stem = mutant.file.rpartition("/")[2].partition(".")[0]

        def likelihood(number: int) -> tuple[bool, bool, bool, float]:
            file = self._files[number]
            told = stem in self._texts[file] or stem in self._tests[number]
            far = f"/{mutant.wing}/" not in file
            return file not in named, far, not told, self._traces.seconds[number]

        found, seconds = list[int](), 0.0
        for number in sorted(numbers, key=likelihood):
            if self._traces.failed >> number & 1:
                continue  # what fails as it is can judge nothing
            seconds += self._traces.seconds[number]
            if found and seconds > _SECONDS:
                break
            found.append(number)
        return found


def _members(bits: int) -> Iterator[int]:
    while bits:
        low = bits & -bits
        yield low.bit_length() - 1
        bits ^= low
