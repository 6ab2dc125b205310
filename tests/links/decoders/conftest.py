"""Every decoder case is tried whole, byte by byte, and with the beginning of the next frame."""

from collections.abc import Callable

import pytest

from benchmeter.links.decoders.decoder import Decoder
from benchmeter.readings.reading import Garbled, Indication

Found = list[Indication | Garbled]


@pytest.fixture
def three_ways() -> Callable[[Callable[[], Decoder], bytes, bytes], Found]:
    """Feeds `data` to fresh decoders in three ways, and hands out what all of them found."""

    def decode(make: Callable[[], Decoder], data: bytes, tail: bytes) -> Found:
        whole = make().feed(data)
        decoder = make()
        assert [found for byte in data for found in decoder.feed(bytes([byte]))] == whole
        assert make().feed(data + tail) == whole
        return whole

    return decode
