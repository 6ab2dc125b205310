"""What every decoder is."""

from typing import Protocol

from benchmeter.readings.reading import Garbled, Indication

__all__ = ["Decoder"]


class Decoder(Protocol):
    """Eats a link's bytes, however they are cut, and yields what the instrument indicated.

    Never raises on any input. Bytes that are no valid frame become `Garbled`, never a value. An
    incomplete tail is kept; it never grows beyond the longest frame of the format.
    """

    def feed(self, data: bytes) -> list[Indication | Garbled]:
        """Bytes have arrived; b"" is silence, which ends a frame where the format says so."""
        ...

    def sent(self, data: bytes) -> None:
        """This was sent to the instrument: a reply is read in its light."""
        ...

    def restart(self) -> None:
        """The link was lost and found again: forget the tail and all that was asked."""
        ...
