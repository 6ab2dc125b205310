"""Labels to print tags on."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "is_a_sheet": ("“{name}” is a sheet.", "Write --sheet {name}."),
    "is_a_label": ("“{name}” is a single label.", "Write --size {name}."),
    "no_sheet": (
        "There is no sheet of labels “{name}”.",
        "Choose one of {known}, or put a file {name}.toml into {folder}.",
    ),
    "no_label": (
        "There is no size of label “{name}”.",
        "Choose one of {known}, or put a file {name}.toml into {folder}.",
    ),
    "too_small": (
        "{field}: the label is smaller than {width:g} mm × {height:g} mm, too small to read"
    ),
    "overlap_across": "{field} is less than the label's width, so that labels overlap",
    "overlap_down": "{field} is less than the label's height, so that labels overlap",
    "too_wide": "{field}: {columns} columns are wider than the page",
    "too_high": "{field}: {rows} rows are higher than the page",
}
