"""Which lines are measurements of their own (our own rule, as its docstring states it)."""

from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.status import Status
from benchmeter.session.acquisition.measurements import Measurements
from tests.fakes.readings import reading_in_si

OHM = Quantity.RESISTANCE
SECOND = 1_000_000_000


class Display:
    """A display of 0.1 Ω that is sent so many times a second."""

    def __init__(self, a_second: float = 5, told_ms: dict[Quantity, int] | None = None) -> None:
        self.measurements = Measurements(told_ms or {}, SECOND)
        self._every_ns, self._now_ns = round(SECOND / a_second), 0

    def shows(self, ohm: float | None, lines: int, resolution: float = 0.1) -> int:
        """How many measurements that gave."""
        before = self.measurements.count
        status = Status.OVERLOAD if ohm is None else Status.OK
        for _ in range(lines):
            self._now_ns += self._every_ns
            step = None if ohm is None else resolution
            reading = reading_in_si("m", self._now_ns, ohm, status, step)
            self.measurements.is_new(reading, OHM)
        return self.measurements.count - before


def test_each_line_that_differs_is_a_measurement() -> None:
    it = Display(a_second=4)
    assert [it.shows(ohm, 1) for ohm in (2.6, 2.7, None, 2.7)] == [1, 1, 1, 1]


def test_one_that_is_too_quick_is_none() -> None:
    it = Display(a_second=20)
    assert [it.shows(ohm, 1) for ohm in (2.6, 2.7, 2.6, 2.7, 2.6, 2.7)] == [1, 0, 0, 0, 0, 1]
    assert it.shows(None, 1) == 1  # something far off is seen at once


def test_a_display_that_stays_is_measured_once_a_second_while_nothing_is_known() -> None:
    assert Display().shows(2.6, 16) == 4  # at 0, 1, 2 and 3 s
    assert Display().shows(None, 17) == 3  # nothing: at 0, 1.6 and 3.2 s


def test_the_profile_tells_how_long_one_takes() -> None:
    assert Display(told_ms={OHM: 2_000}).shows(2.6, 21) == 3
    assert Display(told_ms={Quantity.CAPACITANCE: 2_000}).shows(2.6, 21) == 5
    assert Display(told_ms={OHM: 1}).shows(2.6, 6) == 5  # never quicker than 0.23 s


def test_it_is_learned_from_how_long_the_display_holds_still() -> None:
    it = Display()
    for ohm in (2.6, 2.7, 2.6, 2.7, 2.6):
        it.shows(ohm, 2)  # 0.4 s
    assert it.shows(2.6, 18) == 9
    it = Display()
    for ohm in (2.6, 2.7, 2.6, 2.7, 2.6, 2.7):
        it.shows(ohm, 10)  # 2 s
    assert it.shows(2.7, 20) == 2


def test_a_display_that_never_flickers_tells_nothing() -> None:
    """Parts that hung on it for long, one after another: two hold alike by chance."""
    it = Display()
    for lines, ohm in ((70, 2.6), (73, 3.1), (40, 2.6), (5, 3.1)):
        it.shows(ohm, lines)
    assert it.shows(3.1, 20) == 4


def test_a_stray_line_teaches_nothing() -> None:
    it = Display()
    for stray in (0.0, None, 0.0, None):
        it.shows(2.6, 8)
        it.shows(stray, 1)
    assert it.shows(2.6, 20) == 4  # once a second still


def test_each_range_is_learned_for_itself() -> None:
    it = Display()
    for ohm in (2.6, 2.7, 2.6, 2.7, 2.6):
        it.shows(ohm, 1)
    assert it.shows(2.6, 5) == 4
    assert it.shows(470.0, 10, resolution=1.0) == 2


def test_what_came_while_lines_were_missing_teaches_nothing() -> None:
    it = Display()
    for ohm in (2.6, 2.7, 2.6, 2.7, 2.6):
        it.shows(ohm, 1)
        it.measurements.broken()
    assert it.shows(2.6, 10) == 2
