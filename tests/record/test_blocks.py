"""Blocks of samples are lossless to the last bit; the oracle is the data itself."""

from decimal import Decimal
from fractions import Fraction

import msgspec
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays

from benchmeter.record.blocks import STATUS_OF_CODE, Samples, pack, unpack, unpack_into

LONG = st.integers(1, 300)


def samples(value: np.ndarray, time_ns: np.ndarray | None = None) -> Samples:
    count = len(value)
    return Samples(
        time_ns=np.arange(count, dtype=np.int64) * 100_000_000 if time_ns is None else time_ns,
        value=value.astype(np.float64),
        status=np.zeros(count, np.uint8),
        resolution=np.full(count, 0.01),
    )


@st.composite
def any_samples(draw: st.DrawFn) -> Samples:
    count = draw(LONG)
    bits = arrays.arrays(np.uint64, count)  # every bit pattern: NaN payloads, -0.0, denormals
    return Samples(
        time_ns=draw(arrays.arrays(np.int64, count)),
        value=draw(bits).view(np.float64),
        status=draw(
            arrays.arrays(np.uint8, count, elements=st.integers(0, len(STATUS_OF_CODE) - 1))
        ),
        resolution=draw(bits).view(np.float64),
    )


@settings(deadline=None)
@given(any_samples())
def test_any_bits_come_back(original: Samples) -> None:
    assert unpack(pack(original), len(original)).same_bits(original)


@settings(deadline=None)
@given(
    st.lists(st.none() | st.integers(-99999, 99999), min_size=1, max_size=200), st.integers(-15, 3)
)
def test_displayed_numbers_with_holes_come_back(counts: list[int | None], exponent: int) -> None:
    shown = [np.nan if c is None else float(Decimal(c).scaleb(exponent)) for c in counts]
    original = samples(np.array(shown))

    assert unpack(pack(original), len(original)).same_bits(original)


def kelvin_of_celsius(text: str) -> float:
    return float(Decimal(text) + Decimal("273.15"))


def kelvin_of_fahrenheit(text: str) -> float:
    """T/K = (t/°F + 459.67) × 5/9: exact by the definition of the Fahrenheit scale."""
    return float((Fraction(text) + Fraction("459.67")) * Fraction(5, 9))


@pytest.mark.parametrize(
    ("shown", "bytes_a_sample"),
    [
        ([kelvin_of_celsius(f"{20 + i % 700 / 10:.1f}") for i in range(8192)], 2.0),
        ([kelvin_of_fahrenheit(f"{70 + i % 700 / 10:.1f}") for i in range(8192)], 2.0),
        ([float(Decimal(f"{44 + i % 70 / 100:.2f}e-6")) for i in range(8192)], 2.0),
    ],
    ids=["celsius", "fahrenheit", "microfarad"],
)
def test_what_meters_show_is_kept_small(shown: list[float], bytes_a_sample: float) -> None:
    """A plain row costs 27-46 bytes, two float64 16; 2 is generous for a regular series."""
    original = samples(np.array(shown))
    body = pack(original)

    assert unpack(body, len(original)).same_bits(original)
    assert len(body) / len(original) < bytes_a_sample


def test_the_largest_time_steps_wrap_and_come_back() -> None:
    ends = np.array([np.iinfo(np.int64).max, np.iinfo(np.int64).min, 0, -1], np.int64)
    original = samples(np.zeros(4), ends)

    assert unpack(pack(original), 4).same_bits(original)


@given(any_samples(), st.booleans(), st.data())
def test_a_span_of_time_gives_the_samples_in_it(
    original: Samples, in_order: bool, data: st.DataObject
) -> None:
    if in_order:
        original.time_ns.sort()
    ends = st.sampled_from(original.time_ns.tolist()) | st.integers(-(2**63), 2**63 - 1)
    first, last = data.draw(ends), data.draw(ends)
    wanted = [first <= time <= last for time in original.time_ns.tolist()]
    room = Samples.room_for(len(original))

    kept = unpack_into(room, pack(original), (first, last))

    assert kept == sum(wanted)
    for name in ("time_ns", "value", "status", "resolution"):
        expected = getattr(original, name)[np.array(wanted)]
        assert getattr(room, name)[:kept].tobytes() == expected.tobytes()


def test_a_span_of_displayed_numbers_with_holes_comes_back() -> None:
    shown = [np.nan if n % 7 == 3 else 20 + n % 50 / 10 for n in range(1000)]
    original = samples(np.array(shown))
    room = Samples.room_for(1000)

    assert unpack_into(room, pack(original), (30_000_000_000, 70_000_000_000)) == 401
    assert room.part(0, 401).same_bits(original.part(300, 701))


@pytest.mark.parametrize("divisor", [5e-324, -1e-300, float("inf"), float("nan")])
def test_a_damaged_divisor_gives_no_warning(divisor: float) -> None:
    """That the block is damaged, its digest tells."""
    fields = msgspec.msgpack.decode(pack(samples(np.arange(50) / 10)))
    assert fields[0] == 10.0
    assert len(unpack(msgspec.msgpack.encode([divisor, *fields[1:]]), 50)) == 50


@settings(deadline=None)
@given(st.binary(max_size=200), st.integers(1, 50))
def test_random_bytes_are_refused_with_a_value_error(body: bytes, count: int) -> None:
    with pytest.raises(ValueError):
        unpack(body, count)


@given(st.data())
def test_a_flipped_byte_is_refused_or_gives_columns_of_the_same_length(data: st.DataObject) -> None:
    original = samples(np.arange(50) / 10)
    body = bytearray(pack(original))
    body[data.draw(st.integers(0, len(body) - 1))] ^= data.draw(st.integers(1, 255))
    try:
        found = unpack(bytes(body), 50)
    except ValueError:
        return
    assert {len(found.time_ns), len(found.value), len(found.status), len(found.resolution)} == {50}
