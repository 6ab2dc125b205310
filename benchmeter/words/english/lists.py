"""Lists of names."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "and": "{rest:whole} and {last:whole}",
    "or": "{rest:whole} or {last:whole}",
}
