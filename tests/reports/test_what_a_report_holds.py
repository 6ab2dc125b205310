"""What a test report must hold: ISO/IEC 17025:2017, 7.8, clause by clause; from memory.

The words are the program's; that each is there, and said to be "not stated" where nobody stated it,
is asked by the clause. People, places and readings are invented.
"""

import json
import re
from collections.abc import Iterator
from dataclasses import fields, replace
from datetime import date
from pathlib import Path

import msgspec
import pytest

from benchmeter.checking.safety import ResidualVoltage
from benchmeter.conformity.verdict import Rule, Verdict
from benchmeter.files.folders import Folders
from benchmeter.files.output_file import OutputFile
from benchmeter.files.resources import resource
from benchmeter.links.instruments.setup import LinkSetup
from benchmeter.record.records import SessionState
from benchmeter.record.store import Store
from benchmeter.reports.not_tested import _TESTED_BY, not_tested
from benchmeter.reports.page_html import page_html
from benchmeter.reports.page_json import page_json
from benchmeter.reports.page_text import page_text
from benchmeter.reports.report_file import write_report
from benchmeter.reports.session_page import page_of
from benchmeter.reports.session_record import Record
from benchmeter.session.visit import Visit
from benchmeter.words.presentation import Presentation
from tests.fakes.kind_checks import S, compressor, contactor, kind_check, kind_named
from tests.fakes.stated_visit import STATED
from tests.fakes.visits import ID, check, mark, record
from tests.parts.kinds_by_hand import MEASURES
from tests.record.frozen import unpack
from tests.reports.test_page import words


def told(made: Record, **options: object) -> str:
    return words(page_html(page_of(made, **options)))  # type: ignore[arg-type]


def visited(*checks: object, **options: object) -> Record:
    return replace(record(*checks or (check(),), **options), visit=STATED)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("clause", "wanted"),
    [
        ("7.8.2.1 a, title", "Test report"),
        ("7.8.2.1 b, name and address of the laboratory", "Company, address Cold & Co., 1 Main Street"),
        ("7.8.2.1 c, where it was done", "Where 12 Market Street, roof, unit 4"),
        ("7.8.2.1 d, identification on it", f"Test report of session {ID}"),
        ("7.8.2.1 d, its end", "End of the report."),
        ("7.8.2.1 e, the customer", "Ann Sample"),
        ("7.8.2.1 f, the method", "Decision rule: guarded, guard band w = U."),
        ("7.8.2.1 g, the item", "Maker B, serial number C-77, date code 2619"),
        ("7.8.2.1 g, the machine", "Unit: maker Maker A Unit: model M-36 Unit: serial number 0815-4711"),
        ("7.8.2.1 i, when it was done", "2026-06-03 12:02 (America/Phoenix)"),
        ("7.8.2.1 j, when it was issued", "issued 2026-06-05"),
        ("7.8.2.1 l, of these items only", "The results are those of the items and readings named"),
        ("7.8.2.1 m, results with their units", "44.10 ±0.63 µF"),
        ("7.8.2.1 n, what was left out", "What was not tested"),
        ("7.8.2.1 o, who released it", "Released by (name, signature, date)"),
        ("7.8.2.1 o, who measured", "Measured by T. Echnician"),
        ("7.8.2.1, in full only", "Reproduce this report in full only."),
        ("7.8.2.2, what the customer told", "Complaint, as the customer tells it blows warm"),
        ("7.8.3.1 a, environmental conditions", "Air temperature at the meter 35.0 °C"),
        ("7.8.3.1 c, uncertainty", "expanded uncertainty with coverage factor k = 2, and Student"),
        ("7.8.6.1, the risk", "Below 2.5 % risk that the value lies outside all the same"),
        ("7.8.6.2 a, to which results it applies", "HERM 45 µF 42.3 to 47.7 µF 44.10 ±0.63 µF"),
        ("7.8.6.2 b, which specification", "Label: 45/5 uF ±6% 440 V. Tolerance: ±6 %, from the"),
        ("7.8.6.2 c, the decision rule", "guard band w = U; ILAC-G8:09/2019"),
        ("7.1.3, that it was agreed", "Agreed beforehand with: Mrs Sample."),
    ],
)  # fmt: skip
def test_what_the_standard_asks_for_is_there(clause: str, wanted: str) -> None:
    assert wanted in told(visited(), issued=date(2026, 6, 5)), clause


