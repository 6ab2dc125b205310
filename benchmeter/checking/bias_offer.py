"""The bias that a history finds: whether it may be taken off, and its acceptance by a person."""

from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Context, Decimal
from enum import StrEnum

from benchmeter.checking.commands import AcceptBias
from benchmeter.checking.meter_history import ReferenceHistory
from benchmeter.conformity.instrument_bias import MeterBias
from benchmeter.conformity.reference_part import ReferencePart
from benchmeter.errors import Amount, InputError, Message
from benchmeter.quantities.quantity import Quantity

__all__ = ["BiasOffer", "OfferReason", "accept", "bias_in", "bias_taken", "offer"]

_LARGEST = Decimal("0.1")
_ROUNDING = Context(prec=60, rounding=ROUND_HALF_EVEN)


class OfferReason(StrEnum):
    """Why a bias may be taken off, or why not."""

    CLEAR = "clear"
    TOO_FEW = "too few readings"
    UNSTEADY = "unsteady"  # a reading stands out: it may have changed
    NOT_CLEAR = "not clear"  # zero lies within its interval
    TOO_LARGE = "too large"  # the meter needs repair


@dataclass(frozen=True, slots=True)
class BiasOffer:
    """What may be taken off. `reason` CLEAR: it may be accepted; else it is told and no more.

    Attributes:
        bias_si: what the meter reads too much, rounded to a tenth of its last digit.
        expanded_uncertainty_si: U of it, half of its interval; None from one reading.
    """

    reference: ReferencePart
    bias_si: Decimal
    expanded_uncertainty_si: Decimal | None
    reason: OfferReason


def offer(history: ReferenceHistory) -> BiasOffer:
    """Whether the present bias of a history can be taken off: steady, and clearly not zero."""
    bias, reference = history.bias, history.reference
    step = history.resolution_si.scaleb(-1) or reference.value_si.scaleb(-6)
    value_si = _rounded(Decimal(repr(bias.value_si)), step)
    interval = bias.interval
    half_si = None if interval is None else Decimal(repr(interval.high - bias.value_si))
    if half_si is None:
        reason = OfferReason.TOO_FEW
    elif bias.stood_out:
        reason = OfferReason.UNSTEADY
    elif abs(value_si) > _LARGEST * reference.value_si:
        reason = OfferReason.TOO_LARGE
    else:
        reason = OfferReason.CLEAR if abs(value_si) > half_si else OfferReason.NOT_CLEAR
    return BiasOffer(reference, value_si, half_si, reason)


def accept(offered: BiasOffer, *, channel: str, text: str = "") -> AcceptBias:
    """The command by which a person accepts an offer.

    Args:
        text: the person's words.

    Raises:
        InputError: it cannot be accepted.
    """
    half_si = offered.expanded_uncertainty_si
    if offered.reason is not OfferReason.CLEAR or half_si is None:
        raise InputError(
            "checking.bias_not_clear",
            part=offered.reference.name,
            reason=offered.reason.value,
        )
    return AcceptBias(
        time_ns=0,
        channel=channel,
        bias_si=offered.bias_si,
        uncertainty_si=half_si,
        reference=offered.reference,
        text=text,
    )


def bias_in(command: AcceptBias) -> MeterBias:
    """What a command accepts; a bias of 0 takes an earlier one back.

    Raises:
        InputError: it is no bias of a meter that can go on being used.
    """
    reference = command.reference
    bias_si, half_si = command.bias_si, command.uncertainty_si
    if not (bias_si.is_finite() and half_si.is_finite() and half_si >= 0):
        raise InputError("checking.bias_is_no_number")
    if abs(bias_si) > _LARGEST * reference.value_si:
        raise InputError("checking.bias_too_large", part=reference.name)
    return MeterBias(command.channel, bias_si, half_si, reference)


def bias_taken(bias: MeterBias) -> Message:
    """What is taken off from now on, and by what."""
    part = bias.reference
    if not bias.bias_si:
        return Message("meters.bias_off", {"part": part.name})
    difference = "Δ" if part.quantity is Quantity.TEMPERATURE else ""
    code = "meters.bias_too_much" if bias.bias_si > 0 else "meters.bias_too_little"
    return Message(
        code,
        {
            "bias": Amount(abs(bias.bias_si), f"{difference}{part.unit}"),
            "value": Amount(part.value_si, part.unit),
            "part": part.name,
        },
    )


def _rounded(value: Decimal, step: Decimal) -> Decimal:
    exponent = Decimal(1).scaleb(step.adjusted())
    return value.quantize(exponent, context=_ROUNDING)
