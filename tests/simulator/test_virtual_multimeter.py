"""The virtual multimeter: what it shows follows from knob, leads and part, in bytes.

Wire facts: function names and overload of SCPI-1999, 14-byte display frame, both from memory, as
in the tests of their decoders. What a meter shows in a wrong function is common practice, no
source, unless physics is named.
"""

import math
from collections.abc import Iterator

import pytest

from benchmeter.links.decoders.lcd14 import Lcd14Decoder
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.gate import ShownField
from benchmeter.readings.reading import Indication
from benchmeter.readings.status import Status
from benchmeter.simulator.contact import KNOB
from benchmeter.simulator.lcd_meter import LcdMeter
from benchmeter.simulator.scpi_meter import ScpiMeter
from benchmeter.simulator.virtual_meter import Multimeter
from benchmeter.simulator.virtual_parts import Part, Truth
from benchmeter.simulator.world import World
from tests.simulator.meters import ask, hear_all

SECOND = 1_000_000_000
LEAD_OHM = 0.2

TRUTHS = {
    "coil": Truth(ohm=11.4),
    "winding": Truth(ohm=0.8),
    "insulation": Truth(ohm=22e6),
    "gap": Truth(open=True),
    "weld": Truth(shorted=True),
    "HERM": Truth(45e-6),
    "charged": Truth(45e-6, stored_v=310.0),
    "bled": Truth(98e-6, ohm=15e3),
    "line": Truth(volts_ac=231.4, amps_ac=7.26),
    "couple": Truth(volts_dc=0.00417, ohm=3.0),
}


def world(place: str = "air", knob: Quantity = Quantity.RESISTANCE) -> World:
    made = World([Part("part", "", TRUTHS)], None, knob=knob)
    if place != "air":
        made.do(f"leads: {place}", 0)
    return made


class ByScpi:
    """What the meter says when it is asked."""

    def __init__(self, it: World) -> None:
        self._meter = ScpiMeter(Multimeter(it, "seed"), "BENCHMETER,VIRTUAL-MULTIMETER,0,1")

    def at(self, seconds: float) -> tuple[str, float]:
        """Function and value; infinite for an overload."""
        function, _ = ask(self._meter, "FUNC?", round(seconds * SECOND))
        text, _ = ask(self._meter, "READ?", round(seconds * SECOND))
        value = float(text)
        return function.strip('"'), math.inf if value >= 9.9e37 else value


class ByFrames:
    """What a display shows, read back by the decoder."""

    def __init__(self, it: World) -> None:
        self._meter = LcdMeter(Multimeter(it, "seed"))
        self._from_ns = 0
        self._decoder = Lcd14Decoder(ShownField(), {})

    def at(self, seconds: float) -> Indication:
        until_ns = round(seconds * SECOND)
        said = hear_all(self._meter, self._from_ns, until_ns)
        self._from_ns = until_ns + 1
        found = [f for f in self._decoder.feed(said) if isinstance(f, Indication)]
        return found[-1]


@pytest.mark.parametrize(
    ("knob", "name", "place", "value", "counts"),
    [
        (Quantity.RESISTANCE, "RES", "coil", 11.4 + LEAD_OHM, 0.1),
        (Quantity.RESISTANCE, "RES", "insulation", 22e6, 1e4),
        (Quantity.CAPACITANCE, "CAP", "HERM", 45e-6, 1e-8),
        (Quantity.VOLTAGE_DC, "VOLT", "couple", 4.17e-3, 1e-5),
        (Quantity.VOLTAGE_AC, "VOLT:AC", "line", 231.4, 0.1),
        (Quantity.CURRENT_AC, "CURR:AC", "line", 7.26, 0.01),
    ],
)
def test_each_function_is_named_and_measured_on_both_wires(
    knob: Quantity, name: str, place: str, value: float, counts: float
) -> None:
    said, shown = ByScpi(world(place, knob)).at(10)
    assert said == name
    assert shown == pytest.approx(value, abs=2 * counts)
    found = ByFrames(world(place, knob)).at(10)
    assert (found.quantity, found.status) == (knob, Status.OK)
    assert found.value == pytest.approx(value, abs=2 * counts)
    assert found.resolution == pytest.approx(counts)


def test_every_position_of_the_knob_is_measured() -> None:
    for knob in KNOB:
        it = world("HERM", knob)
        assert it.knob() is knob
        assert ByFrames(it).at(10).quantity is knob


@pytest.mark.parametrize(
    ("knob", "place"),
    [
        (Quantity.RESISTANCE, "air"),
        (Quantity.RESISTANCE, "gap"),
        (Quantity.RESISTANCE, "line"),  # live
        (Quantity.RESISTANCE, "charged"),
        (Quantity.CAPACITANCE, "together"),
        (Quantity.CAPACITANCE, "weld"),
        (Quantity.CAPACITANCE, "coil"),  # a low resistance drains what the meter charges
        (Quantity.CAPACITANCE, "bled"),
        (Quantity.CAPACITANCE, "line"),
        (Quantity.CAPACITANCE, "charged"),
    ],
)
def test_these_are_an_overload(knob: Quantity, place: str) -> None:
    assert ByScpi(world(place, knob)).at(10)[1] == math.inf
    assert ByFrames(world(place, knob)).at(10).status is Status.OVERLOAD