def pieces(made: object) -> Iterator[str]:
    """Every text in a JSON document."""
    if isinstance(made, str):
        yield made
    elif isinstance(made, dict):
        for held in made.values():
            yield from pieces(held)
    elif isinstance(made, list):
        for held in made:
            yield from pieces(held)


def test_every_target_holds_all_that_the_page_says() -> None:
    """Word for word: of the text nothing is missing, of the JSON neither."""
    page = page_of(visited(contactor(number=2), events=[mark("hums")]), picture=b"png")
    text, document = page_text(page), json.loads(page_json(page))
    flat, html = " ".join(text.casefold().split()), words(page_html(page)).casefold()
    said = [piece for piece in pieces(document["blocks"]) if not piece.startswith("#")]
    assert len(said) > 100
    kinds = {b.get(name) for b in document["blocks"] for name in ("block", "none")} | {*Verdict}
    for piece in said:
        whole = " ".join(piece.casefold().split())
        assert whole in flat or piece in kinds, piece
        assert whole in html or piece in kinds or "temperature over time" in whole, piece
    assert text.startswith("Test report\n")


def test_each_fact_that_nobody_stated_is_said_to_be_not_stated() -> None:
    nothing, rule = told(record(check())), "Agreed beforehand with: not stated."
    assert rule in nothing
    assert "Maker not stated, serial number not stated, date code not stated" in nothing
    everything = told(visited()).count("not stated")
    for field in fields(Visit):
        if field.name == "parts":
            continue
        without = replace(visited(), visit=replace(STATED, **{field.name: field.default}))
        more = 2 if field.name == "rule_agreed_with" else 1  # with the visit, and with the rule
        assert told(without).count("not stated") == everything + more, field.name


def test_the_ambient_temperature_in_the_persons_degrees() -> None:
    """35 °C = 95 °F (exact)."""
    seen = told(visited(), presentation=Presentation(decimal_sign=",", temperature_unit="°F"))
    assert "Air temperature at the meter 95,0 °F" in seen


def test_what_people_stated_is_text_and_nothing_else() -> None:
    evil = replace(visited(), visit=replace(STATED, customer="<b>Ann</b>"))
    made = page_html(page_of(evil))
    assert "<b>Ann</b>" not in made
    assert "&lt;b&gt;Ann&lt;/b&gt;" in made


# --- what each word risks ------------------------------------------------------------------------

# Guard band w = U, ILAC-G8:09/2019, table 1: pass below 2.5 % of false accepts, fail below 2.5 % of
# false rejects; conditional ones up to 50 % (4.2.3).
RISKS = {
    "44.10 µF": ("Pass:", "Below 2.5 % risk", "false accept"),
    "42.50 µF": ("Conditional pass:", "Up to 50 % risk", "false accept"),
    "42.00 µF": ("Conditional fail:", "Up to 50 % risk", "false reject"),
    "40.00 µF": ("Fail:", "Below 2.5 % risk", "false reject"),
}  # fmt: skip


@pytest.mark.parametrize("herm", RISKS)
def test_the_risk_of_each_word_that_was_given_is_told(herm: str) -> None:
    rule = told(record(check(herm=herm, fan="5.000 µF"))).split("Decision rule Guarded: ")[1]
    for each in RISKS[herm]:
        assert each in rule
    others = {word for risk in RISKS.values() for word in risk[:1]} - {RISKS[herm][0], "Pass:"}
    assert not [word for word in others if re.search(rf"(?<!l )\b{word} (in|out)side", rule)]


