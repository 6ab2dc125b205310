"""The page for the customer holds every number, in the person's units, and nothing as markup."""

import base64
import html
import re
from dataclasses import replace
from html.parser import HTMLParser

import pytest

from benchmeter.conformity.verdict import Verdict
from benchmeter.cooling.recovery import Phase, RiseJudgement
from benchmeter.record.records import SessionState
from benchmeter.reports.page_html import page_blocks, page_html
from benchmeter.reports.session_page import page_of
from benchmeter.reports.shapes import verdict_svg
from benchmeter.words.presentation import Presentation
from benchmeter.words.verdicts import verdict_in_words
from tests.fakes.capacitor_findings import part
from tests.fakes.visits import ID, RECOVERY, check, mark, record, simulated


def page(made, **options) -> str:
    return page_html(page_of(made, **options))


def words(made: str) -> str:
    """What a reader sees: no tags, one space between words."""
    return " ".join(
        html.unescape(re.sub(r"<style>.*?</style>|<[^>]+>", " ", made, flags=re.S)).split()
    )


def test_every_number_of_a_part_stands_on_the_page():
    """45 µF ±6 %: 42.3 to 47.7; 5 µF ±6 %: 4.7 to 5.3. Accuracy ±(1.2 % + 2 × 0.01 µF): at 44.10
    a = 0.549, u = a/√3 = 0.317, U = 2u = 0.634; at 4.400 a = 0.0728, U = 0.0841 (JCGM 100 4.3.7)."""
    seen = words(page(record(check())))
    for each in (
        "old capacitor", "Fail", "Label: 45/5 uF ±6% 440 V", "1.2% + 2 x 0.01uF", "guarded",
        "45 µF", "42.3 to 47.7 µF", "44.10 ±0.63 µF", "> 99.9 %",
        "5 µF", "4.7 to 5.3 µF", "4.400 ±0.084 µF", "< 0.1 %", "12:02:30", "12:02:50",
    ):  # fmt: skip
        assert each in seen, each
    assert "Bad. FAN: 4.400 ±0.084 µF is below the limit of 4.7 µF." in seen


@pytest.mark.parametrize(
    ("unit", "sign", "expected"),
    [
        # 307.55 K = 34.4 °C = 93.92 °F; 294.95 K = 21.8 °C = 71.24 °F; 12.6 K = 22.68 °F
        ("°C", ",", ("34,4 °C (34,3 °C to 34,5 °C)", "21,8 °C", "12,6 °C (12,4 °C to 12,8 °C)",
                     "8 to 17 °C, that is 15 to 30 °F (common practice)", "44,10 ±0,63 µF")),
        ("°F", ".", ("93.9 °F (93.7 °F to 94.1 °F)", "71.2 °F", "22.7 °F (22.3 °F to 23.0 °F)",
                     "15 to 30 °F (common practice)", "44.10 ±0.63 µF")),
    ],
)  # fmt: skip
def test_the_recovery_stands_in_the_persons_units_and_decimal_sign(unit, sign, expected):
    seen = words(
        page(record(check()), presentation=Presentation(decimal_sign=sign, temperature_unit=unit))
    )
    for each in (*expected, "12:09:34, 4 min after power", "Judgement of the rise usual"):
        assert each in seen, each
    assert "29 CFR 1910.147" in seen  # a clause is no number


EVIL = "<script>alert('1.5')</script><img src=x onerror=1>&amp;"


def test_what_people_typed_is_text_and_nothing_else():
    made = page(
        record(check(part=EVIL, accuracy=""), events=[mark(EVIL)], name=EVIL, remark=EVIL),
        presentation=Presentation(decimal_sign=","),
        unjudged=[EVIL],
    )
    assert "<script" not in made
    assert "<img src=x" not in made
    assert words(made).count(EVIL) == 6  # title, heading, remark, part, marker, unjudged part
    assert "alert(&#39;1.5&#39;)" in made


class Balance(HTMLParser):
    def __init__(self):
        super().__init__()
        self.open = []

    def handle_starttag(self, tag, attrs):
        if tag not in ("img", "meta", "br"):
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag


def test_each_block_is_whole_html_and_the_page_has_all_of_them():
    made = record(check(), check(2, "new"), events=[mark(f"m{i}") for i in range(40)])
    pieces = [block.html for block in page_blocks(page_of(made, picture=b"png"))]
    for block in (*pieces, page(made, picture=b"png")):
        parser = Balance()
        parser.feed(block)
        assert parser.open == []
    seen = words(page(made, picture=b"png")).replace("Roof unit 4 Roof", "Roof", 1)
    assert words(" ".join(pieces)) in seen


@pytest.mark.parametrize("word", list(Verdict))
def test_each_verdict_has_its_word_its_shape_and_its_sentence(word):
    made = page(record(replace(check(), verdict=part(word))))
    assert word.value.capitalize() in words(made)
    assert verdict_in_words(word) in words(made)
    found = {base64.b64decode(c).decode() for c in re.findall(r'svg\+xml;base64,([^"]+)', made)}
    strokes = {re.sub(r'#\w{6}"', '"', svg) for svg in found}
    shapes = {w: re.sub(r'#\w{6}"', '"', verdict_svg(w, "#000000", "#ffffff")) for w in Verdict}
    assert shapes[word] in strokes
    assert len(set(shapes.values())) == len(Verdict)


def test_what_was_not_tested_is_said():
    def open_ones(made):
        return words(page(made)).split("What was not tested")[1].split("What happened")[0]

    everything = open_ones(record(check()))
    assert "Residual" not in everything
    assert "Nothing else of the unit was tested" in everything
    assert "Residual voltage was not measured." in open_ones(record(check(), residual=False))
    assert "Outdoor temperature was not recorded." in open_ones(record(check(), outdoor=False))
    assert "the recovery was not watched" in open_ones(record(recovery=None, discharge=False))
    lost = check(fan="OL")
    assert "old capacitor, FAN: no reading." in open_ones(record(lost))


def test_without_parts_and_recovery_the_page_says_so():
    seen = words(page(record(recovery=None)))
    assert "No part was judged." in seen
    assert "The recovery was not watched." in seen


def test_a_forecast_is_never_called_settled():
    rising = replace(RECOVERY, phase=Phase.RISING, judgement=RiseJudgement.NOT_YET)
    seen = words(page(record(recovery=rising)))
    assert "Settled discharge air" not in seen
    assert "(forecast)" in seen
    assert "none: it had not settled" in seen


def test_a_simulated_session_and_a_broken_one_say_so():
    assert "Simulated: no real part" in words(page(simulated(record(check()))))
    assert "Simulated" not in words(page(record(check())))
    made = record(check())
    cut = replace(made, summary=replace(made.summary, state=SessionState.CUT_OFF))
    assert "cut off, not closed" in words(page(cut))


def test_repeated_and_typed_takings_are_told():
    """A typed reading is by hand; of several takings the last one counts."""
    twice = check()
    again = replace(
        twice,
        sections=tuple(replace(s, taken=(s.taken[0], *s.taken)) for s in twice.sections),
    )
    seen = words(page(record(again)))
    assert "HERM was taken 2 times; the last one counts. Earlier: 44.10 ±0.63 µF." in seen
    assert "by hand" in seen


def test_the_session_and_the_program_stand_in_the_footer():
    assert f"Test report of session {ID}, recorded by benchmeter 0.1.0" in words(page(record()))
