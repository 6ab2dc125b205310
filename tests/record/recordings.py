"""Small things to record."""

from datetime import UTC, datetime

from benchmeter.readings.inputs import Chunk
from benchmeter.readings.reading import Reading
from benchmeter.readings.status import Status
from tests.fakes.readings import reading_in_si

STARTED = datetime(2026, 3, 29, 0, 59, 59, 123456, tzinfo=UTC)  # a second before a zone's summer
SECOND = 1_000_000_000


def reading(number: int, channel: str = "discharge", value: float | None = 300.25) -> Reading:
    status = Status.OK if value is not None else Status.NO_CONTACT
    return reading_in_si(channel, number * SECOND, value, status, 0.1, "27.1 C")


def chunk(number: int, data: bytes = b"27.1 C\r\n") -> Chunk:
    return Chunk(time_ns=number * SECOND, link="probe", data=data)
