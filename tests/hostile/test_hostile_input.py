"""Whatever comes: decoders never raise, parsers raise their own errors only, cuts change nothing.

`python -m tests.hostile --inputs N` does the same a million times over and counts mis-decodes.
"""

from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchmeter.errors import DataFileError, InputError
from benchmeter.readings.reading import Indication
from tests.hostile.bench import BENCHES, Fold, ShopBench
from tests.hostile.parts import PARTS
from tests.hostile.wire import WIRES, Wire, decoded, values, with_check_sum
from tests.hostile.writing import WRITINGS, Writing

_MODBUS = next(wire for wire in WIRES if wire.name == "modbus")
_SLOW = {
    "profile file", "scenario file", "settings file", "table of a step", "command line",
    "kind file", "kind record", "kind, fields mixed", "line of a field", "stock list",
    "reference parts", "lot of a kind",
}  # fmt: skip
_WITH_QT = {"command line", "scanned code"}  # among the commands is the report, drawn by Qt


@pytest.mark.parametrize("wire", WIRES, ids=lambda wire: wire.name)
@given(data=st.data())
@settings(max_examples=60, deadline=None)
def test_any_bytes_in_a_talk_keep_every_promise(wire: Wire, data: st.DataObject) -> None:
    talk = data.draw(st.sampled_from(wire.talks))
    answers = [answer for _, answer in talk]
    piece = st.sampled_from(answers) | st.binary(max_size=40) | st.binary(max_size=3)
    broken = [(asked, b"".join(data.draw(st.lists(piece, max_size=4)))) for asked, _ in talk]
    wire.judge(broken, Random(data.draw(st.integers(0, 1000))))


@pytest.mark.parametrize("wire", WIRES, ids=lambda wire: wire.name)
def test_every_valid_talk_gives_what_was_sent_however_it_is_cut(wire: Wire) -> None:
    for talk in wire.talks:
        assert wire.judge(talk, Random(1)) is False
    assert wire.sent()


@pytest.mark.parametrize("wire", WIRES, ids=lambda wire: wire.name)
def test_spoiled_talks_keep_every_promise(wire: Wire) -> None:
    chance = Random(20260329)
    for _ in range(1_000):
        wire.attack(chance)


@given(at=st.integers(0, 71), pattern=st.integers(0, 2**15 - 1))
@settings(max_examples=500, deadline=None)
def test_a_burst_of_errors_up_to_16_bits_is_never_a_modbus_value(at: int, pattern: int) -> None:
    """A 16-bit CRC finds every burst of at most 16 bits (Peterson and Brown 1961, from memory)."""
    (asked, answer), *_ = _MODBUS.talks[0]
    burst = (1 | pattern << 1) << at  # begins at bit `at`, at most 16 bits long
    spoiled = int.from_bytes(answer, "little") ^ (burst & (1 << 8 * len(answer)) - 1)
    data = spoiled.to_bytes(len(answer), "little")
    found = decoded(_MODBUS.decoder(), [(asked, data)])
    assert data != answer
    assert not any(isinstance(one, Indication) for one in found)


@given(body=st.binary(min_size=3, max_size=12))
@settings(max_examples=300, deadline=None)
def test_a_frame_with_a_right_check_sum_that_was_not_asked_for_is_no_value(body: bytes) -> None:
    (asked, _), *_ = _MODBUS.talks[0]
    if body[:3] == b"\x01\x04\x04" and len(body) == 7:
        return
    found = decoded(_MODBUS.decoder(), [(asked, with_check_sum(body))])
    assert not values(found)


_WRITINGS = [
    pytest.param(w, id=w.name, marks=[pytest.mark.gui] if w.name in _WITH_QT else [])
    for w in (*WRITINGS, *PARTS)
]


@pytest.mark.parametrize("writing", _WRITINGS)
def test_the_attack_begins_with_what_gets_in(writing: Writing) -> None:
    refused = 0
    for seed in writing.seeds:
        try:
            writing.read(seed)
        except (InputError, DataFileError):
            refused += 1
    assert refused <= len(writing.seeds) / 3


@pytest.mark.parametrize("writing", _WRITINGS)
def test_what_is_spoiled_is_read_or_refused_in_words(writing: Writing) -> None:
    chance = Random(20260329)
    for _ in range(150 if writing.name in _SLOW else 1_500):
        writing.attack(chance)


@pytest.mark.parametrize(
    "writing",
    [w for w in (*WRITINGS, *PARTS) if w.name not in _SLOW | _WITH_QT],
    ids=lambda writing: writing.name,
)
@given(text=st.text(max_size=60))
@settings(max_examples=150, deadline=None)
def test_any_text_is_read_or_refused_in_words(writing: Writing, text: str) -> None:
    writing.judge(text)


@pytest.mark.parametrize("bench", BENCHES, ids=lambda bench: bench.name)
def test_sights_and_hands_in_any_order_keep_every_promise(bench: Fold | ShopBench) -> None:
    chance = Random(20260329)
    for _ in range(300 if isinstance(bench, Fold) else 25):
        bench.attack(chance)
