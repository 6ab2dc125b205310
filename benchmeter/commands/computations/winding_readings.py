"""`compute windings`: the three pairs of a motor, and its insulation."""

import argparse
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from benchmeter.commands.computations.answer import Answer, answer_with, quantity, value_of, written
from benchmeter.commands.parsing import Parser
from benchmeter.words.presentation import Presentation

if TYPE_CHECKING:
    from benchmeter.motors.insulation import InsulationVerdict

__all__ = ["add_computations"]

_SHORTED_TURNS = "computations.shorted_turns"

_UNKNOWN = "computations.accuracy_assumed"


def add_computations(what: Any, common: Parser, say: Presentation) -> None:
    """Add `windings`."""
    windings = what.add_parser(
        "windings", parents=[common], say=say, help=say.text("computations.windings")
    )
    windings.option(
        "pairs",
        nargs=3,
        metavar="C-S=2.6ohm",
        help="computations.help_pairs",
    )
    windings.option("--accuracy", metavar="LINE", help="computations.help_accuracy_ohm")
    windings.option("--lead-offset", metavar="0.2ohm", help="computations.help_joined_leads")
    windings.option("--three-phase", action="store_true", help="computations.help_three_phase")
    windings.option("--to-case", metavar="20Mohm", help="computations.help_to_case")
    windings.option("--tester", metavar="500V", help="computations.help_tester")
    windings.option("--hermetic", action="store_true", help="computations.help_hermetic")
    windings.option("--cold", action="store_true", help="computations.help_cold")
    windings.option("--rated-voltage", metavar="230V", help="computations.help_rated_voltage")
    windings.option(
        "--winding-temperature", metavar="25C", help="computations.help_winding_temperature"
    )
    answer_with(windings, _windings)


def _windings(args: argparse.Namespace) -> Answer:
    from benchmeter.conformity.accuracy import parse_accuracy
    from benchmeter.conformity.judgement import WORST_FIRST
    from benchmeter.motors.winding_pairs import parse_pairs
    from benchmeter.words.motors import insulation_why

    say: Presentation = args.say
    readings = parse_pairs(args.pairs)
    accuracy = None if args.accuracy is None else parse_accuracy(args.accuracy, "resistance")
    leads = None
    if args.lead_offset is not None:
        number, unit = written(args.lead_offset, "resistance", "--lead-offset")
        leads = number * unit.scale
    insulation = _insulation(args)
    if args.three_phase:
        answer = _three_phase(readings, accuracy, leads, say)
    else:
        answer = _single_phase(readings, accuracy, leads, args.cold, say)
    results, source, assumes = answer.results, answer.source, answer.assumes
    if insulation is not None:
        ohm = insulation.at_40_c_ohm
        results = {
            **results,
            "verdict": min(results["verdict"], insulation.verdict, key=WORST_FIRST.index),
            "insulation": quantity(None if ohm is None else ohm / 1e6, "MΩ"),
            "insulation_floor": quantity(insulation.floor_ohm / 1e6, "MΩ"),
            "insulation_verdict": insulation.verdict.value,
            "insulation_why": insulation_why(insulation, say),
        }
        source += f"; {say.text('computations.insulation_source')}"
        assumes += f"; {say.text('computations.insulation_assumes')}"
    results = {**results, "verdict": results["verdict"].value}
    return Answer(results, source, assumes)


def _single_phase(
    readings: Any, accuracy: Any, leads: Decimal | None, cold: bool, say: Presentation
) -> Answer:
    from benchmeter.motors.windings import ASSUMED_ACCURACY, judge_windings
    from benchmeter.words.motors import windings_why

    found = judge_windings(readings, accuracy, leads, cold)
    results: dict[str, Any] = {
        "verdict": found.verdict,
        "residual": quantity(found.residual_ohm, "Ω"),
        "expanded_uncertainty": quantity(found.expanded_uncertainty_ohm, "Ω"),
        "terminals": found.terminals,
        "why": windings_why(found, say),
    }
    return Answer(
        results,
        say.text("computations.windings_source"),
        "; ".join(
            [
                _leads(leads, say),
                *([] if accuracy else [say.text(_UNKNOWN, line=ASSUMED_ACCURACY.text)]),
                say.text(_SHORTED_TURNS),
            ]
        ),
    )


def _three_phase(readings: Any, accuracy: Any, leads: Decimal | None, say: Presentation) -> Answer:
    from benchmeter.motors.winding_balance import BALANCE_LIMIT_PERCENT, judge_balance
    from benchmeter.words.motors import balance_why

    found = judge_balance(readings, accuracy, leads or Decimal(0))
    return Answer(
        {
            "verdict": found.verdict,
            "unbalance": quantity(found.unbalance_percent, "%"),
            "expanded_uncertainty": quantity(found.expanded_uncertainty_percent, "%"),
            "limit": quantity(BALANCE_LIMIT_PERCENT, "%"),
            "why": balance_why(found, BALANCE_LIMIT_PERCENT, say),
        },
        say.text("computations.balance_source"),
        _leads(leads, say),
    )


def _leads(leads: Decimal | None, say: Presentation) -> str:
    if leads is None:
        return say.text("computations.leads_not_subtracted")
    return say.text("computations.leads_subtracted", ohm=leads.normalize())


def _insulation(args: argparse.Namespace) -> "InsulationVerdict | None":
    from benchmeter.errors import InputError
    from benchmeter.motors.insulation import judge_insulation
    from benchmeter.quantities.temperature import ZERO_CELSIUS_K

    if args.to_case is None:
        if args.rated_voltage is not None or args.winding_temperature is not None:
            raise InputError("computations.no_resistance_to_case")
        return None
    if args.rated_voltage is None:
        raise InputError("computations.no_rated_voltage")
    over = args.to_case.strip().upper() in ("OL", "OPEN")
    winding_c = None
    if args.winding_temperature is not None:
        kelvin = value_of(args.winding_temperature, "temperature", "--winding-temperature")
        winding_c = kelvin - ZERO_CELSIUS_K
    return judge_insulation(
        None if over else value_of(args.to_case, "resistance", "--to-case"),
        value_of(args.rated_voltage, "voltage", "--rated-voltage"),
        winding_c,
        tester_v=None if args.tester is None else value_of(args.tester, "voltage", "--tester"),
        hermetic=args.hermetic,
    )
