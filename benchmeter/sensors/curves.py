"""The sensors that the program knows: one TOML file each in `resources/sensors`.

The file's name is the sensor's; its `kind` says which formula the coefficients belong to.
"""

from functools import lru_cache

import msgspec

from benchmeter.errors import DataFileError, InputError
from benchmeter.files.resources import resource
from benchmeter.sensors.resistance_curves import Platinum, Thermistor
from benchmeter.sensors.thermocouples import Thermocouple

__all__ = ["Sensor", "load_sensor", "sensor_names", "thermistors"]

Sensor = Platinum | Thermistor | Thermocouple


def sensor_names() -> list[str]:
    """Names of all sensors, in order."""
    return sorted(path.stem for path in resource("sensors").glob("*.toml"))


@lru_cache(maxsize=32)
def load_sensor(name: str) -> Sensor:
    """The sensor of that name, in whatever case it is written.

    Raises:
        InputError: there is no such sensor.
        DataFileError: its file is broken.
    """
    match = [n for n in sensor_names() if n.lower() == name.strip().lower()]
    if not match:
        raise InputError("sensors.unknown", name=name, known=sensor_names())
    path = resource("sensors") / f"{match[0]}.toml"
    try:
        found: Sensor = msgspec.toml.decode(path.read_bytes(), type=Sensor)
    except (OSError, UnicodeDecodeError, msgspec.DecodeError) as error:
        raise DataFileError(
            f"{path} cannot be used: {error}.", "Correct the file or install the program again."
        ) from error
    return found


def thermistors() -> dict[str, Thermistor]:
    """All thermistor curves by name."""
    found = {name: load_sensor(name) for name in sensor_names()}
    return {name: s for name, s in found.items() if isinstance(s, Thermistor)}