def test_without_the_meters_accuracy_the_risk_is_said_not_to_be_known() -> None:
    seen = told(record(check(accuracy="")))
    assert "Pass or fail without U" in seen
    assert "Accuracy of the meter: not stated." in seen
    assert "Below 2.5 %" not in seen


def test_a_simple_rule_says_what_it_risks() -> None:
    """ILAC-G8:09/2019, table 1: simple acceptance, below 50 %."""
    made = replace(check(), rule=Rule.SIMPLE)
    assert "Simple: the reading alone is compared with its limits" in told(record(made))


# --- the part ------------------------------------------------------------------------------------


def test_the_volts_before_a_part_are_told_as_the_engine_knows_them() -> None:
    dc, ac = ResidualVoltage(10 * S, 0.3, False), ResidualVoltage(12 * S, 0.0, True)
    seen = told(record(replace(check(), residual=dc, supply=ac)))
    assert (
        "Volts on it, as last seen: DC: 0.3 V at 12:02:10. AC: 0.0 V, typed in at 12:02:12." in seen
    )
    unknown = ResidualVoltage(10 * S, None, False)
    assert "DC: not known, since power came back" in told(
        record(replace(check(), residual=unknown))
    )
    assert "DC: no reading was kept. AC: no reading was kept." in told(record(check()))


def test_only_the_accuracy_lines_that_were_used_are_told() -> None:
    """The contactor is measured in ohms: the line for volts goes into no verdict."""
    seen = told(record(contactor()))
    assert "Accuracy of the meter: resistance 0.5 % + 2 x 0.1ohm." in seen
    assert "AC voltage 1 %" not in seen
    by_range = "resistance up to 200 ohm 0.2 % + 3 x 0.1 ohm; resistance up to 100 Mohm 1 %"
    seen = told(record(kind_check("heater", "240 V, 1500 W", "38.5", "none", accuracy=by_range)))
    assert "Accuracy of the meter: resistance up to 200 ohm 0.2 % + 3 x 0.1 ohm." in seen


def test_a_reading_without_uncertainty_says_so() -> None:
    assert "44.10 µF, U not stated" in told(record(check(accuracy="")))
    assert "U not stated" not in told(record(check()))


def passed(name: str) -> Record:
    """A judged part of a kind, all of it taken for good."""
    kind = kind_named(name)
    count = len(kind_check(name, kind.example).sections)
    made = kind_check(name, kind.example, *["none"] * count)
    verdict = made.verdict
    assert verdict is not None
    sections = tuple(replace(s, verdict=Verdict.PASS) for s in verdict.sections)
    conclusions = tuple(replace(c, word=Verdict.PASS) for c in verdict.conclusions)
    good = replace(verdict, sections=sections, conclusions=conclusions, verdict=Verdict.PASS)
    return record(replace(made, verdict=good))


@pytest.mark.parametrize("name", sorted(MEASURES))
def test_of_every_kind_sources_cautions_and_what_a_pass_leaves_open_are_told(name: str) -> None:
    kind, seen = kind_named(name), told(passed(name))
    for one in (*kind.measures, *kind.conclusions):
        assert one.pass_leaves in seen, one.name
        assert getattr(one, "limits", True) is None or one.source in seen, one.name
        assert getattr(one, "caution", "") in seen, one.name
    assert kind.caution in seen


def test_a_capacitor_by_its_label_alone_is_told_as_fully() -> None:
    seen = told(record(check(fan="5.000 µF")))
    kind = kind_named("run-capacitor")
    assert kind.caution in seen
    assert kind.measures[0].pass_leaves in seen
    assert "Sources: Limits from what the label says." in seen


# --- instruments ---------------------------------------------------------------------------------


def with_meter(made: Record, **facts: object) -> Record:
    links = tuple(
        LinkSetup(
            name=link.name,
            address=link.address,
            profile=msgspec.structs.replace(link.profile, **facts),
        )
        for link in made.setup.links
    )
    return replace(made, setup=msgspec.structs.replace(made.setup, links=links))


