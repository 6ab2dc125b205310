"""A batch of a lot has the verdicts that its parts have alone."""

from decimal import Decimal
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from benchmeter.checking.terms import Terms, judge_typed, terms_of
from benchmeter.checking.typed_reading import parse_typed
from benchmeter.conformity.verdict import WORDS, Rule
from benchmeter.errors import InputError
from benchmeter.files.table_file import open_table
from benchmeter.tasks.lot_columns import column_names, find_columns
from benchmeter.tasks.lot_judge import LotJudge

LABEL = "45/5 µF ±6 %"
LINES = [None, "1.2 % + 2 x 0.01 uF", "1 % + 3 counts", "capacitance up to 30 uF 1 % + 2 counts"]
# 45 and 5 µF ±6 % (CALC): the limits themselves, one digit to either side, and 1 %, which is open.
BORDERS = [
    str(Decimal(limit) + step * Decimal(digit))
    for limit in ("42.3", "47.7", "4.7", "5.3", "0.45", "0.05", "0")
    for digit in ("1", "0.1", "0.01", "0.001", "0.00001")
    for step in (-1, 0, 1)
]
ODD = ["", "OL", "open", "short", "44,1", "1,234", "45 uF", "45000nF", "0.2 ohm", "5 V", "-3", "-0.001",
       "+45", "1e1", "1e9", "x", ".5", "45.", "45.0000000000000000001", "999999999999999"]  # fmt: skip
READINGS = st.one_of(
    st.decimals(0, 60, places=2).map(str),
    st.decimals(40, 50, places=5).map(str),
    st.sampled_from(BORDERS),
    st.sampled_from(ODD),
)


def judged(path: Path, terms: Terms, rows: list[tuple[str, str]]):
    path.write_text("HERM\tFAN\tpart\n" + "".join(f"{a}\t{b}\tp\n" for a, b in rows), "utf-8")
    names = column_names(terms.kind)
    file = open_table(path, names.is_known, names.example)
    judge = LotJudge(find_columns(file, names), terms)
    (batch,) = (judge.judge(found, 0) for found in file.batches(()))
    return batch


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.lists(st.tuples(READINGS, READINGS), min_size=1, max_size=30),
    st.sampled_from(list(Rule)),
    st.sampled_from(LINES),
    st.sampled_from([(), ("0.02uF",), ("0.3 uF",)]),
)
def test_each_row_is_judged_as_its_part_is_alone(tmp_path, rows, rule, line, offset):
    terms = terms_of(None, LABEL, accuracy=line, rule=rule, offsets=offset)
    batch = judged(tmp_path / "lot.csv", terms, rows)
    values = {s.measurement.name: dict(zip(s.places, s.values_si, strict=True)) for s in batch.sections}  # fmt: skip
    digits = {s.measurement.name: s.resolutions_si for s in batch.sections}
    for i, cells in enumerate(rows):
        try:
            typed = {
                s.name: [parse_typed(cell, s)] if cell else []
                for s, cell in zip(terms.rating.sections, cells, strict=True)
            }
        except InputError:
            assert i in batch.errors
            continue
        alone = judge_typed(terms, terms.rating, typed)
        assert i not in batch.errors
        assert batch.verdict_on(i) == alone
        assert WORDS[batch.codes[i]] is alone.verdict
        for section in alone.sections:
            name, shown = section.section.name, section.reading_si
            assert np.array_equal(
                values[name][i], np.nan if shown is None else float(shown), equal_nan=True
            )
            assert section.resolution_si is None or section.resolution_si in digits[name]


def test_plain_readings_are_judged_at_once(tmp_path, monkeypatch):
    """However many there are, a few are looked at alone: one of each form, the least, the largest."""
    asked = []
    typed = LotJudge._typed
    monkeypatch.setattr(
        LotJudge, "_typed", lambda self, source, text: asked.append(text) or typed(self, source, text)
    )  # fmt: skip
    rows = [(f"{44 + i / 1000:.3f}", f"{5 + i / 10000:.4f}") for i in range(1000)]
    batch = judged(tmp_path / "lot.csv", terms_of(None, LABEL), rows)
    assert {"44.000", "44.999", "5.0000", "5.0999"} <= set(asked)
    assert len(asked) < 20
    assert not batch.errors


@pytest.mark.parametrize("unit", ["°C", "°F", "K"])
def test_temperatures_have_a_zero_of_their_own(tmp_path, unit):
    """0 °C is 273.15 K, 32 °F is 273.15 K (definition of the scales)."""
    from benchmeter.files.folders import Folders
    from benchmeter.parts.kind_catalogue import load_part_kind

    kind = load_part_kind("sensor-ntc", Folders(tmp_path))
    terms = terms_of(kind, "type 2")
    path = tmp_path / "lot.csv"
    numbers = {"°C": ("0.00", "25.00"), "°F": ("32.0", "77.0"), "K": ("273.15", "298.15")}[unit]
    path.write_text(
        f"resistance (kohm),probe ({unit})\n" + "".join(f"10.00,{n}\n" for n in numbers), "utf-8"
    )
    names = column_names(kind)
    file = open_table(path, names.is_known, names.example)
    (found,) = file.batches(())
    batch = LotJudge(find_columns(file, names), terms).judge(found, 0)
    probe = next(s for s in batch.sections if s.measurement.name == "probe")
    assert probe.values_si.tolist() == [pytest.approx(273.15), pytest.approx(298.15)]
