"""What an error says to a person, for tests."""

import re
from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from benchmeter.errors import Message, WorldError
from benchmeter.words.presentation import Presentation

__all__ = ["advised", "in_english", "refused", "said"]

_ENGLISH = Presentation()


def said(message: Message | WorldError) -> str:
    """What happened, in English."""
    return _ENGLISH.tell(message).text


def advised(message: Message | WorldError) -> str:
    """What to do, in English."""
    return _ENGLISH.tell(message).advice


def in_english(message: Message | WorldError) -> str:
    """Both, as the command line prints them."""
    return str(_ENGLISH.tell(message))


@contextmanager
def refused(
    kind: type[WorldError] | tuple[type[WorldError], ...], match: str
) -> Iterator[pytest.ExceptionInfo[WorldError]]:
    """As `pytest.raises`; `match` is searched in what the person is told."""
    with pytest.raises(kind) as caught:
        yield caught
    told = in_english(caught.value)
    assert re.search(match, told), f"{match!r} is not in {told!r}"
