"""Where the leads go, or what is held there in their place."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "typed": "typed",
    "colours": "red lead on {first:whole}, black lead on {second:whole}",
    "clamp": "clamp round {place:whole} alone",
    "tool": "{tool} {where:whole}",
    "on": "on {place:whole}",
    "the": "the {place:whole}",
}
