"""Tables that people hand in and take away."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "quotation_marks": "Its quotation marks do not pair up, or a cell is too long.",
    "cell_count": "It has {cells} cells, and the first line has {columns}.",
    "line_too_long": (
        "{file:whole} has a line of more than a million characters, so it is no table.",
        "Save it as CSV in UTF-8.",
    ),
    "changed": (
        "{file:whole} was written anew while it was read.",
        "Run the command again when nothing writes to it.",
    ),
    "empty": ("{file:whole} is empty.", "Its first line names the columns."),
    "no_column": (
        "{file:whole} has no column “{column}”; its first line is “{there}{more}”.",
        "Begin it with a line like {example:whole}.",
    ),
    "grouped": (
        "“{shown}” may be {comma} or {none}.",
        "Write it with a comma, or without the point.",
    ),
    "not_utf8": ("{file:whole} is not a text file in UTF-8.", "Save it as CSV in UTF-8."),
    "bad_header": (
        "The column names in line {line}, “{there}”, cannot be read.",
        "Write them in one line like {example:whole}.",
    ),
}
