"""Blocks of samples: some 8192 of a channel in one row, lossless bit for bit.

Times and values are stored as steps between integers, byte by byte in lanes. A lane is deflated
where that is worth its time: the low bytes of a stamp are noise. A value is an integer count over
a divisor where that division gives the very same float: a division is correctly rounded
(IEEE 754), and so are our values from decimal text. Otherwise its 64 bits are the integer.
"""

import hashlib
import zlib
from dataclasses import dataclass
from uuid import UUID

import msgspec
import numpy as np
from numpy.typing import NDArray

from benchmeter.readings.status import Status

__all__ = [
    "BLOCK_SAMPLES",
    "STATUS_OF_CODE",
    "Block",
    "Samples",
    "code_of_status",
    "unpack",
    "unpack_into",
]

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
    def room_for(cls, count: int) -> "Samples":
        """Samples that are still to be filled in."""
        return cls(
            np.empty(count, np.int64), np.empty(count), np.empty(count, np.uint8), np.empty(count)
        )

    def part(self, first: int, stop: int) -> "Samples":
        """A view of those numbers."""
        place = slice(first, stop)
        return Samples(
            self.time_ns[place], self.value[place], self.status[place], self.resolution[place]
        )

    def put(self, first: int, piece: "Samples") -> int:
        """Copy a piece in; the number after its last."""
        place = self.part(first, first + len(piece))
        place.time_ns[:], place.value[:] = piece.time_ns, piece.value
        place.status[:], place.resolution[:] = piece.status, piece.resolution
        return first + len(piece)

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
    samples = Samples.room_for(count)
    unpack_into(samples, body)
    return samples


def unpack_into(room: Samples, body: bytes, span: tuple[int, int] | None = None) -> int:
    """Fill in the samples of a block with span[0] <= time <= span[1]; how many those are.

    Args:
        room: for the whole block; the samples are put at its begin.
        span: nanoseconds; None: all.

    Raises:
        ValueError: the body is broken.
    """
    count = len(room)
    try:
        found = _decode(body)
        if span is None:
            first, part = 0, room
            _unpack_integers(found.time_ns, count, room.time_ns)
        else:
            time_ns = np.empty(count, np.int64)  # fresh memory costs more than what it is for
            _unpack_integers(found.time_ns, count, time_ns)
            wanted = np.flatnonzero((time_ns >= span[0]) & (time_ns <= span[1]))
            first, stop = (int(wanted[0]), int(wanted[-1]) + 1) if len(wanted) else (0, 0)
            part = room.part(0, stop - first)
            part.time_ns[:] = time_ns[first:stop]
        status = np.frombuffer(zlib.decompress(found.status), np.uint8)
        if len(status) != count or status.max(initial=0) >= len(STATUS_OF_CODE):
            raise ValueError("the block's columns do not fit each other")
        part.status[:] = status[first : first + len(part)]
        _unpack_integers(found.resolution, count, part.resolution.view(np.int64), first)
        _unpack_values(found, count, part.value, first)
    except (zlib.error, msgspec.MsgspecError) as error:
        raise ValueError(str(error)) from error
    # Its times may have gone back: some between the first and the last may lie outside.
    return len(part) if span is None else room.put(0, part.between(*span))


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
        if np.where(absent, np.nan, counts / divisor).tobytes() == value.tobytes():
            return divisor, bits, counts
    return 0.0, b"", value.view(np.int64)


def _is_exact(value: NDArray[np.float64], divisor: float) -> bool:
    with np.errstate(over="ignore"):
        counts = np.rint(value * divisor)
    return bool(np.all(np.abs(counts) < _EXACT_COUNTS) and np.all(counts / divisor == value))


def _unpack_values(body: _Body, count: int, into: NDArray[np.float64], first: int) -> None:
    if body.divisor == 0.0:
        _unpack_integers(body.value, count, into.view(np.int64), first)
        return
    integers = np.empty(len(into), np.int64)
    _unpack_integers(body.value, count, integers, first)
    with np.errstate(all="ignore"):  # of a damaged divisor the digest tells
        np.divide(integers, body.divisor, out=into)
    if body.absent:
        absent = np.unpackbits(np.frombuffer(body.absent, np.uint8), count=count).view(bool)
        into[absent[first : first + len(into)]] = np.nan


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


def _unpack_integers(packed: _Column, count: int, into: NDArray[np.int64], first: int = 0) -> None:
    """Fill in as many of a column of `count` as there is room for, from number `first` on."""
    stop = first + len(into)
    if isinstance(packed, bytes):
        into[:] = _unpack_zigzag(packed, count)[first:stop]
        return
    if len(packed.lanes) > 8 or not all(
        -_MOST - 1 <= n <= _MOST for n in (packed.first, packed.least)
    ):
        raise ValueError("a column of integers is broken")
    if not packed.lanes and not packed.least:
        into[:] = packed.first
        return
    above = _unpack_lanes(packed.lanes, count - 1)
    begin = packed.first
    if first:
        begin += int(above[:first].sum(dtype=np.uint64)) + first * packed.least
    into[:1] = (begin + _MOST + 1) % 2**64 - _MOST - 1  # it wraps, as the sums do
    into[1:] = above[first : max(stop - 1, first)]
    into[1:] += np.int64(packed.least)
    np.add.accumulate(into, out=into)


def _unpack_lanes(lanes: tuple[bytes, ...], count: int) -> NDArray[np.unsignedinteger]:
    """Integers from their bytes."""
    width = 1 << max(len(lanes) - 1, 0).bit_length()  # bytes: 1, 2, 4, 8
    whole = np.zeros(max(count, 0), f"u{width}")
    for lane in reversed(lanes):
        body = lane if len(lane) == count else zlib.decompress(lane)
        if len(body) != count:
            raise ValueError("a column is longer or shorter than its block")
        if width > 1:
            whole <<= 8
        whole |= np.frombuffer(body, np.uint8)
    return whole


def _unpack_zigzag(packed: bytes, count: int) -> NDArray[np.int64]:
    lanes = np.frombuffer(zlib.decompress(packed), np.uint8).reshape(8, count)
    zigzag = np.ascontiguousarray(lanes.T).view("<u8").reshape(count).astype(np.uint64)
    step = (zigzag >> np.uint64(1)).view(np.int64) ^ -((zigzag & np.uint64(1)).view(np.int64))
    return np.cumsum(step, dtype=np.int64)
