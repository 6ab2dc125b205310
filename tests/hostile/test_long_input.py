"""Long input ends like any other; how long that takes is timed in `tests.benchmarks` (`bounded`)."""

from contextlib import suppress

import msgspec
import pytest

from benchmeter.errors import DataFileError, InputError, Message
from benchmeter.files.toml_folder import field_fault
from benchmeter.reports.tag_code import parse_tag_code
from tests.hostile.long_text import LENGTH, long_texts
from tests.hostile.parts import PARTS
from tests.hostile.writing import WRITINGS, Writing

_WITH_QT = {"command line", "scanned code"}
_READERS = [
    pytest.param(w, id=w.name, marks=[pytest.mark.gui] if w.name in _WITH_QT else [])
    for w in (*WRITINGS, *PARTS)
]


@pytest.mark.parametrize("writing", _READERS)
def test_a_long_text_is_read_or_refused(writing: Writing) -> None:
    for text in long_texts(writing):
        with suppress(InputError, DataFileError, AssertionError):
            writing.read(text)


def test_a_long_complaint_is_told() -> None:
    long = msgspec.DecodeError("x - at `" * (LENGTH // 8))
    field_fault(long, Message("files.kind_of_part"))
    with pytest.raises(InputError):
        parse_tag_code("urn:" + "x" * LENGTH)
