"""R·C·ln(V0/V), the discharge of a capacitor through a resistor (any textbook of circuits)."""

import pytest

from benchmeter.checking.safety import rated_discharge
from benchmeter.parts.nameplate.label import parse_label
from benchmeter.words.safety_words import discharge_words


def test_the_time_is_that_of_the_largest_section_at_its_upper_limit() -> None:
    # By hand: 20 kΩ · 47.7 µF = 0.954 s; √2 · 440 V = 622.25 V; ln(622.25/5) = 4.8239; 4.602 s.
    found = rated_discharge(parse_label("45/5 µF ±6 % 370/440 V"))
    assert found is not None
    assert found.time_s == pytest.approx(4.602, abs=0.001)


def test_the_words_never_promise_a_shorter_time() -> None:
    words = discharge_words(parse_label("45/5 µF ±6 % 440 V"))
    assert words == "20 kΩ brings this part from 622 V below 5 V in 5 s."


@pytest.mark.parametrize("label", ["45/5 µF ±6 %", "5 µF ±5 % 2 V"])
def test_without_a_rated_voltage_nothing_is_said(label: str) -> None:
    assert discharge_words(parse_label(label)) == ""
