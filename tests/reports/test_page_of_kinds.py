"""The page and the tag of parts that are no capacitors. Readings invented, limits by arithmetic."""

import html
import re
from pathlib import Path

import pytest

from benchmeter.conformity.verdict import Verdict
from benchmeter.reports.not_tested import not_tested
from benchmeter.reports.page_html import page_html
from benchmeter.reports.session_page import page_of
from benchmeter.reports.tag import tags_of
from benchmeter.words.presentation import Presentation
from tests.fakes.kind_checks import compressor, contactor, heater, kind_check
from tests.fakes.tagged import record_of
from tests.fakes.visits import record


def words(*checks, sign: str = ".") -> str:
    made = page_html(page_of(record(*checks), presentation=Presentation(decimal_sign=sign)))
    plain = re.sub(r"<style>.*?</style>|<[^>]+>", " ", made, flags=re.S)
    return " ".join(html.unescape(plain).split())


def test_each_measurement_stands_with_its_limits_in_its_unit():
    """Lead offset 0.2 Ω: 12.0 reads 11.8 and 1.9 reads 1.7; at 12.0 Ω a = 0.26, and with the last
    digit of the offset U = 2·√(0.26²/3 + 0.1²/12) = 0.31."""
    seen = words(contactor())
    for each in (
        "old contactor", "Contactor, two poles", "Fail",
        "coil 9 to 14 Ω 11.80 ±0.31 Ω > 99.9 %",
        "L1-T1 at rest at least 1 MΩ OL",
        "L2-T2 closed no more than 1 Ω 1.70 ±0.25 Ω –",  # no probability on common practice
        "Bad. L2-T2 closed: 1.70 ±0.25 Ω is above the limit of 1 Ω. The contact is burnt",
        "Label: coil 9-14 ohm.",
        "The joined leads read 0.2 Ω, which was taken off.",
        "common practice, no source",
    ):  # fmt: skip
        assert each in seen, each
    assert "The open leads" not in seen


def test_a_default_that_was_taken_is_told_with_its_source():
    """240²/1500 = 38.4 Ω, ±10 % where the label gives none: common practice, no source."""
    assert "Tolerance of the resistance: ±10 %, taken as usual (common practice" in words(heater())
    own = kind_check("heater", "240 V, 1500 W, ±5 %", "38.5", "OL")
    assert "taken as usual" not in words(own)
    assert "Tolerance: ±5 %, from the label." in words(own)
    assert "36.48 to 40.32 Ω" in words(own)


def test_what_several_say_together_stands_beneath():
    seen = words(compressor())
    assert "C-S – 2.600 ±0.038 Ω – 12:02:30, by hand Measured" in seen
    assert re.search(r"together limits value ±U verdict three pairs – .* Pass", seen)
    assert "Good. The sum differs by 0 Ω" in seen
    assert "Never test a compressor under vacuum" in seen
    assert "1 Mohm, taken as usual (At least 1 MΩ in refrigerant" in seen


def test_numbers_take_the_decimal_sign_of_the_person():
    assert "34,56 to 42,24 Ω 38,5 Ω" in words(heater(), sign=",")


def test_what_has_no_reading_is_told_as_not_tested():
    made = kind_check("heater", "240 V, 1500 W", "38.5", "none")
    said = " ".join(not_tested(record(made)))
    assert "old heater, to case: no reading. It was not measured." in said


def test_what_people_typed_is_text():
    seen = page_html(page_of(record(contactor(part="<b>old</b>"))))
    assert "<b>old</b>" not in seen
    assert "&lt;b&gt;old&lt;/b&gt;" in seen


def test_a_tag_has_a_row_for_each_measurement_and_conclusion():
    (tag,) = tags_of(record_of([compressor()]))
    assert tag.label == "Compressor, single-phase, off the circuit: tester 500 V"
    assert [row.name for row in tag.rows] == ["C-S", "C-R", "S-R", "to case", "three pairs"]
    assert [row.limits for row in tag.rows] == ["", "", "", "at least 1 MΩ", ""]
    assert tag.rows[0].verdict is Verdict.MEASURED
    (tag,) = tags_of(record_of([contactor()]))
    assert tag.label == "Contactor, two poles: coil 9-14 ohm"
    assert (tag.rows[1].reading, tag.rows[1].limits) == ("OL", "at least 1 MΩ")
    assert tag.rows[4].verdict is Verdict.FAIL
    assert "The contact is burnt" in tag.sentence


@pytest.mark.gui
@pytest.mark.parametrize("stock", ["50x25", "62x29", "100x50"])
def test_the_bad_one_stands_on_the_smallest_label(qapp, tmp_path, stock):
    """Seven rows do not fit on a small label: the worst do, and the number of the others."""
    import shutil
    import subprocess

    from benchmeter.files.folders import Folders
    from benchmeter.reports.label_stock import load_stock
    from benchmeter.reports.tag_pdf import tags_pdf

    if not shutil.which("pdftotext"):
        pytest.skip("poppler's programs are not installed")
    three = kind_check(
        "contactor-three-pole", "coil 9-14 ohm", "12.0", "OL", "0.3 ohm", "OL", "1.9 ohm", "OL",
        "0.2 ohm",
    )  # fmt: skip
    path = tmp_path / "tag.pdf"
    path.write_bytes(
        tags_pdf(
            tags_of(record_of([three])), load_stock(stock, Folders(Path(tmp_path)), sheet=False)
        )
    )
    done = subprocess.run(
        ["pdftotext", "-layout", str(path), "-"], capture_output=True, check=True, text=True
    )
    said = " ".join(done.stdout.split())
    assert "1.9 Ω" in said
    assert "Fail" in said
    shown = sum(said.count(each) for each in ("12.0 Ω", "0.3 Ω", "OL", "1.9 Ω", "0.2 Ω"))
    more = re.search(r"and (\d) more, in the record", said)
    assert shown + (int(more[1]) if more else 0) == 7
