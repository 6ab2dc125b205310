"""Spans of time."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "about": "about {span}",
}
