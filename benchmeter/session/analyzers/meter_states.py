"""A channel as the check of a part needs it."""

from decimal import Decimal

from benchmeter.checking.meter_state import MeterState
from benchmeter.session.acquisition.channel_state import ChannelState

__all__ = ["meter_state"]


def meter_state(state: ChannelState, time_ns: int) -> MeterState:
    """The same with exact decimals, at that moment."""
    reading = state.reading
    return MeterState(
        time_ns=time_ns,
        state=state.state,
        value_si=None if reading is None or reading.value is None else _exact(reading.value),
        resolution_si=(
            None if reading is None or reading.resolution is None else _exact(reading.resolution)
        ),
        text="" if reading is None else reading.text,
        window_si=tuple(_exact(r.value) for r in state.window if r.value is not None),
        quantity=state.quantity,
    )


def _exact(value: float) -> Decimal:
    """The decimal that the meter showed: a correctly rounded float gives it back."""
    return Decimal(repr(value))
