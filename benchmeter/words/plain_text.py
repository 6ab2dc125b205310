"""What people, files and meters said, as it may be shown: without the signs that steer.

A terminal obeys control characters, and a reader is misled by signs that turn the direction of
writing (Unicode UAX #9, property Bidi_Control) or that cannot be seen.
"""

import json
import re

__all__ = ["plain", "plain_json"]

_STEERING = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f"  # C0 and C1 but for tab and new line
    "\u061c\u200e\u200f\u2028-\u202e\u2066-\u206f"  # marks, overrides, isolates, line separators
    "\ud800-\udfff\ufeff\ufff9-\ufffb\U000e0000-\U000e007f]"  # halves, marks, annotations, tags
)


def plain(text: str) -> str:
    """`text` with \N{REPLACEMENT CHARACTER} in the place of each sign that steers."""
    return _STEERING.sub("\N{REPLACEMENT CHARACTER}", text)


def plain_json(text: str) -> str:
    """A JSON document with each sign that steers escaped: the same document (RFC 8259, 7)."""
    return _STEERING.sub(lambda found: json.dumps(found[0])[1:-1], text)
