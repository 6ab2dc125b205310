"""The sensors that are known: one TOML file each, of the program or in the user's `<data>/sensors`.

The file's name is the sensor's; its `kind` says which formula the coefficients belong to.
"""

from collections.abc import Iterable, Iterator
from functools import lru_cache

from benchmeter.errors import InputError, Message
from benchmeter.files.folders import Folders
from benchmeter.files.toml_folder import TomlFolder
from benchmeter.sensors.resistance_curves import Platinum, Thermistor
from benchmeter.sensors.thermocouples import Thermocouple

__all__ = ["Sensor", "load_sensor", "own_sensors", "sensor_names", "thermistors"]

Sensor = Platinum | Thermistor | Thermocouple

_STEPS = 40  # of the range, at which a curve is tried
_NEAR_C = 0.01


def sensor_names(folders: Folders | None = None) -> list[str]:
    """Names of all sensors, in order; without folders those of the program."""
    return list(_SENSORS.files(folders))


def load_sensor(name: str, folders: Folders | None = None) -> Sensor:
    """The sensor of that name, in whatever case it is written.

    Args:
        folders: where the user's own are; None: the program's only.

    Raises:
        InputError: there is no such sensor.
        DataFileError: its file is broken.
    """
    if folders is None:
        return _of_program(name.strip().lower())
    files = _SENSORS.files(folders)
    found = [n for n in files if n.lower() == name.strip().lower()]
    return _SENSORS.load(found[0] if found else name, folders)


def own_sensors(names: Iterable[str], folders: Folders) -> dict[str, Sensor]:
    """Those of the names that the user has a file of.

    Raises:
        DataFileError: one of them is broken.
    """
    files, of_program = _SENSORS.files(folders), _SENSORS.files(None)
    own = [name for name in names if files.get(name) != of_program.get(name)]
    return {name: _SENSORS.read(files[name]) for name in own}


def thermistors(folders: Folders | None = None) -> dict[str, Thermistor]:
    """All thermistor curves by name; without folders those of the program.

    Raises:
        DataFileError: one of the user's files is broken.
    """
    found = {name: load_sensor(name, folders) for name in sensor_names(folders)}
    return {name: s for name, s in found.items() if isinstance(s, Thermistor)}


@lru_cache(maxsize=32)
def _of_program(name: str) -> Sensor:
    files = _SENSORS.files(None)
    found = next((path for key, path in files.items() if key.lower() == name), None)
    if found is None:
        raise InputError("sensors.unknown", name=name, known=list(files))
    return _SENSORS.read(found)


def _as_read(sensor: Sensor, _: str) -> Sensor:
    return sensor


def _faults(sensor: Sensor) -> Iterator[Message]:
    """Whether each temperature of its range stands for a value of its own, and back."""
    if not sensor.lowest_c < sensor.highest_c:
        yield Message("sensors.no_range", {"field": "highest_c"})
        return
    value = sensor.emf_mv if isinstance(sensor, Thermocouple) else sensor.resistance_ohm
    span = sensor.highest_c - sensor.lowest_c
    for t_c in (sensor.lowest_c + span * i / _STEPS for i in range(_STEPS + 1)):
        t_c = min(t_c, sensor.highest_c)
        try:
            again = sensor.temperature_c(value(t_c))
        except (InputError, ArithmeticError, ValueError):
            again = float("nan")
        if not abs(again - t_c) <= _NEAR_C:
            yield Message("sensors.no_curve", {"t_c": t_c})
            return


_SENSORS: TomlFolder[Sensor] = TomlFolder(
    "sensors", Sensor, Message("files.sensor"), _as_read, _faults
)
