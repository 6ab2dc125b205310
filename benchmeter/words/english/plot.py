"""The plot over time."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "recovery_plot": "Recovery plot",
    "discharge_air": "Discharge air",
    "outdoor_air": "Outdoor air",
    "elapsed_time": "Elapsed time",
    "temperature_unit": "Temperature in {unit}",
    "everything_home": "Everything (Home)",
    "show_everything": "Show everything",
    "follow_f": "Follow (F)",
    "follow_present": "Follow the present",
    "closer": "Closer",
    "farther": "Farther",
    "earlier": "Earlier",
    "later": "Later",
}
