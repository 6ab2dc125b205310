"""What the benchmarks measure on: invented benches, noisy temperatures, streams."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from benchmeter.links.instruments.formats.text_format import TextFormat
from benchmeter.links.instruments.profile import ChannelOfProfile, Profile
from benchmeter.links.instruments.setup import BenchSetup, ChannelSetup, LinkSetup, Role
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.inputs import Chunk
from benchmeter.readings.reading import Reading
from benchmeter.readings.status import Status
from tests.fakes.readings import reading_in_si

__all__ = [
    "JITTER_NS",
    "SECOND_NS",
    "bench_of",
    "line_of",
    "noisy_kelvin",
    "second_of",
    "stamps_ns",
]

SECOND_NS = 1_000_000_000
JITTER_NS = 1_500_000  # of a reading's arrival, standard deviation


def bench_of(channels: int) -> BenchSetup:
    """One link with so many probes: "T0=23.41 T1=35.02 ...\\n"."""
    pattern = r"\s+".join(rf"T{n}=(?P<T{n}>[+-]?\d+\.\d+)" for n in range(channels))
    fields = tuple(
        ChannelOfProfile(field=f"T{n}", quantity=Quantity.TEMPERATURE, unit="°C")
        for n in range(channels)
    )
    profile = Profile(
        name="probes", title="Probes", format=TextFormat(pattern=pattern), channels=fields
    )
    roles = {0: Role.DISCHARGE, 1: Role.OUTDOOR}
    return BenchSetup(
        origin="simulated",
        links=(LinkSetup(name="probes", address="/dev/ttyUSB0", profile=profile),),
        channels=tuple(
            ChannelSetup(
                name=f"probe {n}",
                role=roles.get(n, Role.OTHER),
                link="probes",
                field=f"T{n}",
                quantity=Quantity.TEMPERATURE,
            )
            for n in range(channels)
        ),
    )


def line_of(kelvin: NDArray[np.float64]) -> bytes:
    """What that link sends."""
    values = (f"T{n}={value - 273.15:.2f}" for n, value in enumerate(kelvin))
    return " ".join(values).encode() + b"\n"


def noisy_kelvin(count: int, seed: int) -> NDArray[np.float64]:
    """A slow wander with noise of 0.3 K on it, in steps of 0.01 K: dear to draw, dear to pack."""
    random = np.random.default_rng(seed)
    wander = 5 * np.sin(np.linspace(0, 40 + seed, count))
    return np.round((300 + 3 * seed + wander + random.normal(0, 0.3, count)) * 100) / 100


def stamps_ns(count: int, period_ns: int, seed: int) -> NDArray[np.int64]:
    """Arrival times: even, with jitter to the nanosecond."""
    random = np.random.default_rng(seed)
    jitter = random.normal(0, JITTER_NS, count).astype(np.int64)
    return np.sort(np.arange(count, dtype=np.int64) * period_ns + jitter + 10 * JITTER_NS)


def second_of(second: int, channels: int, rate: int) -> Iterator[tuple[Chunk, tuple[Reading, ...]]]:
    """One second of that bench: chunks with their readings."""
    random = np.random.default_rng(second)
    for number in range(rate):
        time_ns = second * SECOND_NS + number * SECOND_NS // rate
        kelvin = np.round(random.normal(300, 0.3, channels), 2)
        yield (
            Chunk(time_ns=time_ns, link="probes", data=line_of(kelvin)),
            tuple(
                reading_in_si(f"probe {n}", time_ns, float(value), Status.OK, 0.01, f"{value:.2f}")
                for n, value in enumerate(kelvin)
            ),
        )
