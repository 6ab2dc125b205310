"""`compute unbalance`: three line voltages."""

import argparse
from typing import Any

from benchmeter.commands.computations.answer import Answer, answer_with, quantity, value_of

__all__ = ["add_computations"]


def add_computations(what: Any, common: argparse.ArgumentParser) -> None:
    """Add `unbalance`."""
    unbalance = what.add_parser(
        "unbalance", parents=[common], help="unbalance of three line voltages, and the derating"
    )
    unbalance.add_argument("volts", nargs=3, metavar="460V", help="line to line, RMS")
    answer_with(unbalance, _unbalance)


def _unbalance(args: argparse.Namespace) -> Answer:
    from benchmeter.motors.voltage_unbalance import voltage_unbalance
    from benchmeter.words.motors import unbalance_why

    names = ("First voltage", "Second voltage", "Third voltage")
    found = voltage_unbalance(
        [value_of(text, "voltage", n, "V") for text, n in zip(args.volts, names, strict=True)]
    )
    return Answer(
        {
            "unbalance": quantity(found.unbalance_percent, "%"),
            "derating": quantity(found.derating, ""),
            "mean": quantity(found.mean_v, "V"),
            "extra_temperature_rise": quantity(found.extra_rise_percent, "%"),
            "why": unbalance_why(found),
        },
        "NEMA MG 1 cl. 12.45 and 14.36: greatest deviation from the mean over the mean; Fig. 14-1",
        "line-to-line voltages with the motor running; derating read off the curve (±0.02)",
    )
