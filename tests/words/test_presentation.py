"""How the parameters of a message are written, whatever their type."""

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from benchmeter.errors import Amount, InputError, Message
from benchmeter.words.presentation import PLAIN, Presentation, capitalized

LONG = "x" * 60
COMMA_AND_F = Presentation(decimal_sign=",", temperature_unit="°F")


def told(spec: str, value: object, presentation: Presentation = PLAIN) -> str:
    return presentation.filled("{v:" + spec + "}" if spec else "{v}", {"v": value})


@pytest.mark.parametrize("spec", ["", "whole", "and", "or", "clause"])
@pytest.mark.parametrize(
    "value",
    [
        "A1", 3, 2.5, Decimal("1.50"), date(2026, 11, 30), Path("a.toml"), ["C", "HERM"], ("one",),
        Amount(Decimal("4.4e-5"), "µF"), Message("lists.and", {"rest": "C", "last": "S"}),
        InputError("lists.and", rest="C", last="S"),
    ],
)  # fmt: skip
def test_any_parameter_can_be_told_in_any_way(spec: str, value: object) -> None:
    """A message about a fault must never be one itself."""
    assert told(spec, value)


@pytest.mark.parametrize(
    ("spec", "value", "text"),
    [
        ("", LONG, "x" * 39 + "…"),
        ("whole", LONG, LONG),
        ("and", ["C", "FAN", "HERM"], "C, FAN and HERM"),
        ("or", ["C"], "C"),
        ("", ["C", LONG], "C, " + "x" * 39 + "…"),
        ("clause", Message("verdicts.no_value"), "The meter showed no value"),
        (".1f", 2.25, "2,2"),
        ("+.2f", Decimal("0.5"), "+0,50"),
        ("", Decimal("1.50"), "1,50"),
        ("", Amount(Decimal("0.0000423"), "µF"), "42,3 µF"),
        ("", Amount(Decimal("303.15"), "°C"), "86 °F"),  # 30 °C (definition of the scales)
        ("", Amount(Decimal(10), "Δ°C"), "18 °F"),
        ("", Path("a.5.toml"), "a.5.toml"),
        ("", "4.5 µF as typed", "4.5 µF as typed"),
    ],
)
def test_each_type_is_told_as_the_person_prefers(spec: str, value: object, text: str) -> None:
    assert told(spec, value, COMMA_AND_F) == text


def test_what_the_catalogue_does_not_know_is_told_by_its_code() -> None:
    assert str(PLAIN.tell(Message("nowhere.at_all"))) == "nowhere.at_all"
    with pytest.raises(KeyError):
        PLAIN.text("nowhere.at_all")


@pytest.mark.parametrize(
    ("text", "large"), [("red", "Red"), ("[réd]", "[Réd]"), ("", ""), ("5", "5")]
)
def test_a_sentence_begins_with_a_large_letter(text: str, large: str) -> None:
    assert capitalized(text) == large
