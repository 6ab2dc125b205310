"""A session's stream on disk: inputs as lines of JSON, in packs, under one running digest.

The digest of a pack is the SHA-256 of the session's head and of all lines up to the pack's end.
A change anywhere shows from there on, and merging packs changes no digest.
"""

import zlib
from collections.abc import Iterable, Iterator
from hashlib import sha256
from typing import TYPE_CHECKING

import msgspec

from benchmeter.readings.inputs import Input
from benchmeter.record.structs.session import StoredSession
from benchmeter.record.structs.stored_inputs import StoredInput, restored_input, stored_input

if TYPE_CHECKING:
    from hashlib import _Hash

__all__ = ["body_of", "inputs_in", "line_of", "lines_in", "running_digest"]

_encoder = msgspec.json.Encoder()
_decoder: msgspec.json.Decoder[StoredInput] = msgspec.json.Decoder(StoredInput)
_LEVEL = 6


def running_digest(session: StoredSession) -> "_Hash":
    """The digest before the first line: over what a session must not change its mind about."""
    head = (session.id.hex, session.started, session.zone, session.app_version, session.setup)
    return sha256(_encoder.encode(head) + b"\n")


def line_of(taken: Input) -> bytes:
    return _encoder.encode(stored_input(taken)) + b"\n"


def body_of(lines: Iterable[bytes]) -> bytes:
    """The body of a pack."""
    return zlib.compress(b"".join(lines), _LEVEL)


def lines_in(body: bytes) -> bytes:
    """The lines of a pack.

    Raises:
        ValueError: the body is broken.
    """
    try:
        return zlib.decompress(body)
    except zlib.error as error:
        raise ValueError(str(error)) from error


def inputs_in(lines: bytes) -> Iterator[Input]:
    """The inputs in the lines of a pack.

    Raises:
        ValueError: a line is broken, or of no input that is known.
    """
    for line in lines.splitlines():
        yield restored_input(_decoder.decode(line))  # its error is a ValueError
