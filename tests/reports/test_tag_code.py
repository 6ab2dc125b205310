"""The text of a tag's code: open, and read back whatever scanner has read it."""

from uuid import UUID

import pytest

from benchmeter.errors import InputError
from benchmeter.reports.tag_code import parse_tag_code, tag_code
from tests.fakes.refusals import refused, said

# The example of RFC 4122 cl. 3 (from memory).
EXAMPLE = "urn:uuid:f81d4fae-7dec-11d0-a765-00a0c91e6bf6"
ID = EXAMPLE.removeprefix("urn:uuid:")


def test_the_code_is_the_urn_of_the_session_with_the_check_as_its_fragment():
    """UUID: RFC 4122 cl. 3; what follows “#” names a part of it: RFC 8141 cl. 2.3.3."""
    code = tag_code(ID, 2)
    urn, _, fragment = code.partition("#")
    assert urn == EXAMPLE == UUID(ID).urn
    assert fragment == "check-2"


@pytest.mark.parametrize("number", [1, 9, 10, 1234])
def test_what_was_written_is_read_back(number: int):
    assert parse_tag_code(tag_code(ID, number)) == (ID, number)


def test_the_urn_alone_names_the_session():
    assert parse_tag_code(EXAMPLE) == (ID, None)


@pytest.mark.parametrize("text", [f"  {EXAMPLE}#check-3\r\n", f"{EXAMPLE}#check-3".upper()])
def test_blanks_and_capitals_of_a_scanner_do_no_harm(text: str):
    """ "urn", "uuid" and the digits may be capitals: RFC 8141 cl. 3.1, RFC 4122 cl. 3."""
    assert parse_tag_code(text) == (ID, 3)


@pytest.mark.parametrize("text", [ID, "f81d4fae", "Walk-in cooler of a florist", "", "uuid:1"])
def test_anything_else_is_left_as_it_is(text: str):
    assert parse_tag_code(text) == (text, None)


@pytest.mark.parametrize(
    "text",
    [
        "urn:isbn:0451450523",  # RFC 8141, from memory
        "urn:",
        EXAMPLE[:-1],
        f"{EXAMPLE}0",
        f"{EXAMPLE}#",
        f"{EXAMPLE}#check-",
        f"{EXAMPLE}#check-0",
        f"{EXAMPLE}#check-٣",
        f"{EXAMPLE}#check-{'9' * 4000}",
        f"{EXAMPLE}#check-1 urn:uuid:",
    ],
)
def test_a_urn_that_is_no_tag_is_refused(text: str):
    with refused(InputError, match="is not the code of a tag"):
        parse_tag_code(text)


def test_a_long_text_that_is_no_tag_is_told_by_its_beginning():
    with pytest.raises(InputError) as caught:
        parse_tag_code("urn:" + "x" * 100_000)
    assert len(said(caught.value)) < 100
