"""Computations round a capacitor: under load, discharge time."""

import argparse
from typing import Any

from benchmeter.commands.computations.answer import Answer, answer_with, quantity, value_of
from benchmeter.commands.parsing import Parser
from benchmeter.words.presentation import Presentation

__all__ = ["add_computations"]


def add_computations(what: Any, common: Parser, say: Presentation) -> None:
    """Add `under-load` and `discharge-time`."""
    load = what.add_parser(
        "under-load",
        parents=[common],
        say=say,
        help=say.text("computations.under_load"),
    )
    load.add_argument("--current", required=True, metavar="6.28A")
    load.option("--voltage", required=True, metavar="370V", help="computations.help_volts_across")
    load.add_argument("--frequency", required=True, metavar="60Hz")
    answer_with(load, _under_load)

    time = what.add_parser(
        "discharge-time",
        parents=[common],
        say=say,
        help=say.text("computations.discharge_time"),
    )
    time.add_argument("--capacitance", required=True, metavar="45uF")
    time.option("--voltage", required=True, metavar="370V", help="computations.help_rms")
    time.add_argument("--resistance", required=True, metavar="15kohm")
    time.option("--to", default="50V", metavar="50V", help="computations.help_final_voltage")
    answer_with(time, _discharge_time)


def _under_load(args: argparse.Namespace) -> Answer:
    from benchmeter.parts.capacitor import under_load

    say: Presentation = args.say
    farad = under_load(
        value_of(args.current, "current", "--current"),
        value_of(args.voltage, "voltage", "--voltage"),
        value_of(args.frequency, "frequency", "--frequency"),
    )
    return Answer(
        {"capacitance": quantity(farad * 1e6, "µF")},
        say.text("computations.load_source"),
        say.text("computations.load_assumes"),
    )


def _discharge_time(args: argparse.Namespace) -> Answer:
    from benchmeter.parts.capacitor import discharge

    say: Presentation = args.say
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
        say.text("computations.discharge_source"),
        say.text("computations.discharge_assumes"),
    )
