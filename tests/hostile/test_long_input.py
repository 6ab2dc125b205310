"""Long input takes no longer than reading it a few times over: fifty thousand signs each.

By the CPU time of the thread, so that what else runs on the machine does not count.
"""

import time
from contextlib import suppress

import msgspec
import pytest

from benchmeter.errors import DataFileError, InputError, Message
from benchmeter.files.toml_folder import field_fault
from benchmeter.reports.tag_code import parse_tag_code
from tests.hostile.parts import PARTS
from tests.hostile.writing import WRITINGS, Writing

LENGTH = 50_000
MOST_S = 2.0
PATTERNS = (
    "1", "a", " ", "[", "]", '"', "'", ",", ";", "\n", "\t", "=", "-", "±", "%", ".", "{", "#", "\\",
    "1 ", "1a", "1,", "1;", "a.", "a ", "1\n", '"\n', '",', 'a","""\n', '""",\n', "1 V ", "±1 %", "1-",
    "5 ohm, ", "1 % + 2 counts;", "resistance 1 %\n", "up to 5 V ", "[a]\n", "[[a]]\n", "a=1\n",
    "urn:uuid:", "9", "0.", "1e", "\0", "\x1d", "\ufeff", "\N{LATIN SMALL LETTER LONG S}", "x = ", "part,",
    "label\n", "label;", "45 uF 5 %\n", "- at `$.a", "..", "[ ", "\r", "\r\n", "V/", "+1/-",
)  # fmt: skip


def _long(pattern: str) -> str:
    return (pattern * LENGTH)[:LENGTH]


_WITH_QT = {"command line", "scanned code"}
_READERS = [
    pytest.param(w, id=w.name, marks=[pytest.mark.gui] if w.name in _WITH_QT else [])
    for w in (*WRITINGS, *PARTS)
]


@pytest.mark.parametrize("writing", _READERS)
def test_no_long_text_keeps_a_reader_busy(writing: Writing) -> None:
    slow = []
    for pattern in PATTERNS:
        for head in ("",) if writing.file else ("", writing.seeds[0][:40]):
            text = head + _long(pattern)
            began = time.thread_time()
            with suppress(InputError, DataFileError, AssertionError):
                writing.read(text)
            taken = time.thread_time() - began
            if taken > MOST_S:
                slow.append((head, pattern, round(taken, 1)))
    assert slow == []


def test_a_long_complaint_is_put_in_words_at_once() -> None:
    began = time.thread_time()
    long = msgspec.DecodeError("x - at `" * (LENGTH // 8))
    field_fault(long, Message("files.kind_of_part"))
    with pytest.raises(InputError):
        parse_tag_code("urn:" + "x" * LENGTH)
    assert time.thread_time() - began < MOST_S
