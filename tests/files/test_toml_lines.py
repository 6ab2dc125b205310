"""Where a field stands in a TOML file (TOML 1.0.0: keys, tables, arrays of tables)."""

import pytest

from benchmeter.files.toml_lines import line_of

TEXT = '''title = "Belt" # first
about = """
unit = "not a key"
"""

[line]
baud = 9600

[[measures]]
name = "one"

[[measures]]
name = "two"
limits = { by = "between", low = "1 ohm" }
truths.C-S = { ohm = 3 }

[measures.more]
"odd key" = 1
'''


@pytest.mark.parametrize(
    ("place", "line"),
    [
        ("title", 1),
        ("about", 2),
        ("line.baud", 7),
        ("line", 6),
        ("line.parity", 6),
        ("measures[0].name", 10),
        ("measures[1].name", 13),
        ("measures[1].limits.low", 14),
        ("measures[1].truths.C-S.ohm", 15),
        ("measures[1].unit", 12),
        ("measures[1].more.odd key", 18),
        ("unit", None),
        ("", None),
    ],
)
def test_the_line_of_a_field_or_of_what_holds_it(place: str, line: int | None) -> None:
    assert line_of(TEXT, place) == line


def test_a_line_ends_where_an_editor_ends_it() -> None:
    """TOML 1.0.0, "newline": LF or CRLF, and nothing else."""
    assert line_of("# \u2028 and \x85\r\na = 1\r\n", "a") == 2


def test_a_header_without_end_takes_no_longer_than_reading_it() -> None:
    assert line_of("[" + " " * 100_000 + "x\na = 1", "a") == 2
