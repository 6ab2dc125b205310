"""The volts on a part in words."""

from benchmeter.checking.safety import (
    PROVES_FROM_V,
    RESISTOR_OHM,
    SAFE_BELOW_V,
    Missing,
    PartSafety,
    ResidualVoltage,
    rated_discharge,
)
from benchmeter.parts.rated_part import (
    Rating,
)
from benchmeter.words.presentation import PLAIN, Presentation

__all__ = ["discharge_words", "safety_words", "volts_words"]


def discharge_words(rating: Rating, presentation: Presentation = PLAIN) -> str:
    """How long this part takes to be discharged; one sentence, "" where its label does not tell.

    R·C·ln(V0/V) from the crest of the rated voltage; rounded up to the next half second.
    """
    found = rated_discharge(rating)
    if found is None:
        return ""
    halves = -(-found.time_s // 0.5)
    return presentation.text(
        "discharge.time",
        kiloohm=RESISTOR_OHM / 1000,
        peak=found.peak_v,
        safe=SAFE_BELOW_V,
        seconds=halves / 2,
    )


_NEXT = {
    Missing.SUPPLY: "safety.next_supply",
    Missing.CONTACT: "safety.next_contact",
    Missing.PROOF_BEFORE: "safety.next_proof_before",
    Missing.PROOF_AFTER: "safety.next_proof_after",
}


def safety_words(
    safety: PartSafety, presentation: Presentation = PLAIN, *, short: bool = False
) -> str:
    """What is known of the volts on the part, and what is missing until it may be touched."""
    text = presentation.text
    said = [_known_words(safety, presentation, short=short)]
    if safety.announced:
        said.append(text("safety.announced", least=PROVES_FROM_V))
    elif safety.charge_gone and not safety.live and safety.missing is not None:
        said.append(_next_words(safety, safety.missing, presentation))
    return " ".join(said)


def _next_words(safety: PartSafety, missing: Missing, presentation: Presentation) -> str:
    if safety.next_pair is None:
        return presentation.text(_NEXT[missing])
    one, other = safety.next_pair
    dc = missing is Missing.DC_PAIR
    code = "safety.next_dc_between" if dc else "safety.next_ac_between"
    return presentation.text(code, one=one, other=other)


def _known_words(safety: PartSafety, presentation: Presentation, *, short: bool) -> str:
    text = presentation.text
    if safety.live:
        code = "safety.live" if _known(safety.supply) else "safety.may_be_live"
        return text(code, volts=_volts(safety.supply, presentation))
    if not safety.charge_gone:
        if _known(safety.volts):
            return text("safety.charged", volts=_volts(safety.volts, presentation))
        return text("safety.stored_charge_short" if short else "safety.stored_charge")
    dc, ac = _volts(safety.volts, presentation), _volts(safety.supply, presentation)
    if safety.missing is None:
        return text("safety.safe_typed" if safety.typed else "safety.safe", dc=dc, ac=ac)
    known = [
        text("safety.charge_typed" if _typed(safety.volts) else "safety.charge_gone", volts=dc)
    ]
    if safety.supply_dead:
        code = "safety.dead_typed" if _typed(safety.supply) else "safety.dead"
        known.append(text(code, volts=ac))
    return " ".join(known)


def volts_words(seen: ResidualVoltage, presentation: Presentation = PLAIN) -> str:
    """The volts that were seen, with their unit; "" where they are not known."""
    volts = _volts(seen, presentation)
    return presentation.amount(volts, "V") if volts else ""


def _known(seen: ResidualVoltage | None) -> bool:
    return seen is not None and seen.residual_v is not None


def _typed(seen: ResidualVoltage | None) -> bool:
    return seen is not None and seen.typed


def _volts(seen: ResidualVoltage | None, presentation: Presentation) -> str:
    if seen is None or seen.residual_v is None:
        return ""
    return presentation.number(f"{seen.residual_v:.1f}")
