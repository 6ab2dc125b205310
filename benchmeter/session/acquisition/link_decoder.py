"""A link's decoder behind a wall: what goes wrong in it is told, and stops nothing else."""

import logging
from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

from benchmeter.errors import Message
from benchmeter.links.instruments.building import decoder_for
from benchmeter.links.instruments.profile import Profile
from benchmeter.readings.reading import Garbled, Indication

__all__ = ["MOST_FAULTS", "DecoderFault", "LinkDecoder", "Run", "run_here"]

MOST_FAULTS = 3

_log = logging.getLogger(__name__)

T = TypeVar("T")

Run = Callable[[Callable[[], T]], T]
"""Runs a piece of work and hands out its result.

Raises:
    TimeoutError: it takes too long and was given up.
"""


def run_here(work: Callable[[], T]) -> T:
    """On the thread of the caller, however long it takes."""
    return work()


@dataclass(frozen=True, slots=True)
class DecoderFault:
    """The decoder has failed. `given_up`: nothing is decoded until the link is opened again."""

    reason: Message
    given_up: bool


Found = Indication | Garbled | DecoderFault


class LinkDecoder:
    """Decodes one link. After a fault the decoder begins anew; after the third it is given up.

    The bytes are in the record whatever happens here, so a better program reads them later.

    Args:
        run: runs the decoder.
    """

    def __init__(self, profile: Profile, run: Run[list[Indication | Garbled]] = run_here) -> None:
        self._profile = profile
        self._run = run
        self._decoder = decoder_for(profile)
        self._faults = 0

    def feed(self, data: bytes) -> list[Found]:
        """What the bytes say; see Decoder. Never raises."""
        decoder = self._decoder
        return self._guarded(lambda: decoder.feed(data))

    def sent(self, data: bytes) -> list[Found]:
        """This was sent. Never raises."""
        decoder = self._decoder

        def tell() -> list[Indication | Garbled]:
            decoder.sent(data)
            return []

        return self._guarded(tell)

    def restart(self) -> None:
        """The link was lost or found again."""
        self._decoder = decoder_for(self._profile)
        self._faults = 0

    def _guarded(self, work: Callable[[], list[Indication | Garbled]]) -> list[Found]:
        if self._faults >= MOST_FAULTS:
            return []
        try:
            return [*self._run(work)]
        except Exception as fault:  # noqa: BLE001 - the wall: every fault ends here
            _log.warning("a decoder of %s failed", self._profile.name, exc_info=True)
            self._faults += 1
            self._decoder = decoder_for(self._profile)
            if isinstance(fault, TimeoutError):
                reason = Message("decoders.too_slow")
            else:
                reason = Message("decoders.failed", {"fault": type(fault).__name__})
            return [DecoderFault(reason, self._faults >= MOST_FAULTS)]
