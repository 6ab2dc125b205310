"""The table of quantities: a row is complete, or the program does not start."""

import json
import subprocess
import sys

import pytest

from benchmeter.quantities.quantity import Quantity, of_other_current, quantity_told_by
from benchmeter.quantities.units import UNITS
from tests.quantities import added_quantity

FIELDS = {
    "si_unit": '"W"',
    "wire_unit": '"W"',
    "plain_unit": '"kW"',
    "implied": "True",
    "ladder": '((1e3, "kW"), (0, "W"))',
    "current": '""',
    "told_by_unit": "True",
    "scpi": '("POWer",)',
    "signed": "False",
    "least_si": "None",
    "largest_si": 'Decimal("1e6")',
    "count_unit": '"W"',
    "largest_count_si": "Decimal(10)",
    "stillness": "Stillness()",
}


def row(**changed: str | None) -> str:
    fields = {name: text for name, text in (FIELDS | changed).items() if text is not None}
    told = ", ".join(f"{name}={text}" for name, text in fields.items())
    return f'    POWER = "power", QuantityRow({told})'


def refuse(row: str, match: str) -> None:
    with pytest.raises((ValueError, TypeError), match=match):
        added_quantity.with_row(row, "a_row_more")


@pytest.mark.parametrize("missing", FIELDS)
def test_a_row_without_one_of_its_fields_is_refused_at_import(missing):
    refuse(row(**{missing: None}), missing)


@pytest.mark.parametrize(
    ("changed", "match"),
    [
        ({"wire_unit": '"watts"'}, "no unit watts"),
        ({"ladder": '((0, "V"),)'}, "several kinds"),
        ({"count_unit": '"V"'}, "several kinds"),
        ({"ladder": '((1e3, "kW"),)'}, "ladder"),
        ({"ladder": '((0, "W"), (1e3, "kW"))'}, "ladder"),
        ({"scpi": '("power",)'}, "capitals"),
        ({"largest_si": "Decimal(0)"}, "largest"),
        ({"count_unit": "None"}, "accuracy"),
        ({"stillness": "Stillness(0)"}, "still"),
        ({"stillness": "Stillness(relative=0.0)"}, "still"),
    ],
)
def test_a_row_that_does_not_hold_together_is_refused_at_import(changed, match):
    refuse(row(**changed), match)


def test_a_quantity_without_a_row_and_a_unit_that_tells_two_are_refused_at_import():
    refuse('    POWER = "power"', "no row")
    refuse(
        '    POWER = "power", QuantityRow(**VOLTS)'.replace("**VOLTS", _volts()), "one unit tells"
    )


def _volts() -> str:
    units = {"wire_unit": '"V"', "plain_unit": '"V"', "ladder": '((0, "V"),)', "count_unit": '"V"'}
    return ", ".join(f"{n}={t}" for n, t in (FIELDS | units | {"current": '"AC"'}).items())


def test_a_quantity_added_at_run_time_goes_all_the_way_from_the_wire_to_the_record():
    """2.50 kW, for 5 s: nothing but its row knows of it."""
    command = [sys.executable, "-m", "tests.quantities.added_quantity", row(), *["2.50 kW"] * 12]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120, check=False)
    assert done.returncode == 0, done.stderr
    found = json.loads(done.stdout)
    recorded = found.pop("recorded")
    assert found == {
        "quantity": "power",
        "state": "settled",
        "shown": "2.50 kW",
        "typed_si": "2.50E+3",
        "set_to": "power",
        "told": True,
    }
    assert (recorded["unit"], recorded["si_unit"], recorded["count"]) == ("kW", "W", 12)
    assert {(r["value"], r["si_value"], r["resolution"]) for r in recorded["readings"]} == {
        (2.5, 2500.0, 0.01)
    }


def test_what_a_unit_tells_and_what_it_leaves_open():
    """Volts of which kind, per cent of what, psi from which zero: none of them is guessed."""
    told = {(u.symbol, c): quantity_told_by(u.kind, c) for u in UNITS.values() for c in ("", "AC")}
    assert told["V", ""] is told["%", ""] is told["psi", ""] is None
    assert told["V", "AC"] is Quantity.VOLTAGE_AC
    assert told["Ω", ""] is Quantity.RESISTANCE
    assert told["psig", ""] is Quantity.GAUGE_PRESSURE
    assert told["%RH", ""] is Quantity.HUMIDITY
    assert told["cfm", ""] is Quantity.AIRFLOW


@pytest.mark.parametrize("quantity", Quantity)
def test_a_unit_contradicts_a_quantity_of_the_other_current_only(quantity):
    assert not of_other_current("V", quantity)
    assert of_other_current("V AC", quantity) is (quantity.row.current != "AC")
    assert of_other_current("vdc", quantity) is (quantity.row.current != "DC")
