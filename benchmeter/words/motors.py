"""What the windings of a motor, their insulation and the supply say, each in one sentence."""

from benchmeter.conformity.verdict import Reason
from benchmeter.motors.insulation import InsulationFinding, InsulationVerdict
from benchmeter.motors.voltage_unbalance import VoltageUnbalance
from benchmeter.motors.winding_balance import BalanceVerdict
from benchmeter.motors.windings import WindingFinding, WindingsVerdict

__all__ = [
    "balance_why",
    "derating_why",
    "insulation_why",
    "off_the_mean",
    "unbalance_why",
    "windings_why",
]

_WINDINGS = {
    WindingFinding.CONSISTENT: "the two windings add up, and the terminals are where they belong.",
    WindingFinding.CONSISTENT_ROUNDING: (
        "the two windings add up to the last digit; the meter's accuracy is not known."
    ),
    WindingFinding.SUM_TOO_LARGE: (
        "the two windings together have more than the pair across both: read again, with the leads "
        "subtracted; if it stays, the windings are bad."
    ),
    WindingFinding.SUM_TOO_SMALL: (
        "the pair across both windings has more than the two together: clean the terminals and "
        "read again; if it stays, the windings are bad."
    ),
    WindingFinding.LEADS_NOT_SUBTRACTED: (
        "the leads alone can explain it: hold their tips together, read them, and give that as "
        "lead offset."
    ),
    WindingFinding.ACCURACY_NEEDED: (
        "whether that is too much depends on the meter: give its accuracy in ohm."
    ),
    WindingFinding.COUNT_UNKNOWN: (
        "the accuracy counts digits, but what one is worth is not known: write it like 2 x 0.1 Ω."
    ),
    WindingFinding.METER_TOO_COARSE: (
        "a winding reads no more than this meter's uncertainty: use one that resolves milliohms."
    ),
    WindingFinding.NAMES_DOUBTFUL: (
        "the pairs fit other names of the terminals: S-R ought to read most and C-R least. Check "
        "which terminal is which."
    ),
    WindingFinding.ALIKE: (
        "pairs read alike, so the terminals cannot be told apart. A three-phase motor has three "
        "equal pairs."
    ),
    WindingFinding.SHORTED: "a pair reads less than any winding has: shorted.",
    WindingFinding.OPEN_AT_C: (
        "C has no connection to S and R. An internal protector opens there when the motor is hot: "
        "let it cool and read again before it is condemned."
    ),
    WindingFinding.OPEN_START: "S has no connection to C and R: the start winding is open.",
    WindingFinding.OPEN_RUN: "R has no connection to C and S: the run winding is open.",
    WindingFinding.OPEN_TERMINAL: (
        "one terminal has no connection to the others: a winding is open, or an internal protector "
        "that must cool first."
    ),
    WindingFinding.OPEN_ALL: "no pair is connected: check the leads and where they touch.",
    WindingFinding.CONTRADICTORY: (
        "one pair reads open while the other two join it, which cannot be: read it again."
    ),
}


def windings_why(verdict: WindingsVerdict) -> str:
    """The reason in one or two sentences, with the residual and its uncertainty."""
    text = _WINDINGS[verdict.finding]
    if verdict.residual_ohm is None or verdict.finding in (
        WindingFinding.SHORTED,
        WindingFinding.ALIKE,
    ):
        return text[0].upper() + text[1:]
    u = verdict.expanded_uncertainty_ohm
    spread = "" if u is None else f" (the meter's uncertainty is ±{u:.2g} Ω)"
    return f"The sum differs by {verdict.residual_ohm:.3g} Ω{spread}: {text}"


def balance_why(verdict: BalanceVerdict, limit_percent: float) -> str:
    """The reason in one sentence."""
    if verdict.unbalance_percent is None:
        open_ = verdict.reason is Reason.OVERLOAD
        return "A pair is open." if open_ else "A pair reads nothing: shorted."
    u = verdict.expanded_uncertainty_percent
    spread = "" if u is None else f" ±{u:.2g}"
    read = f"{verdict.unbalance_percent:.3g}{spread} %"
    return off_the_mean("A winding", read, f"{limit_percent:g} %", verdict.reason)


def off_the_mean(what: str, read: str, limit: str, reason: Reason) -> str:
    """How far the worst of several values is from their mean, in one sentence.

    Args:
        what: "A winding", "L1-L2".
        read, limit: with their unit.
    """
    text = f"{what} is {read} off the mean"
    match reason:
        case Reason.COUNT_UNKNOWN:
            return (
                f"{text}; the accuracy counts digits, but what one is worth is not known: write it "
                "with its unit, like 2 x 0.1 Ω."
            )
        case Reason.METER_TOO_COARSE:
            return f"{text}: too coarse to judge {limit}."
        case Reason.INSIDE_ACCURACY_UNKNOWN | Reason.ABOVE_ACCURACY_UNKNOWN:
            return f"{text}; the limit is {limit}; the meter's accuracy is not known."
        case _:
            return f"{text}; the limit is {limit}."


def insulation_why(verdict: InsulationVerdict) -> str:
    """The reason in one sentence, with both floors."""
    floors = f"{verdict.floor_ohm / 1e6:g} MΩ (IEEE 43)"
    old = f"{verdict.old_floor_ohm / 1e6:.3g} MΩ (kV + 1, older motors)"
    if verdict.at_40_c_ohm is None:
        return f"More to the case than the meter shows; the floor is {floors}."
    read = f"{verdict.at_40_c_ohm / 1e6:.3g} MΩ to the case"
    if verdict.finding is InsulationFinding.GROUNDED:
        return f"{read} is less than {old} and {floors}: grounded."
    if verdict.finding is InsulationFinding.BELOW_FLOOR:
        return f"{read} is less than {floors}, yet more than {old}: dry it out and test again."
    return f"{read} is not below {floors}."


def unbalance_why(found: VoltageUnbalance) -> str:
    """What the unbalance means for a motor, in one sentence."""
    return derating_why(found.derating)


def derating_why(factor: float | None) -> str:
    """What a motor may give on an unbalanced supply; None: nothing."""
    if factor is None:
        return "More than 5 %: do not run a motor on this supply."
    if factor < 1:
        return f"The motor may give {factor * 100:.0f} % of its rated power."
    return "The motor may give its rated power."
