"""`compute sensor`: the temperature that a sensor's reading stands for, and whether it is right."""

import argparse
import math
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from benchmeter.commands.computations.answer import Answer, answer_with, quantity, value_of, written
from benchmeter.commands.data_folder import folders_of
from benchmeter.errors import InputError

if TYPE_CHECKING:
    from benchmeter.sensors.curves import Sensor

__all__ = ["add_computations"]

_ZERO_C = "the reference junction is at 0 °C, as --junction was not given"
_EMF_ADDED = "the emf of the terminals at their temperature is added to the reading"
_NO_LEADS = "the resistance is that of the sensor alone, without its leads"


def add_computations(what: Any, common: argparse.ArgumentParser) -> None:
    """Add `sensor`."""
    sensor = what.add_parser(
        "sensor", parents=[common], help="temperature of a Pt100, thermistor or thermocouple"
    )
    sensor.add_argument("sensor", metavar="SENSOR", help="pt100, ntc-10k-2, K, or one of your own")
    sensor.add_argument("--reading", required=True, metavar="109.73ohm", help="or 3.096mV")
    sensor.add_argument(
        "--junction", metavar="25C", help="temperature of a thermocouple's terminals (0 °C)"
    )
    sensor.add_argument("--beside", metavar="0C", help="true temperature from a probe beside it")
    sensor.add_argument(
        "--beside-accuracy", metavar="0.5deltaC", help="± of that probe; with --beside"
    )
    sensor.add_argument("--accuracy", metavar="LINE", help='the meter\'s: "0.8%% + 2 counts"')
    sensor.add_argument("--class", dest="class_name", metavar="B", help="tolerance class")
    answer_with(sensor, _sensor)


def _sensor(args: argparse.Namespace) -> Answer:
    from benchmeter.sensors.curves import load_sensor
    from benchmeter.sensors.resistance_curves import Thermistor

    sensor = load_sensor(args.sensor, folders_of(args))
    if args.beside is None:
        _refuse(
            args.class_name or args.beside_accuracy,
            "A sensor is checked against a probe beside it.",
            "Add --beside, for example 0C.",
        )
        t_c, assumes = _temperature(args, sensor)
        results = {"temperature": quantity(t_c, "°C")}
        if args.accuracy is not None:
            u = _meter_u(args, sensor) / sensor.per_kelvin(t_c)
            results["expanded_uncertainty"] = quantity(2 * u, "K")
        return Answer(results, sensor.source, assumes)
    _refuse(
        args.beside_accuracy is None,
        "How good the probe is decides the verdict.",
        "Add --beside-accuracy, for example 0.5deltaC.",
    )
    check = _check_thermistor if isinstance(sensor, Thermistor) else _check_class
    return check(args, sensor)


def _temperature(args: argparse.Namespace, sensor: "Sensor") -> tuple[float, str]:
    """Temperature, °C, and what is taken for granted."""
    from benchmeter.sensors.thermocouples import Thermocouple

    if isinstance(sensor, Thermocouple):
        emf_mv = value_of(args.reading, "voltage", "--reading") * 1e3
        if args.junction is None:
            return sensor.temperature_c(emf_mv), _ZERO_C
        return sensor.temperature_c(emf_mv, _celsius(args.junction, "--junction")), _EMF_ADDED
    _refuse(args.junction, f"{sensor.title} has no reference junction.", "Leave --junction out.")
    return sensor.temperature_c(value_of(args.reading, "resistance", "--reading")), _NO_LEADS


def _check_thermistor(args: argparse.Namespace, sensor: Any) -> Answer:
    from benchmeter.sensors.curves import thermistors
    from benchmeter.sensors.thermistor_check import TOLERANCE_C, check_thermistor
    from benchmeter.words.sensors import curve_why

    _refuse(args.class_name, "A thermistor has a curve, not a class.", "Leave --class out.")
    _refuse(args.junction, f"{sensor.title} has no reference junction.", "Leave --junction out.")
    true_c = _celsius(args.beside, "--beside")
    curves = thermistors(folders_of(args))
    name = next(key for key, curve in curves.items() if curve == sensor)
    found = check_thermistor(
        name,
        curves,
        value_of(args.reading, "resistance", "--reading"),
        true_c,
        meter_u_ohm=_meter_u(args, sensor),
        probe_u_c=_probe_u(args),
    )
    off = found.deviations_c[name]
    results = {
        "temperature": quantity(None if off is None else true_c + off, "°C"),
        "deviation": quantity(off, "K"),
        "expanded_uncertainty": quantity(found.expanded_uncertainty_c[name], "K"),
        "verdict": found.finding.value,
        "possible": list(found.possible),
        "why": curve_why(name, found),
    }
    return Answer(
        results,
        sensor.source,
        f"{_NO_LEADS}; a sound sensor is within ±{TOLERANCE_C:g} K of its curve (common practice); "
        "probe and sensor have the same temperature",
    )


def _check_class(args: argparse.Namespace, sensor: Any) -> Answer:
    from benchmeter.sensors.sensor_class import judge_sensor
    from benchmeter.words.sensors import sensor_why

    _refuse(
        args.class_name is None,
        "A sensor is judged by its tolerance class.",
        f"Add --class, one of {', '.join(sensor.classes)}.",
    )
    name = args.class_name.strip().upper()
    t_c, assumes = _temperature(args, sensor)
    expanded = 2 * math.hypot(_meter_u(args, sensor) / sensor.per_kelvin(t_c), _probe_u(args))
    found = judge_sensor(sensor, name, t_c, _celsius(args.beside, "--beside"), expanded)
    results = {
        "temperature": quantity(t_c, "°C"),
        "deviation": quantity(found.deviation_c, "K"),
        "tolerance": quantity(found.tolerance_c, "K"),
        "expanded_uncertainty": quantity(found.expanded_uncertainty_c, "K"),
        "verdict": found.verdict.value,
        "why": sensor_why(name, found),
    }
    return Answer(
        results,
        sensor.source,
        f"{assumes}; guarded rule (ILAC-G8:09/2019); probe and sensor have the same temperature",
    )


def _refuse(when: object, text: str, advice: str) -> None:
    if when:
        raise InputError(text, advice)


def _probe_u(args: argparse.Namespace) -> float:
    """Standard uncertainty of the probe beside, kelvin."""
    option = "--beside-accuracy"
    half = value_of(args.beside_accuracy, "temperature difference", option)
    _refuse(not 0 < half <= 100, "No probe is that good or that bad.", f"Write {option} 0.5deltaC.")
    return half / math.sqrt(3)


def _meter_u(args: argparse.Namespace, sensor: "Sensor") -> float:
    """Standard uncertainty of the reading, in the sensor's unit (Ω or mV)."""
    from benchmeter.conformity.accuracy import parse_accuracy
    from benchmeter.conformity.uncertainty import half_width, standard_uncertainty
    from benchmeter.quantities.units import resolution_of

    kind, scale = ("voltage", 1e3) if sensor.unit == "mV" else ("resistance", 1.0)
    number, unit = written(args.reading, kind, "--reading")
    if args.accuracy is None:
        width: float | None = resolution_of(number, unit) / 2
    else:
        last = Decimal(1).scaleb(int(number.as_tuple().exponent)) * unit.scale
        width = half_width(number * unit.scale, parse_accuracy(args.accuracy, kind), last)
    assert width is not None  # what is typed has a last digit
    return standard_uncertainty(width, 0.0) * scale


def _celsius(text: str, option: str) -> float:
    from benchmeter.quantities.temperature import Temperature

    return Temperature(value_of(text, "temperature", option)).celsius
