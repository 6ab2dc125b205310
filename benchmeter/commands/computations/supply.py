"""`compute unbalance`: three line voltages."""

import argparse
from typing import Any

from benchmeter.commands.computations.answer import Answer, answer_with, quantity, value_of
from benchmeter.commands.parsing import Parser
from benchmeter.words.presentation import Presentation

__all__ = ["add_computations"]


def add_computations(what: Any, common: Parser, say: Presentation) -> None:
    """Add `unbalance`."""
    unbalance = what.add_parser(
        "unbalance",
        parents=[common],
        say=say,
        help=say.text("computations.unbalance"),
    )
    unbalance.option("volts", nargs=3, metavar="460V", help="computations.help_line_volts")
    answer_with(unbalance, _unbalance)


def _unbalance(args: argparse.Namespace) -> Answer:
    from benchmeter.motors.voltage_unbalance import voltage_unbalance
    from benchmeter.words.motors import unbalance_why

    say: Presentation = args.say
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
            "why": unbalance_why(found, say),
        },
        say.text("computations.unbalance_source"),
        say.text("computations.unbalance_assumes"),
    )
