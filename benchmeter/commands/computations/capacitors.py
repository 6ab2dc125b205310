"""Computations round a capacitor: under load, discharge time."""

import argparse
from typing import Any

from benchmeter.commands.computations.answer import Answer, answer_with, quantity, value_of

__all__ = ["add_computations"]


def add_computations(what: Any, common: argparse.ArgumentParser) -> None:
    """Add `under-load` and `discharge-time`."""
    load = what.add_parser(
        "under-load", parents=[common], help="capacitance from volts across and amps through it"
    )
    load.add_argument("--current", required=True, metavar="6.28A")
    load.add_argument("--voltage", required=True, metavar="370V", help="across the capacitor, RMS")
    load.add_argument("--frequency", required=True, metavar="60Hz")
    answer_with(load, _under_load)

    time = what.add_parser(
        "discharge-time", parents=[common], help="how long a charged capacitor takes to be safe"
    )
    time.add_argument("--capacitance", required=True, metavar="45uF")
    time.add_argument("--voltage", required=True, metavar="370V", help="RMS")
    time.add_argument("--resistance", required=True, metavar="15kohm")
    time.add_argument("--to", default="50V", metavar="50V", help="final voltage (50 V)")
    answer_with(time, _discharge_time)


def _under_load(args: argparse.Namespace) -> Answer:
    from benchmeter.parts.capacitor import under_load

    farad = under_load(
        value_of(args.current, "current", "--current"),
        value_of(args.voltage, "voltage", "--voltage"),
        value_of(args.frequency, "frequency", "--frequency"),
    )
    return Answer(
        {"capacitance": quantity(farad * 1e6, "µF")},
        "C = I / (2 pi f V)",
        "sine wave, RMS values; the voltage is that across the capacitor with the motor running",
    )


def _discharge_time(args: argparse.Namespace) -> Answer:
    from benchmeter.parts.capacitor import discharge

    found = discharge(
        value_of(args.capacitance, "capacitance", "--capacitance"),
        value_of(args.voltage, "voltage", "--voltage"),
        value_of(args.resistance, "resistance", "--resistance"),
        value_of(args.to, "voltage", "--to"),
    )
    return Answer(
        {
            "time": quantity(found.time_s, "s"),
            "energy": quantity(found.energy_j, "J"),
            "peak": quantity(found.peak_v, "V"),
        },
        "t = R C ln(V0 / V), E = C V0² / 2, V0 = √2 V; 50 V: NEC 460.6(A)",
        "switched off at the crest of the voltage; verify with a meter set to DC volts",
    )
