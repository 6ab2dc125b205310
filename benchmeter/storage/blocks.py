"""Blocks of samples: some 8192 of a channel in one row, lossless bit for bit.

Times and values are stored as steps between integers, byte by byte in lanes. A lane is deflated
where that is worth its time: the low bytes of a stamp are noise. A value is an integer count over
a divisor where that division gives the very same float: a division is correctly rounded
(IEEE 754), and so are our values from decimal text. Otherwise its 64 bits are the integer.
"""

import hashlib
import zlib
from collections.abc import Iterable
from dataclasses import dataclass
from uuid import UUID

import msgspec
import numpy as np
from numpy.typing import NDArray

from benchmeter.readings.reading import Status

__all__ = ["BLOCK_SAMPLES", "STATUS_OF_CODE", "Block", "Samples", "code_of_status", "unpack"]

BLOCK_SAMPLES = 8192

STATUS_OF_CODE = (
    Status.OK,
    Status.SUSPECT,
    Status.OVERLOAD,
    Status.NO_VALUE,
    Status.WRONG_FUNCTION,
    Status.NO_CONTACT,
)
"""Codes are stored: new ones go to the end."""

code_of_status = {status: code for code, status in enumerate(STATUS_OF_CODE)}

# Powers of ten are exact floats up to 10^22. A Fahrenheit reading is kelvin in steps of 1/180.
_DIVISORS = tuple(10.0**k for k in range(23)) + tuple(18.0 * 10.0**k for k in range(1, 6))
_EXACT_COUNTS = float(2**53)
_MOST = 2**63 - 1
_LEVEL = 1
_WORTH_INFLATING = 0.8  # of the bytes, at most


@dataclass(frozen=True, slots=True, eq=False)
class Samples:
    """Samples of a channel in the order in which they came.

    Attributes:
        time_ns: int64, since the session's start.
        value: float64 in SI; NaN where there is none.
        status: uint8, index into STATUS_OF_CODE.
        resolution: float64 in SI; NaN where it is not known.
    """

    time_ns: NDArray[np.int64]
    value: NDArray[np.float64]
    status: NDArray[np.uint8]
    resolution: NDArray[np.float64]

    def __len__(self) -> int:
        return len(self.time_ns)

    @classmethod
    def joined(cls, count: int, pieces: Iterable["Samples"]) -> "Samples":
        """Pieces of `count` samples in all, one after the other; they need not exist at once."""
        whole = cls(
            np.empty(count, np.int64), np.empty(count), np.empty(count, np.uint8), np.empty(count)
        )
        end = 0
        for piece in pieces:
            place = slice(end, end + len(piece))
            whole.time_ns[place], whole.value[place] = piece.time_ns, piece.value
            whole.status[place], whole.resolution[place] = piece.status, piece.resolution
            end = place.stop
        if end != count:
            raise ValueError(f"{end} samples instead of {count}")
        return whole

    def between(self, start_ns: int, last_ns: int) -> "Samples":
        """Those with start_ns <= time <= last_ns."""
        if self.time_ns.min(initial=start_ns) >= start_ns and (
            self.time_ns.max(initial=last_ns) <= last_ns
        ):
            return self
        wanted = (self.time_ns >= start_ns) & (self.time_ns <= last_ns)
        return Samples(
            self.time_ns[wanted], self.value[wanted], self.status[wanted], self.resolution[wanted]
        )

    def statuses(self) -> list[Status]:
        """The status of each sample."""
        return [STATUS_OF_CODE[code] for code in self.status]

    def same_bits(self, other: "Samples") -> bool:
        """Equal to the last bit, NaN included."""
        return all(
            getattr(self, name).tobytes() == getattr(other, name).tobytes()
            for name in ("time_ns", "value", "status", "resolution")
        )


class _Integers(msgspec.Struct, frozen=True, array_like=True):
    first: int
    least: int  # of the steps
    lanes: tuple[bytes, ...]  # of what a step is above it, lowest byte first; plain or deflated


_Column = _Integers | bytes  # bytes: all eight lanes deflated in one, as the first records have it


class _Body(msgspec.Struct, frozen=True, array_like=True):
    divisor: float  # 0: the value's own 64 bits are stored
    absent: bytes  # one bit a sample: no value; empty where all have one
    time_ns: _Column
    value: _Column
    status: bytes
    resolution: _Column


_encode = msgspec.msgpack.Encoder().encode
_decode = msgspec.msgpack.Decoder(_Body).decode


@dataclass(frozen=True, slots=True)
class Block:
    """A sealed block, as in its row; an overview needs no more than this without `body`."""

    channel: str
    first_number: int
    count: int
    first_ns: int
    last_ns: int
    minimum: float | None
    maximum: float | None
    body: bytes

    @classmethod
    def of(cls, channel: str, first_number: int, samples: Samples) -> "Block":
        """Seal samples (at least one)."""
        shown = samples.value[~np.isnan(samples.value)]
        return cls(
            channel=channel,
            first_number=first_number,
            count=len(samples),
            first_ns=int(samples.time_ns.min()),
            last_ns=int(samples.time_ns.max()),
            minimum=float(shown.min()) if len(shown) else None,
            maximum=float(shown.max()) if len(shown) else None,
            body=pack(samples),
        )

    def digest(self, session: UUID) -> bytes:
        """SHA-256 over all of it and where it belongs."""
        place = (
            session.hex,
            self.channel,
            self.first_number,
            self.count,
            self.first_ns,
            self.last_ns,
            None if self.minimum is None else self.minimum.hex(),
            None if self.maximum is None else self.maximum.hex(),
        )
        return hashlib.sha256(msgspec.json.encode(place) + b"\n" + self.body).digest()


