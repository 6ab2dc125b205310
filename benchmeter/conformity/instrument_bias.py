"""A bias that was accepted for a meter, and where it holds. Nothing is taken off by itself."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from benchmeter.conformity.reference_part import ReferencePart
from benchmeter.conformity.verdict import Measurement

__all__ = ["MeterBias", "bias_for", "with_bias"]

_REACH = 2


@dataclass(frozen=True, slots=True)
class MeterBias:
    """A bias that was accepted for the readings of a channel.

    Attributes:
        bias_si: taken off.
        expanded_uncertainty_si: U of it, k = 2; combined with that of the reading.
        reference: by which it was found, as it was on that day.
    """

    channel: str
    bias_si: Decimal
    expanded_uncertainty_si: Decimal
    reference: ReferencePart


def with_bias(biases: Iterable[MeterBias], new: MeterBias) -> tuple[MeterBias, ...]:
    """The biases that hold after a new one was accepted."""
    key = (new.channel, new.reference.name, new.reference.quantity)
    others = (b for b in biases if (b.channel, b.reference.name, b.reference.quantity) != key)
    return (*others, *([new] if new.bias_si else []))


def bias_for(
    biases: Iterable[MeterBias], channel: str, measurement: Measurement, shown_si: Decimal
) -> MeterBias | None:
    """The bias that holds for what the meter shows; None: nothing is taken off.

    The error of a meter grows with the value and changes from range to range, so a bias holds
    between half and twice the reference by which it was found (common practice, no source). Of
    several the nearest one.
    """
    size = abs(shown_si)

    def holds(bias: MeterBias) -> bool:
        at = bias.reference.value_si
        return (
            bias.channel == channel
            and bias.reference.quantity is measurement.quantity
            and at <= _REACH * size
            and size <= _REACH * at
        )

    fitting = [b for b in biases if holds(b)]
    return min(fitting, key=lambda b: abs(b.reference.value_si - size), default=None)
