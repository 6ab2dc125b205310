"""`compute windings`: the three pairs of a motor, and its insulation."""

import argparse
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from benchmeter.commands.computations.answer import Answer, answer_with, quantity, value_of, written

if TYPE_CHECKING:
    from benchmeter.motors.insulation import InsulationVerdict

__all__ = ["add_computations"]

_SHORTED_TURNS = (
    "shorted turns do not show in the sum: compare with the maker's resistances or a sound motor"
)

_UNKNOWN = (
    "the meter's accuracy is not known: good is what agrees to the last digit, bad what differs "
    "even for ±({})"
)


def add_computations(what: Any, common: argparse.ArgumentParser) -> None:
    """Add `windings`."""
    windings = what.add_parser(
        "windings", parents=[common], help="do the windings add up; which terminal is which"
    )
    windings.add_argument(
        "pairs",
        nargs=3,
        metavar="C-S=2.6ohm",
        help="each pair of terminals with its reading or OL; any other three names are found out",
    )
    windings.add_argument(
        "--accuracy", metavar="LINE", help='the meter\'s, in ohm: "0.8%% + 2 x 0.1ohm"'
    )
    windings.add_argument(
        "--lead-offset", metavar="0.2ohm", help="reading of the leads held together"
    )
    windings.add_argument(
        "--three-phase", action="store_true", help="a three-phase motor: are the pairs alike"
    )
    windings.add_argument("--to-case", metavar="20Mohm", help="winding to case, or OL")
    windings.add_argument("--rated-voltage", metavar="230V", help="of the motor; with --to-case")
    windings.add_argument("--winding-temperature", metavar="25C", help="with --to-case")
    answer_with(windings, _windings)


def _windings(args: argparse.Namespace) -> Answer:
    from benchmeter.conformity.accuracy import parse_accuracy
    from benchmeter.conformity.judgement import WORST_FIRST
    from benchmeter.motors.winding_pairs import parse_pairs
    from benchmeter.words.motors import insulation_why

    readings = parse_pairs(args.pairs)
    accuracy = None if args.accuracy is None else parse_accuracy(args.accuracy, "resistance")
    leads = None
    if args.lead_offset is not None:
        number, unit = written(args.lead_offset, "resistance", "--lead-offset")
        leads = number * unit.scale
    insulation = _insulation(args)
    judge = _three_phase if args.three_phase else _single_phase
    answer = judge(readings, accuracy, leads)
    results, source, assumes = answer.results, answer.source, answer.assumes
    if insulation is not None:
        ohm = insulation.at_40_c_ohm
        results = {
            **results,
            "verdict": min(results["verdict"], insulation.verdict, key=WORST_FIRST.index),
            "insulation": quantity(None if ohm is None else ohm / 1e6, "MΩ"),
            "insulation_floor": quantity(insulation.floor_ohm / 1e6, "MΩ"),
            "insulation_verdict": insulation.verdict.value,
            "insulation_why": insulation_why(insulation),
        }
        source += "; IEEE 43-2013 (5 MΩ at 40 °C, random-wound below 1 kV), old rule kV + 1 MΩ"
        assumes += (
            "; a multimeter's few volts find a grounded winding, not weak insulation: that takes "
            "500 V DC for 1 min"
        )
    results = {**results, "verdict": results["verdict"].value}
    return Answer(results, source, assumes)


def _single_phase(readings: Any, accuracy: Any, leads: Decimal | None) -> Answer:
    from benchmeter.motors.windings import ASSUMED_ACCURACY, judge_windings
    from benchmeter.words.motors import windings_why

    found = judge_windings(readings, accuracy, leads)
    results: dict[str, Any] = {
        "verdict": found.verdict,
        "residual": quantity(found.residual_ohm, "Ω"),
        "expanded_uncertainty": quantity(found.expanded_uncertainty_ohm, "Ω"),
        "terminals": found.terminals,
        "why": windings_why(found),
    }
    return Answer(
        results,
        "(C-S) + (C-R) = (S-R), S-R largest, C-R smallest: common practice; "
        "E_n number of ISO 13528",
        "; ".join(
            [
                _leads(leads),
                *([] if accuracy else [_UNKNOWN.format(ASSUMED_ACCURACY.text)]),
                _SHORTED_TURNS,
            ]
        ),
    )


def _three_phase(readings: Any, accuracy: Any, leads: Decimal | None) -> Answer:
    from benchmeter.motors.winding_balance import BALANCE_LIMIT_PERCENT, judge_balance
    from benchmeter.words.motors import balance_why

    found = judge_balance(readings, accuracy, leads or Decimal(0))
    return Answer(
        {
            "verdict": found.verdict,
            "unbalance": quantity(found.unbalance_percent, "%"),
            "expanded_uncertainty": quantity(found.expanded_uncertainty_percent, "%"),
            "limit": quantity(BALANCE_LIMIT_PERCENT, "%"),
            "why": balance_why(found, BALANCE_LIMIT_PERCENT),
        },
        "greatest deviation from the mean over the mean; the limit is common practice",
        _leads(leads),
    )


def _leads(leads: Decimal | None) -> str:
    if leads is None:
        return "the resistance of the leads is not subtracted"
    return f"the leads have {leads.normalize():f} Ω, which is subtracted"


def _insulation(args: argparse.Namespace) -> "InsulationVerdict | None":
    from benchmeter.errors import InputError
    from benchmeter.motors.insulation import judge_insulation
    from benchmeter.quantities.temperature import ZERO_CELSIUS_K

    if args.to_case is None:
        if args.rated_voltage is not None or args.winding_temperature is not None:
            raise InputError(
                "The resistance to the case is missing.", "Add --to-case, for example 20Mohm or OL."
            )
        return None
    if args.rated_voltage is None:
        raise InputError(
            "The floor of the insulation depends on the voltage.",
            "Add --rated-voltage, for example 230V.",
        )
    over = args.to_case.strip().upper() in ("OL", "OPEN")
    winding_c = None
    if args.winding_temperature is not None:
        kelvin = value_of(args.winding_temperature, "temperature", "--winding-temperature")
        winding_c = kelvin - ZERO_CELSIUS_K
    return judge_insulation(
        None if over else value_of(args.to_case, "resistance", "--to-case"),
        value_of(args.rated_voltage, "voltage", "--rated-voltage"),
        winding_c,
    )
