"""The reading of a channel: its digits, its unit, and its state in words."""

from dataclasses import dataclass

from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.units import split_value
from benchmeter.readings.channel_status import ChannelStatus
from benchmeter.readings.reading import Reading
from benchmeter.session.acquisition.channel_state import ChannelState
from benchmeter.words.durations import age
from benchmeter.words.numbers import number_text
from benchmeter.words.presentation import Presentation
from benchmeter.words.shown_reading import reading_text

__all__ = ["ReadingScene", "reading_scene"]

_NONE = "–––"
# Open leads: no part of this trade is as small as a nanofarad.
_STRAY_F = 1e-9
_OLD = (ChannelStatus.STALE, ChannelStatus.LOST)
_LIVE = (ChannelStatus.MOVING, ChannelStatus.SETTLED)
_TONE = {
    ChannelStatus.WAITING: "faint_ink",
    ChannelStatus.MOVING: "caution",
    ChannelStatus.SETTLED: "good",
    ChannelStatus.OVERLOAD: "undecided",
    ChannelStatus.WRONG_FUNCTION: "undecided",
    ChannelStatus.NO_CONTACT: "undecided",
    ChannelStatus.NO_VALUE: "undecided",
    ChannelStatus.SUSPECT: "caution",
    ChannelStatus.STALE: "bad",
    ChannelStatus.LOST: "bad",
}


@dataclass(frozen=True, slots=True)
class ReadingScene:
    """What stands on the reading: digits with their tone, unit, state, what to do.

    Attributes:
        struck: a line through the digits, since they are old.
        raw: as the meter wrote it; "" it is not asked for.
    """

    digits: str
    digits_tone: str
    struck: bool
    unit: str
    icon: str
    tone: str
    state: str
    hint: str
    raw: str = ""


def reading_scene(
    state: ChannelState | None,
    quantity: Quantity | None,
    now_ns: int,
    tell: Presentation,
    *,
    raw: bool = False,
) -> ReadingScene:
    """The reading as it is to be drawn.

    Args:
        state: None: no instrument is connected.
        quantity: what is expected of the channel; None: not known yet.
        now_ns: session time, for ages.
        raw: the indication is shown as the meter wrote it, too.
    """
    unit = _unit_of(quantity, tell)
    if state is None:
        told, hint = tell.text("widgets.no_meter"), tell.text("widgets.connect_one_or_begin")
        return ReadingScene(_NONE, "faint_ink", False, unit, "plug", "faint_ink", told, hint)
    reading, digits, tone = state.reading, _NONE, "faint_ink"
    if reading is not None and reading.status.has_value:
        digits, unit = _written(reading, quantity, tell)
        tone = "ink"
    if state.state is ChannelStatus.OVERLOAD:
        digits, tone = "OL", "ink"
    elif state.state in _OLD or state.state is ChannelStatus.WAITING:
        tone = "faint_ink"
    elif state.state is ChannelStatus.SUSPECT:
        tone = "caution"
    elif state.state not in _LIVE:
        digits, tone = _NONE, "faint_ink"
    told, hint = _state_words(state, quantity, unit, now_ns, tell)
    return ReadingScene(
        digits,
        tone,
        state.state in _OLD and digits != _NONE,
        unit,
        f"pulse-{state.state.replace(' ', '-')}",
        _TONE[state.state],
        told,
        hint,
        reading.text if reading is not None and raw else "",
    )


def _written(reading: Reading, quantity: Quantity | None, tell: Presentation) -> tuple[str, str]:
    """Digits and unit."""
    if quantity is None:  # the meter has not told what it measures: its own words
        return split_value(reading.text)
    if _stray(reading, quantity):
        return tell.number(number_text(0, 3)), "µF"
    return reading_text(reading, quantity, tell)


def _state_words(
    pulse: ChannelState, quantity: Quantity | None, unit: str, now_ns: int, tell: Presentation
) -> tuple[str, str]:
    since = age(now_ns - pulse.since_ns, tell)
    match pulse.state:
        case ChannelStatus.WAITING:
            return tell.text("widgets.waiting_2"), tell.text("widgets.no_reading_has_come")
        case ChannelStatus.MOVING:
            return tell.text("widgets.moving_2"), tell.text("widgets.hold_until_settles")
        case ChannelStatus.SETTLED:
            return tell.text("widgets.settled_2"), tell.text("widgets.holds_still")
        case ChannelStatus.OVERLOAD if quantity in (Quantity.RESISTANCE, Quantity.CONTINUITY):
            hint = tell.text("widgets.nothing_between_leads_or")
            return tell.text("widgets.overload_2"), hint
        case ChannelStatus.OVERLOAD:
            return tell.text("widgets.overload_2"), tell.text("widgets.above_range_choose_higher")
        case ChannelStatus.WRONG_FUNCTION:
            code = "widgets.set_meter_quantity_unit"
            hint = tell.text(code, quantity=quantity, unit=unit) if quantity else ""
            return tell.text("widgets.wrong_function_2"), hint
        case ChannelStatus.NO_CONTACT:
            return tell.text("widgets.no_contact_2"), tell.text("widgets.check_clips_or_probe")
        case ChannelStatus.NO_VALUE:
            return tell.text("widgets.no_value_2"), tell.text("widgets.meter_itself_shows_no")
        case ChannelStatus.SUSPECT:
            return tell.text("widgets.suspect_2"), tell.text("widgets.not_plausible_here_check")
        case ChannelStatus.STALE:
            state = tell.text("widgets.stale_since_age", age=since)
            return state, tell.text("widgets.last_value_not_present")
        case ChannelStatus.LOST:
            state = tell.text("widgets.lost_since_age", age=since)
            if pulse.reason is None:
                return state, tell.text("widgets.check_plug_2")
            return state, str(tell.tell(pulse.reason))


def _unit_of(quantity: Quantity | None, tell: Presentation) -> str:
    """The unit, with AC or DC where that tells the quantity from another."""
    if quantity is None:
        return ""
    if quantity is Quantity.TEMPERATURE:
        return tell.temperature_unit
    row = quantity.row
    return f"{row.plain_unit} {row.current}".strip() if row.told_by_unit else row.plain_unit


def _stray(reading: Reading, quantity: Quantity) -> bool:
    """Whether this is what open leads show, from a meter that has no unit of a display."""
    if quantity is not Quantity.CAPACITANCE or reading.value is None:
        return False
    if abs(reading.value) >= _STRAY_F:
        return False
    _, unit = split_value(reading.text)
    return unit in ("", "F")