def pack(samples: Samples) -> bytes:
    """The body of a block."""
    divisor, absent, value = _counts(samples.value)
    return _encode(
        _Body(
            divisor=divisor,
            absent=absent,
            time_ns=_pack_integers(samples.time_ns),
            value=_pack_integers(value),
            status=zlib.compress(samples.status.tobytes(), _LEVEL),
            resolution=_pack_integers(samples.resolution.view(np.int64)),
        )
    )


def unpack(body: bytes, count: int) -> Samples:
    """The samples of a block.

    Raises:
        ValueError: the body is broken.
    """
    try:
        found = _decode(body)
        value = _unpack_integers(found.value, count)
        samples = Samples(
            time_ns=_unpack_integers(found.time_ns, count),
            value=_values(found.divisor, found.absent, value),
            status=np.frombuffer(zlib.decompress(found.status), np.uint8),
            resolution=_unpack_integers(found.resolution, count).view(np.float64),
        )
    except (zlib.error, msgspec.MsgspecError) as error:
        raise ValueError(str(error)) from error
    if len(samples.status) != count or samples.status.max(initial=0) >= len(STATUS_OF_CODE):
        raise ValueError("the block's columns do not fit each other")
    return samples


def _counts(value: NDArray[np.float64]) -> tuple[float, bytes, NDArray[np.int64]]:
    """Divisor, bits of absent values, and integers; see `_Body`."""
    absent = np.isnan(value)
    bits = np.packbits(absent).tobytes() if absent.any() else b""
    shown = value[~absent]
    probe = shown[:: max(1, len(shown) // 64)]
    for divisor in _DIVISORS:
        if len(shown) and not _is_exact(probe, divisor):
            continue
        counts = np.zeros(len(value), np.int64)
        if len(shown) and not _is_exact(shown, divisor):
            continue
        counts[~absent] = np.rint(shown * divisor).astype(np.int64)
        if _values(divisor, bits, counts).tobytes() == value.tobytes():
            return divisor, bits, counts
    return 0.0, b"", value.view(np.int64)


def _is_exact(value: NDArray[np.float64], divisor: float) -> bool:
    with np.errstate(over="ignore"):
        counts = np.rint(value * divisor)
    return bool(np.all(np.abs(counts) < _EXACT_COUNTS) and np.all(counts / divisor == value))


def _values(divisor: float, absent: bytes, integers: NDArray[np.int64]) -> NDArray[np.float64]:
    if divisor == 0.0:
        return integers.view(np.float64)
    value = integers / divisor
    if absent:
        value[np.unpackbits(np.frombuffer(absent, np.uint8), count=len(value)).view(bool)] = np.nan
    return value


def _pack_integers(integers: NDArray[np.int64]) -> _Integers:
    step = np.diff(integers)  # wraps, and wraps back
    least = int(step.min(initial=_MOST if len(step) else 0))
    above = (step - np.int64(least)).astype("<i8").view("<u8")
    used = -(-int(above.max(initial=0)).bit_length() // 8)
    lanes = above.view(np.uint8).reshape(-1, 8).T[:used]
    return _Integers(int(integers[0]), least, tuple(_pack_lane(lane.tobytes()) for lane in lanes))


def _pack_lane(lane: bytes) -> bytes:
    deflated = zlib.compress(lane, _LEVEL)
    return deflated if len(deflated) < len(lane) * _WORTH_INFLATING else lane


def _unpack_integers(packed: _Column, count: int) -> NDArray[np.int64]:
    if isinstance(packed, bytes):
        return _unpack_zigzag(packed, count)
    if len(packed.lanes) > 8 or not all(
        -_MOST - 1 <= n <= _MOST for n in (packed.first, packed.least)
    ):
        raise ValueError("a column of integers is broken")
    if not packed.lanes and not packed.least:
        return np.full(count, packed.first, np.int64)
    above = np.zeros((count, 8), np.uint8)
    for number, lane in enumerate(packed.lanes):
        body = lane if len(lane) == count - 1 else zlib.decompress(lane)
        if len(body) != count - 1:
            raise ValueError("a column is longer or shorter than its block")
        above[1:, number] = np.frombuffer(body, np.uint8)
    found = above.view("<i8").reshape(count).astype(np.int64, copy=False)
    found[1:] += packed.least
    found[:1] = packed.first
    return np.cumsum(found, out=found)


def _unpack_zigzag(packed: bytes, count: int) -> NDArray[np.int64]:
    lanes = np.frombuffer(zlib.decompress(packed), np.uint8).reshape(8, count)
    zigzag = np.ascontiguousarray(lanes.T).view("<u8").reshape(count).astype(np.uint64)
    step = (zigzag >> np.uint64(1)).view(np.int64) ^ -((zigzag & np.uint64(1)).view(np.int64))
    return np.cumsum(step, dtype=np.int64)
