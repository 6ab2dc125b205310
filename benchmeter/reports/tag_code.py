"""What a tag's code says: which check of which session, as a URN.

`urn:uuid:019aba52-….-9c1f03ab#check-2`: the session as in RFC 9562 cl. 4 (RFC 4122 cl. 3), the
check as the fragment of a URN (RFC 8141 cl. 2.3.3), which points to a place inside what is named.
"""

import re
from uuid import UUID

from benchmeter.errors import InputError

__all__ = ["parse_tag_code", "tag_code"]

_CODE = re.compile(
    r"urn:uuid:(?P<session>[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12})"
    r"(?:#check-(?P<number>[1-9][0-9]{0,8}))?",
    re.IGNORECASE | re.ASCII,
)


def tag_code(session_id: str, number: int) -> str:
    """The text of the code on the tag of a check."""
    return f"{UUID(session_id).urn}#check-{number}"


def parse_tag_code(text: str) -> tuple[str, int | None]:
    """The session that a tag's text or anything else names, and the check.

    What is no URN is given back as it is, for it may be the number or the name of a session. The
    check is None where none is told.

    Raises:
        InputError: a URN that is not the text of a tag.
    """
    text = text.strip()
    if not text.lower().startswith("urn:"):
        return text, None
    found = _CODE.fullmatch(text)
    if found is None:
        raise InputError("tag.no_code", text=text)
    number = found["number"]
    return found["session"].lower(), int(number) if number else None
