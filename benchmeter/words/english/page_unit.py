"""The unit page."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "plot_being_prepared": "The plot is being prepared…",
    "power_restored": "Power restored",
    "marker": "Marker",
    "settles_at": "Settles at",
    "discharge_air": "Discharge air",
    "time_left": "Time left",
    "over_outdoor_air": "Over outdoor air",
    "outdoor_air": "Outdoor air",
    "connect_probe_or_press": "Connect a probe, or press B for the simulated bench",
    "connect_temperature_probe_discharge": "Connect a temperature probe as “discharge” (and one as “outdoor”) under Connections, F4.",
    "connect_probe_discharge_air": "Connect a probe in the discharge air (F4)",
    "put_probes_into_air": "Put the probes into the air and wait",
}