def test_each_instrument_has_its_serial_number_its_calibration_and_its_due_date() -> None:
    facts = {
        "serial": "0815-4711",
        "calibrated": date(2026, 3, 31),
        "calibration_due": date(2027, 3, 31),
    }
    seen = told(with_meter(record(check()), **facts))
    assert "serial number 0815-4711; calibrated 2026-03-31, due 2027-03-31; accuracy used: " in seen
    nothing = told(record(check()))
    assert "serial number not stated; calibrated not stated, due not stated" in nothing


def test_the_uncertainty_of_the_probes_stands_beside_every_temperature() -> None:
    """±0.5 °C, rectangular: U = 2 · 0.5/√3 = 0.577 K; of a difference √2 of it, 0.816 K (JCGM 100,
    4.3.7 and 5.1.2). A difference of 0.577 K is 1.04 °F."""
    made = record(check())
    channels = tuple(
        replace(c, setup=msgspec.structs.replace(c.setup, accuracy="0.5 °C"))
        if c.name in ("discharge", "outdoor") else c
        for c in made.channels
    )  # fmt: skip
    seen = told(replace(made, channels=channels))
    assert "discharge ±0.6 °C, outdoor ±0.6 °C, their difference ±0.8 °C" in seen
    in_f = told(replace(made, channels=channels), presentation=Presentation(temperature_unit="°F"))
    assert "discharge ±1.0 °F, outdoor ±1.0 °F, their difference ±1.5 °F" in in_f
    unknown = told(made)
    assert "Uncertainty of the probes (U, k = 2): discharge not stated" in unknown


# --- what was not tested -------------------------------------------------------------------------


def test_what_of_the_unit_was_not_tested_is_named() -> None:
    """Common practice: what a report on parts is most often mistaken to have covered."""
    never = ("refrigerant charge", "leaks of refrigerant", "airflow", "protective earthing")
    alone = " ".join(not_tested(record(check())))
    for each in (*never, "compressor", "fan motors", "contactors", "supply voltage"):
        assert each in alone
    assert "capacitors" not in alone
    tested = " ".join(not_tested(record(compressor(), contactor(number=2))))
    assert "compressor" not in tested.split("not tested:")[1]
    assert "contactors" not in tested.split("not tested:")[1]
    assert all(each in tested for each in never)


@pytest.mark.parametrize(
    ("kind", "still"),
    [
        ("damper-motor", "fan motors"),
        ("motor-module", "fan motors"),
        ("start-relay-current", "contactors and relays"),
        ("transformer", "control circuit"),
        ("defrost-termination", "switches and cut-outs"),
    ],
)
def test_what_is_named_like_it_is_no_test_of_it(kind: str, still: str) -> None:
    of_unit = " ".join(not_tested(passed(kind))).split("not tested:")[1]
    assert still in of_unit


def test_every_part_of_a_unit_is_tested_by_kinds_that_there_are() -> None:
    files = {path.stem for path in resource("parts").glob("*.toml")}
    assert set().union(*_TESTED_BY.values()) <= files


def test_a_session_that_was_not_closed_says_that_its_recovery_was_computed_anew() -> None:
    made = record(check())
    cut = replace(made.summary, state=SessionState.CUT_OFF)
    seen = told(replace(made, summary=cut, recomputed=True))
    assert "Computed anew from the readings, since the session was not closed." in seen
    assert "Computed anew" not in told(made)


def test_a_session_that_was_cut_off_is_told_as_far_as_it_was_read(tmp_path: Path) -> None:
    """One minute of air that rises by 0.1 °C a second; nothing of it was kept as a finding."""
    folder = Folders(unpack("visits-of-version-2", tmp_path / "data"))
    page = tmp_path / "page.html"
    with Store.open(folder, write=False) as store:
        write_report(store, store.session("power cut").id, OutputFile(page))
    seen = words(page.read_text(encoding="utf-8"))
    assert "Computed anew from the readings" in seen
    assert "Discharge air began to rise" in seen
    assert "The recovery was not watched." not in seen
