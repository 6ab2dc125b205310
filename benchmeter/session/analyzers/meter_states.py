"""A channel as the check of a part needs it."""

from benchmeter.checking.meter_state import MeterState
from benchmeter.readings.channel_status import ChannelStatus
from benchmeter.session.acquisition.channel_state import ChannelState

__all__ = ["meter_state"]


def meter_state(state: ChannelState, time_ns: int) -> MeterState:
    """The same at that moment."""
    reading = state.reading
    settled = state.window if state.state is ChannelStatus.SETTLED else ()
    return MeterState(
        time_ns=time_ns,
        state=state.state,
        value_si=None if reading is None else reading.value_si,
        resolution_si=None if reading is None else reading.resolution_si,
        text="" if reading is None else reading.text,
        window_si=tuple(value for r in settled if (value := r.value_si) is not None),
        quantity=state.quantity,
        measured=state.measured,
        drift=state.drift,
    )
