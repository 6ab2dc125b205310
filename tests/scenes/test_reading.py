"""The reading of a channel, without a window."""

from typing import Any

import pytest

from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.channel_status import ChannelStatus
from benchmeter.readings.events import reported
from benchmeter.readings.status import Status
from benchmeter.scenes.reading_scene import ReadingScene, reading_scene
from benchmeter.session.acquisition.channel_state import ChannelState
from benchmeter.words.presentation import PLAIN, Presentation
from tests.fakes.readings import reading_in_si

S = 10**9
STATUS = {
    ChannelStatus.OVERLOAD: Status.OVERLOAD,
    ChannelStatus.WRONG_FUNCTION: Status.WRONG_FUNCTION,
    ChannelStatus.NO_CONTACT: Status.NO_CONTACT,
    ChannelStatus.NO_VALUE: Status.NO_VALUE,
    ChannelStatus.SUSPECT: Status.SUSPECT,
}


def shown(
    state: ChannelStatus = ChannelStatus.SETTLED,
    value: float = 44.1e-6,
    text: str = "44.10 µF",
    resolution: float = 1e-8,
    *,
    quantity: Quantity | None = Quantity.CAPACITANCE,
    tell: Presentation = PLAIN,
    raw: bool = False,
    **more: Any,
) -> ReadingScene:
    status = STATUS.get(state, Status.OK)
    known = value if status.has_value else None
    reading = reading_in_si("meter", 10 * S, known, status, resolution, text)
    channel = ChannelState("meter", state, 8 * S, reading, **more)
    return reading_scene(channel, quantity, 12 * S, tell, raw=raw)


@pytest.mark.parametrize(
    ("state", "words", "tone"),
    [
        (ChannelStatus.WAITING, "Waiting", "faint_ink"),
        (ChannelStatus.MOVING, "Moving", "ink"),
        (ChannelStatus.SETTLED, "Settled", "ink"),
        (ChannelStatus.OVERLOAD, "Overload", "ink"),
        (ChannelStatus.WRONG_FUNCTION, "Wrong function", "faint_ink"),
        (ChannelStatus.NO_CONTACT, "No contact", "faint_ink"),
        (ChannelStatus.NO_VALUE, "No value", "faint_ink"),
        (ChannelStatus.SUSPECT, "Suspect", "caution"),
        (ChannelStatus.STALE, "Stale since 4 s", "faint_ink"),
        (ChannelStatus.LOST, "Lost since 4 s", "faint_ink"),
    ],
)
def test_every_state_is_said_in_words(state: ChannelStatus, words: str, tone: str) -> None:
    scene = shown(state)
    assert scene.state == words and scene.hint and scene.digits_tone == tone
    assert scene.icon == f"pulse-{state.value.replace(' ', '-')}"
    assert scene.struck is (state in (ChannelStatus.STALE, ChannelStatus.LOST))


@pytest.mark.parametrize(
    ("state", "digits"),
    [
        (ChannelStatus.OVERLOAD, "OL"),
        (ChannelStatus.WRONG_FUNCTION, "–––"),
        (ChannelStatus.NO_CONTACT, "–––"),
        (ChannelStatus.NO_VALUE, "–––"),
        (ChannelStatus.SETTLED, "44.10"),
        (ChannelStatus.LOST, "44.10"),
    ],
)
def test_no_number_stands_where_there_is_no_value(state: ChannelStatus, digits: str) -> None:
    assert shown(state).digits == digits


def test_a_lost_one_says_what_to_do() -> None:
    lost = shown(ChannelStatus.LOST, reason=reported("The adapter was unplugged.", "Plug it in."))
    assert lost.hint == "The adapter was unplugged. Plug it in."


def test_nothing_connected_teaches_the_next_step() -> None:
    scene = reading_scene(None, Quantity.CAPACITANCE, 0, PLAIN)
    assert scene.icon == "plug" and "simulated bench" in scene.hint and scene.unit == "µF"


@pytest.mark.parametrize(("unit", "digits"), [("°C", "35.0"), ("°F", "95.0")])
def test_temperature_is_shown_in_the_persons_unit(unit: str, digits: str) -> None:
    """308.15 K = 35 °C = 95 °F (definition of the scales)."""
    scene = shown(
        value=308.15,
        text="35.0",
        resolution=0.1,
        quantity=Quantity.TEMPERATURE,
        tell=Presentation(temperature_unit=unit),
    )
    assert (scene.digits, scene.unit) == (digits, unit)


@pytest.mark.parametrize("quantity", Quantity)
def test_every_quantity_has_its_unit_before_the_first_reading(quantity: Quantity) -> None:
    waiting = ChannelState("c", ChannelStatus.WRONG_FUNCTION, 0, None)
    scene = reading_scene(waiting, quantity, 0, PLAIN)
    assert scene.unit and "()" not in scene.hint


def test_what_the_meter_has_not_told_is_shown_in_its_own_words() -> None:
    scene = shown(text="39.2 uF", quantity=None)
    assert (scene.digits, scene.unit) == ("39.2", "uF")
    assert shown(raw=True).raw == "44.10 µF" and shown().raw == ""
    assert shown(tell=Presentation(decimal_sign=",")).digits == "44,10"


def test_stray_capacitance_of_a_meter_that_sends_farad_holds_still() -> None:
    """14 pF and 6 pF of open leads: no part of this trade (common practice, no source)."""
    open_leads = ((14e-12, "+1.40000E-11"), (6e-12, "+6.00000E-12"))
    assert {shown(value=v, text=t, resolution=1e-12).digits for v, t in open_leads} == {"0.000"}
    display = shown(value=14e-12, text="0.014 nF")
    assert (display.digits, display.unit) == ("0.014", "nF")
    assert "47" in shown(value=4.7e-9, text="+4.70000E-09", resolution=1e-12).digits


def test_in_ohms_an_overload_may_be_the_air() -> None:
    """Open leads read OL in ohms: common practice, no source."""
    in_ohms = shown(ChannelStatus.OVERLOAD, quantity=Quantity.RESISTANCE).hint
    assert "Nothing between the leads" in in_ohms
    assert "choose a higher one" in shown(ChannelStatus.OVERLOAD).hint
