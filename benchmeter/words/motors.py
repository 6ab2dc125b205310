"""What the windings of a motor, their insulation and the supply say, each in one sentence."""

from benchmeter.conformity.verdict import Reason
from benchmeter.motors.insulation import InsulationFinding, InsulationVerdict
from benchmeter.motors.voltage_unbalance import VoltageUnbalance
from benchmeter.motors.winding_balance import BalanceVerdict
from benchmeter.motors.windings import WindingFinding, WindingsVerdict
from benchmeter.words.presentation import PLAIN, Presentation, capitalized

__all__ = [
    "balance_why",
    "derating_why",
    "insulation_why",
    "off_the_mean",
    "unbalance_why",
    "windings_why",
]


def windings_why(verdict: WindingsVerdict, presentation: Presentation = PLAIN) -> str:
    """The reason in one or two sentences, with the residual and its uncertainty."""
    ohm, u = verdict.residual_ohm, verdict.expanded_uncertainty_ohm
    text = presentation.text(f"motor_verdicts.windings_{verdict.finding.name.lower()}")
    if ohm is None or verdict.finding in (WindingFinding.SHORTED, WindingFinding.ALIKE):
        return capitalized(text)
    if u is None:
        return presentation.text("motor_verdicts.residual", ohm=ohm, finding=text)
    return presentation.text("motor_verdicts.residual_known", ohm=ohm, uncertainty=u, finding=text)


def balance_why(
    verdict: BalanceVerdict, limit_percent: float, presentation: Presentation = PLAIN
) -> str:
    """The reason in one sentence."""
    if verdict.unbalance_percent is None:
        if verdict.reason is Reason.OVERLOAD:
            return presentation.text("motor_verdicts.pair_open")
        return presentation.text("motor_verdicts.pair_shorted")
    u = verdict.expanded_uncertainty_percent
    spread = "" if u is None else f"{presentation.unit_space}±{u:.2g}"
    return off_the_mean(
        presentation.text("motor_verdicts.a_winding"),
        presentation.amount(f"{verdict.unbalance_percent:.3g}{spread}", "%"),
        presentation.amount(f"{limit_percent:g}", "%"),
        verdict.reason,
        presentation,
    )


def off_the_mean(
    what: str, read: str, limit: str, reason: Reason, presentation: Presentation = PLAIN
) -> str:
    """How far the worst of several values is from their mean, in one sentence.

    Args:
        what: "A winding", "L1-L2".
        read, limit: with their unit.
    """
    text = presentation.text
    match reason:
        case Reason.COUNT_UNKNOWN:
            return text("motor_verdicts.off_count_unknown", what=what, read=read)
        case Reason.METER_TOO_COARSE:
            return text("motor_verdicts.off_too_coarse", what=what, read=read, limit=limit)
        case Reason.INSIDE_ACCURACY_UNKNOWN | Reason.ABOVE_ACCURACY_UNKNOWN:
            return text("motor_verdicts.off_accuracy_unknown", what=what, read=read, limit=limit)
        case _:
            return text("motor_verdicts.off", what=what, read=read, limit=limit)


def insulation_why(verdict: InsulationVerdict, presentation: Presentation = PLAIN) -> str:
    """The reason in one sentence, with both floors."""
    text, floor, old = presentation.text, verdict.floor_ohm / 1e6, verdict.old_floor_ohm / 1e6
    if verdict.finding is InsulationFinding.UNGRADED:
        return text("motor_verdicts.insulation_ungraded")
    if verdict.at_40_c_ohm is None:
        return text("motor_verdicts.insulation_overload", floor=floor)
    read = verdict.at_40_c_ohm / 1e6
    match verdict.finding:
        case InsulationFinding.DEAD_SHORT:
            return text("motor_verdicts.insulation_dead_short", read=read)
        case InsulationFinding.GROUNDED:
            return text("motor_verdicts.insulation_grounded", read=read, floor=floor, old_floor=old)
        case InsulationFinding.BELOW_FLOOR:
            return text("motor_verdicts.insulation_below", read=read, floor=floor, old_floor=old)
        case _:
            return text("motor_verdicts.insulation_good", read=read, floor=floor)


def unbalance_why(found: VoltageUnbalance, presentation: Presentation = PLAIN) -> str:
    """What the unbalance means for a motor, in one sentence."""
    return derating_why(found.derating, presentation)


def derating_why(factor: float | None, presentation: Presentation = PLAIN) -> str:
    """What a motor may give on an unbalanced supply; None: nothing."""
    if factor is None:
        return presentation.text("motor_verdicts.derating_none")
    if factor < 1:
        return presentation.text("motor_verdicts.derating_part", percent=factor * 100)
    return presentation.text("motor_verdicts.derating_whole")