@pytest.mark.parametrize(
    ("knob", "place", "most"),
    [
        (Quantity.CAPACITANCE, "air", 0.1e-9),
        (Quantity.CAPACITANCE, "gap", 0.1e-9),
        (Quantity.CAPACITANCE, "insulation", 0.1e-9),
        (Quantity.VOLTAGE_DC, "HERM", 1e-4),
        (Quantity.VOLTAGE_DC, "line", 1e-4),
        (Quantity.VOLTAGE_AC, "charged", 1e-3),
        (Quantity.VOLTAGE_AC, "air", 1e-3),
        (Quantity.CURRENT_AC, "coil", 5e-3),
    ],
)
def test_these_show_next_to_nothing(knob: Quantity, place: str, most: float) -> None:
    assert abs(ByScpi(world(place, knob)).at(10)[1]) <= most


def test_tips_together_show_the_ohms_of_the_leads_and_so_does_a_short() -> None:
    assert ByScpi(world("together")).at(10)[1] == pytest.approx(LEAD_OHM, abs=0.11)
    assert ByScpi(world("weld")).at(10)[1] == pytest.approx(LEAD_OHM, abs=0.11)
    winding = [ByScpi(world("winding")).at(10 + n)[1] for n in range(8)]
    assert sum(winding) / len(winding) == pytest.approx(0.8 + LEAD_OHM, abs=0.1)


def test_ohms_on_a_capacitor_climb_by_one_over_c() -> None:
    # A constant current: V = I·t/C, so V/I = t/C (physics): 45 µF after 4.5 s are 0.1 MΩ.
    meter = ByScpi(world("HERM"))
    assert meter.at(4.5 - 0.09)[1] == pytest.approx(1e5, rel=0.02)
    assert meter.at(9.0 - 0.09)[1] == pytest.approx(2e5, rel=0.02)


def test_ohms_on_a_capacitor_with_a_bleed_resistor_end_at_the_resistor() -> None:
    assert ByScpi(world("bled")).at(30)[1] == pytest.approx(15e3, rel=0.005)


def test_stored_charge_shows_as_dc_volts_and_drains_through_the_resistor() -> None:
    it = world("charged", Quantity.VOLTAGE_DC)
    meter = ByScpi(it)
    # Over the meter's 10 MΩ: 45 µF × 10 MΩ = 450 s; over 18 kΩ: 0.81 s (physics).
    assert meter.at(10)[1] == pytest.approx(310 * math.exp(-10 / 450), rel=0.005)
    it.do("resistor: on", 11 * SECOND)
    left = 310 * math.exp(-11 / 450)
    assert meter.at(11.81 - 0.09)[1] == pytest.approx(left / math.e, rel=0.01)
    assert abs(meter.at(25)[1]) < 1e-3


def test_a_charge_stays_where_no_lead_is_and_blocks_the_capacitance_until_it_is_drained() -> None:
    it = world("charged", Quantity.CAPACITANCE)
    meter = ByScpi(it)
    assert meter.at(5)[1] == math.inf
    it.do("leads: air", 6 * SECOND)
    it.do("leads: charged", 600 * SECOND)
    assert meter.at(605)[1] == math.inf
    it.do("resistor: on", 606 * SECOND)
    it.do("resistor: off", 620 * SECOND)
    assert meter.at(625)[1] == pytest.approx(45e-6, abs=2e-8)


def test_places_with_the_same_terminals_share_their_charge() -> None:
    part = Part(
        "part",
        "",
        {"HERM": Truth(45e-6, stored_v=300.0), "volts": Truth(45e-6, stored_v=300.0)},
        same={"volts": "HERM"},
    )
    it = World([part], None, knob=Quantity.VOLTAGE_DC)
    it.do("leads: volts", 0)
    it.do("resistor: on", 0)
    it.do("leads: HERM", 20 * SECOND)
    assert abs(it.lead_volts(20 * SECOND)) < 1e-3


def test_a_turned_knob_takes_time_to_range_and_never_shows_the_old_value() -> None:
    it = world("coil", Quantity.CAPACITANCE)
    meter = ScpiMeter(Multimeter(it, "seed"), "")
    meter.hear(b"READ?\n", 5 * SECOND)
    it.do("knob: resistance", 5 * SECOND + 10_000_000)
    wake_ns = meter.wake_ns()
    assert wake_ns is not None and wake_ns > 5 * SECOND + 300_000_000
    assert float(meter.speak(wake_ns)) == pytest.approx(11.6, abs=0.2)


def test_one_seed_gives_the_same_digits() -> None:
    def digits() -> Iterator[tuple[str, float]]:
        it = world("HERM", Quantity.CAPACITANCE)
        meter = ByScpi(it)
        for at_s, knob in enumerate([*KNOB, *KNOB], 1):
            it.do(f"knob: {knob.value}", at_s * SECOND)
            yield meter.at(at_s + 0.5)

    assert list(digits()) == list(digits())
