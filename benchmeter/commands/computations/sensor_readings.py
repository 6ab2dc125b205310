"""`compute sensor`: the temperature that a sensor's reading stands for, and whether it is right."""

import argparse
import math
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from benchmeter.commands.computations.answer import Answer, answer_with, quantity, value_of, written
from benchmeter.commands.data_folder import folders_of
from benchmeter.commands.parsing import Parser
from benchmeter.errors import InputError
from benchmeter.words.presentation import Presentation

if TYPE_CHECKING:
    from benchmeter.sensors.curves import Sensor

__all__ = ["add_computations"]

_ZERO_C = "computations.junction_at_zero"
_EMF_ADDED = "computations.emf_added"
_NO_LEADS = "computations.leads_not_subtracted_here"


def add_computations(what: Any, common: Parser, say: Presentation) -> None:
    """Add `sensor`."""
    sensor = what.add_parser(
        "sensor",
        parents=[common],
        say=say,
        help=say.text("computations.sensor"),
    )
    sensor.option("sensor", metavar="SENSOR", help="computations.help_sensors")
    sensor.option(
        "--reading", required=True, metavar="109.73ohm", help="computations.help_sensor_reading"
    )
    sensor.option("--junction", metavar="25C", help="computations.help_junction")
    sensor.option("--beside", metavar="0C", help="computations.help_beside")
    sensor.option(
        "--beside-accuracy", metavar="0.5deltaC", help="computations.help_beside_accuracy"
    )
    sensor.option("--accuracy", metavar="LINE", help="computations.help_accuracy_counts")
    sensor.option("--class", dest="class_name", metavar="B", help="computations.help_class")
    answer_with(sensor, _sensor)


def _sensor(args: argparse.Namespace) -> Answer:
    from benchmeter.sensors.curves import load_sensor
    from benchmeter.sensors.resistance_curves import Thermistor

    sensor = load_sensor(args.sensor, folders_of(args))
    if args.beside is None:
        _refuse(args.class_name or args.beside_accuracy, "computations.no_probe")
        t_c, assumes = _temperature(args, sensor)
        results = {"temperature": quantity(t_c, "°C")}
        if args.accuracy is not None:
            u = _meter_u(args, sensor) / sensor.per_kelvin(t_c)
            results["expanded_uncertainty"] = quantity(2 * u, "K")
        return Answer(results, sensor.source, assumes)
    _refuse(args.beside_accuracy is None, "computations.no_probe_accuracy")
    check = _check_thermistor if isinstance(sensor, Thermistor) else _check_class
    return check(args, sensor)


def _temperature(args: argparse.Namespace, sensor: "Sensor") -> tuple[float, str]:
    """Temperature, °C, and what is taken for granted."""
    from benchmeter.sensors.thermocouples import Thermocouple

    say: Presentation = args.say
    if isinstance(sensor, Thermocouple):
        emf_mv = value_of(args.reading, "voltage", "--reading") * 1e3
        if args.junction is None:
            return sensor.temperature_c(emf_mv), say.text(_ZERO_C)
        junction_c = _celsius(args.junction, "--junction")
        return sensor.temperature_c(emf_mv, junction_c), say.text(_EMF_ADDED)
    _refuse(args.junction, "computations.no_reference_junction", sensor=sensor.title)
    ohm = value_of(args.reading, "resistance", "--reading")
    return sensor.temperature_c(ohm), say.text(_NO_LEADS)


def _check_thermistor(args: argparse.Namespace, sensor: Any) -> Answer:
    from benchmeter.sensors.curves import thermistors
    from benchmeter.sensors.thermistor_check import TOLERANCE_C, check_thermistor
    from benchmeter.words.sensors import curve_why

    say: Presentation = args.say
    _refuse(args.class_name, "computations.curve_no_class")
    _refuse(args.junction, "computations.no_reference_junction", sensor=sensor.title)
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
        "why": curve_why(name, found, say),
    }
    return Answer(
        results,
        sensor.source,
        "; ".join(
            (
                say.text(_NO_LEADS),
                say.text("computations.curve_assumes", kelvin=f"{TOLERANCE_C:g}"),
            )
        ),
    )


def _check_class(args: argparse.Namespace, sensor: Any) -> Answer:
    from benchmeter.sensors.sensor_class import judge_sensor
    from benchmeter.words.sensors import sensor_why

    say: Presentation = args.say
    _refuse(
        args.class_name is None,
        "computations.no_class",
        classes=", ".join(sensor.classes),
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
        "why": sensor_why(name, found, say),
    }
    return Answer(
        results,
        sensor.source,
        f"{assumes}; {say.text('computations.class_assumes')}",
    )


def _refuse(when: object, code: str, **parameters: str) -> None:
    if when:
        raise InputError(code, **parameters)


def _probe_u(args: argparse.Namespace) -> float:
    """Standard uncertainty of the probe beside, kelvin."""
    option = "--beside-accuracy"
    half = value_of(args.beside_accuracy, "temperature difference", option)
    _refuse(not 0 < half <= 100, "computations.no_such_probe", option=option)
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
