"""The settle rule, as its docstring states it (our own rule; nothing outside fixes it)."""

import pytest

from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.status import Status
from benchmeter.session.acquisition.settle_window import SettleWindow
from tests.fakes.readings import reading_in_si

COUNT = 1e-8  # 0.01 µF


def window(
    counts: list[int],
    *,
    every_s: float = 0.4,
    quantity: Quantity = Quantity.CAPACITANCE,
    resolution: float = COUNT,
) -> SettleWindow:
    made = SettleWindow(quantity)
    for i, n in enumerate(counts):
        time_ns = round(i * every_s * 1e9)
        made.add(
            reading_in_si("c", time_ns, n * resolution, Status.OK, resolution, str(n)), is_new=True
        )
    return made


def test_five_readings_within_three_counts_over_one_and_a_half_seconds_are_settled():
    assert window([1010, 1012, 1010, 1011, 1012]).settled()


def test_four_readings_are_too_few():
    assert not window([1010, 1012, 1010, 1011], every_s=0.6).settled()


def test_a_shorter_span_is_too_short():
    assert not window([1010, 1012, 1010, 1011, 1012], every_s=0.3).settled()


def test_four_counts_apart_is_moving_where_that_is_more_than_the_relative_width():
    assert not window([1010, 1014, 1010, 1011, 1012]).settled()


def test_the_relative_width_holds_for_large_values():
    assert window([5000, 5012, 5001, 5007, 5003]).settled()
    assert not window([5000, 5020, 5001, 5007, 5003]).settled()


@pytest.mark.parametrize("counts", [[10, 11, 11, 12, 12], [12, 12, 11, 11, 10]])
def test_a_creeping_reading_is_moving_even_within_three_counts(counts: list[int]):
    assert not window([1000 + n for n in counts]).settled()


def test_a_change_of_range_starts_anew():
    made = window([1010, 1012, 1010, 1011, 1012])
    made.add(reading_in_si("c", 2_000_000_000, 10.1e-6, Status.OK, 1e-7, "10.1"), is_new=True)
    assert not made.settled()
    assert len(made.readings()) == 1


def test_an_overload_clears_the_window():
    made = window([1010, 1012, 1010, 1011, 1012])
    made.add(reading_in_si("c", 2_000_000_000, None, Status.OVERLOAD, None, "OL"), is_new=True)
    assert made.readings() == ()


def test_air_climbing_three_kelvin_a_minute_is_moving_and_air_at_rest_is_settled():
    rising = [round((300 + 0.05 * s) * 10) for s in range(30)]
    at_rest = [3000 + (s % 2) for s in range(30)]
    build = {"every_s": 1.0, "quantity": Quantity.TEMPERATURE, "resolution": 0.1}
    assert not window(rising, **build).settled()
    assert window(at_rest, **build).settled()


def test_ohms_and_dc_volts_settle_like_a_capacitance():
    for quantity in (Quantity.RESISTANCE, Quantity.VOLTAGE_DC):
        assert window([26, 27, 26, 26, 27], quantity=quantity, resolution=0.1).settled()
        assert not window([26, 31, 26, 26, 27], quantity=quantity, resolution=0.1).settled()


def test_volts_and_amps_of_the_mains_may_wander_by_one_percent():
    volts = [2301, 2312, 2297, 2305, 2310]
    for quantity in (Quantity.VOLTAGE_AC, Quantity.CURRENT_AC):
        assert window(volts, quantity=quantity, resolution=0.1).settled()
        assert not window([*volts[:4], 2330], quantity=quantity, resolution=0.1).settled()
    assert not window(volts, quantity=Quantity.VOLTAGE_DC, resolution=0.1).settled()


def test_megohms_must_hold_still_for_five_seconds_within_two_percent():
    megohms = {"quantity": Quantity.RESISTANCE, "resolution": 1e4}
    assert not window([1200, 1215, 1204, 1210, 1202], **megohms).settled()
    assert window([1200, 1215, 1204] * 5, **megohms).settled()
    assert not window([1200, 1230, 1204] * 5, **megohms).settled()


def test_an_insulation_that_charges_is_moving():
    rising = [1200 + n // 3 for n in range(30)]
    assert not window(rising, quantity=Quantity.RESISTANCE, resolution=1e4).settled()


def test_a_charge_that_drains_is_moving():
    # 120 V over 10 MΩ × 45 µF = 450 s: 0.27 V a second.
    falling = [round(1200 - 2.7 * 0.4 * n) for n in range(12)]
    assert not window(falling, quantity=Quantity.VOLTAGE_DC, resolution=0.1).settled()


def test_the_window_does_not_grow():
    made = window([1010 + n % 2 for n in range(1000)], every_s=0.1)
    assert len(made.readings()) <= 17


def test_what_is_shown_now_must_fit_what_was_measured() -> None:
    """A line between two measurements is none, but what it shows must be still as well."""
    made = window([1010, 1012, 1010, 1011, 1012])
    made.add(reading_in_si("c", 1_700_000_000, 10.2e-6, Status.OK, COUNT, "1020"), is_new=False)
    assert not made.settled()
    made.add(reading_in_si("c", 1_800_000_000, 10.1e-6, Status.OK, COUNT, "1010"), is_new=False)
    assert made.settled()
    assert len(made.readings()) == 5


def test_a_quiet_display_may_have_moved_by_a_count_unseen() -> None:
    drift = window([1010] * 6).drift()  # 2 s
    assert drift == pytest.approx((-COUNT / 2, COUNT / 2))


def test_after_eight_seconds_it_was_watched_long_enough() -> None:
    counts = [1010, 1011, 1011, 1010, 1010, 1011, 1011] * 4
    assert window(counts[:18]).drift() is not None
    assert window(counts).drift() is None


def test_a_creep_under_noise_is_moving_once_it_was_watched_for_some_seconds() -> None:
    """A quarter of a count with each measurement, noise of a count on either side."""
    creep = [1000 + n // 4 + (1, -1, 0, 2)[n % 4] for n in range(20)]
    assert not window(creep).settled()
    rest = [1000 + (1, -1, 0, 2)[n % 4] for n in range(20)]
    assert window(rest).settled()


def test_what_has_come_to_rest_after_a_way_is_settled() -> None:
    way = [4400, 4404, 4407, 4409, 4410]
    assert not window(way).settled()
    assert window([*way, *[4411, 4410, 4411, 4411, 4410]]).settled()
