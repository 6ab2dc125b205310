"""The record on disk: bytes a sample, loading 7,000,000 samples, a window of ten minutes.

Floors: the entropy of the differences of the signal; numpy.fromfile of the same pairs of float64;
seek and read of the window's part of such a file.
"""

import math
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any
from uuid import UUID

import numpy as np
from sqlalchemy import insert

from benchmeter.files.folders import Folders
from benchmeter.record.blocks import BLOCK_SAMPLES, Block, Samples
from benchmeter.record.engines import writing_engine
from benchmeter.record.store import Store
from benchmeter.record.tables import sample_blocks
from tests.benchmarks.measure import Row, in_turn, p50
from tests.benchmarks.scenes import JITTER_NS, SECOND_NS, bench_of, noisy_kelvin, stamps_ns

__all__ = ["run"]

_CHANNELS = 8
_PERIOD_NS = SECOND_NS // 10
_WINDOW_S = 600


def run(quick: bool) -> list[Row]:
    count = 8 * BLOCK_SAMPLES if quick else 7_000_000 // _CHANNELS
    rounds = 2 if quick else 7
    channels = {f"probe {n}": _signal(count, n) for n in range(_CHANNELS)}
    with TemporaryDirectory() as folder:
        folders = Folders(Path(folder) / "data")
        session = _begin(folders)
        stored = _fill(folders, session, channels)
        files = {name: Path(folder) / f"{name}.f64" for name in channels}
        for name, samples in channels.items():
            np.column_stack((samples.time_ns / 1e9, samples.value)).tofile(files[name])
        with Store.open(folders, write=False) as store:

            def load(start_ns: int | None = None, end_ns: int | None = None) -> list[Samples]:
                return [store.samples(str(session), name, start_ns, end_ns) for name in files]

            assert all(s.same_bits(channels[n]) for n, s in zip(files, load(), strict=True))
            begin_ns = count // 2 * _PERIOD_NS
            length = _WINDOW_S * SECOND_NS // _PERIOD_NS
            whole, whole_ours = in_turn(
                rounds, lambda: [np.fromfile(f).reshape(-1, 2) for f in files.values()], load,
                warm_up=1,
            )  # fmt: skip
            part, part_ours = in_turn(
                rounds * 10,
                lambda: [_part(f, count // 2, length) for f in files.values()],
                lambda: load(begin_ns, begin_ns + _WINDOW_S * SECOND_NS),
            )
    some = next(iter(channels.values()))
    return [
        Row("bytes a sample", stored / (count * _CHANNELS), "B", 1.9, _entropy(some) / 8),
        Row("load 7e6 samples, p50", p50(whole_ours), "ms", 5.0, p50(whole)),
        Row("10-minute window of 8 channels, p50", p50(part_ours), "ms", 15.0, p50(part)),
    ]


def _signal(count: int, seed: int) -> Samples:
    return Samples(
        time_ns=stamps_ns(count, _PERIOD_NS, seed),
        value=noisy_kelvin(count, seed),
        status=np.zeros(count, np.uint8),
        resolution=np.full(count, 0.01),
    )


def _entropy(samples: Samples) -> float:
    """Bits a sample: of the stamps' differences (Gaussian, exact), and of the values' as counted."""
    spread = math.sqrt(2) * JITTER_NS
    times = math.log2(spread * math.sqrt(2 * math.pi * math.e))
    _, counted = np.unique(np.diff(np.rint(samples.value * 100)), return_counts=True)
    share = counted / counted.sum()
    return times - float(np.sum(share * np.log2(share)))


def _begin(folders: Folders) -> UUID:
    with Store.open(folders, write=True) as store:
        recorder = store.begin(
            bench_of(_CHANNELS), name="", started=datetime.now(UTC), zone="Etc/UTC"
        )
        recorder.close()
        return UUID(recorder.session_id)


def _fill(folders: Folders, session: UUID, channels: dict[str, Samples]) -> int:
    """Put blocks into the record as sealing does; by how much its file grows."""
    before = folders.database.stat().st_size
    engine = writing_engine(folders.database)
    for name, samples in channels.items():
        with engine.begin() as connection:
            connection.execute(insert(sample_blocks), list(_rows(session, name, samples)))
    engine.dispose()
    return folders.database.stat().st_size - before


def _rows(session: UUID, channel: str, samples: Samples) -> Iterator[dict[str, Any]]:
    for first in range(0, len(samples), BLOCK_SAMPLES):
        piece = slice(first, first + BLOCK_SAMPLES)
        block = Block.of(
            channel,
            first,
            Samples(
                samples.time_ns[piece],
                samples.value[piece],
                samples.status[piece],
                samples.resolution[piece],
            ),
        )
        yield {
            "session_id": session,
            "channel": channel,
            "first_number": first,
            "sample_count": block.count,
            "first_ns": block.first_ns,
            "last_ns": block.last_ns,
            "minimum": block.minimum,
            "maximum": block.maximum,
            "body": block.body,
            "digest": block.digest(session),
        }


def _part(path: Path, first: int, count: int) -> np.ndarray:
    with path.open("rb") as file:
        file.seek(16 * first)
        return np.frombuffer(file.read(16 * count)).reshape(-1, 2)
