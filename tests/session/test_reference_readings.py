"""Part or meter: readings of a reference part over sessions, and the bias of the meter.

The meter of these tests reads half a microfarad too much at 45 µF.
"""

import math
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from pathlib import Path

import msgspec
import pytest

from benchmeter.checking.bias_offer import OfferReason, accept, offer
from benchmeter.checking.commands import AcceptBias, BeginCheck, Command, TypeReading
from benchmeter.checking.part_check import PartCheck
from benchmeter.checking.reference_check import compatibility_of, reference_command
from benchmeter.conformity.reference_part import MeterVerdict, ReferencePart
from benchmeter.conformity.verdict import Verdict
from benchmeter.files.folders import Folders
from benchmeter.links.instruments.formats.text_format import TextFormat
from benchmeter.links.instruments.meter_identity import BY_HAND
from benchmeter.links.instruments.profile import ChannelOfProfile, Profile
from benchmeter.links.instruments.setup import BenchSetup, ChannelSetup, LinkSetup, Role
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.inputs import Chunk, Ended, Input, LinkChange
from benchmeter.record.records import VerdictKind
from benchmeter.record.store import Store
from benchmeter.reports.meter_record import meter_record_of, meter_records
from benchmeter.reports.page_html import page_html
from benchmeter.reports.record_text import record_text
from benchmeter.reports.session_page import page_of
from benchmeter.reports.session_record import read_record
from benchmeter.reports.tag import tags_of
from benchmeter.session.analyzers.part_check_analyzer import PartFinding
from benchmeter.session.engine import MeasuringChain
from benchmeter.session.outcome import Outcome
from benchmeter.tasks.recheck import recheck
from benchmeter.words.presentation import Presentation
from tests.fakes.outcomes import judged_in, notices_in

U = Decimal("1e-6")
R45 = ReferencePart("R45", 45 * U, Decimal("0.05") * U, date(2026, 1, 10), due=date(2026, 6, 1))
ACCURACY = "0.5 % + 2 x 0.01 µF"
LABEL = "45 µF ±6 % 440 V"
START = datetime(2026, 3, 1, 22, 30, tzinfo=UTC)


def setup(address: str = "/dev/ttyUSB0") -> BenchSetup:
    profile = Profile(
        name="meter",
        title="Capacitance meter",
        format=TextFormat(pattern=r"(?P<value>\S+) (?P<value_unit>\S+)"),
        channels=(ChannelOfProfile(quantity=Quantity.CAPACITANCE, unit="µF"),),
    )
    return BenchSetup(
        origin="serial",
        links=(LinkSetup(name="line", address=address, profile=profile),),
        channels=(ChannelSetup(name="capacitor", role=Role.CAPACITOR, link="line"),),
    )


class Session:
    """A session as it is recorded: what is fed goes through the chain and into the store."""

    def __init__(self, store: Store, *, day: int = 0, identity: str = "0403:6001:A1") -> None:
        self.chain = MeasuringChain(setup())
        self.recorder = store.begin(
            setup(), name="bench", started=START + timedelta(days=day), zone="Europe/Berlin"
        )
        self.now = 0
        self.outcomes: list[Outcome] = []
        self.feed(LinkChange(time_ns=0, link="line", up=True, identity=identity))

    def feed(self, item: Input) -> Outcome:
        outcome = self.chain.feed(item)
        self.recorder.take(item, outcome.readings, outcome.events, outcome.verdicts)
        self.outcomes.append(outcome)
        return outcome

    def does(self, command: Command) -> Outcome:
        import msgspec

        return self.feed(msgspec.structs.replace(command, time_ns=self.now))

    def shows(self, text: str, times: int = 18) -> PartCheck | None:
        judged = None
        for _ in range(times):
            self.now += 250_000_000
            outcome = self.feed(Chunk(time_ns=self.now, link="line", data=f"{text}\r\n".encode()))
            judged = judged_in(outcome) or judged
        return judged

    def lifts(self) -> None:
        self.shows("0.00 uF", 15)

    def reads_reference(self, text: str, part: ReferencePart = R45) -> PartCheck | None:
        self.does(reference_command(part, date(2026, 3, 1), accuracy=ACCURACY, channel="capacitor"))
        judged = self.shows(text)
        self.lifts()
        return judged

    def measures(self, text: str) -> PartCheck | None:
        self.does(BeginCheck(time_ns=0, part="new", label=LABEL, accuracy=ACCURACY))
        judged = self.shows(text)
        self.lifts()
        return judged

    def ends(self) -> str:
        self.feed(Ended(time_ns=self.now))
        self.recorder.close(ended=True)
        return self.recorder.session_id


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(Folders(tmp_path), write=True) as opened:
        yield opened


def accepted(store: Store) -> AcceptBias:
    """The command that accepts what eight readings of 45.50 µF say."""
    for day in range(8):
        session = Session(store, day=day)
        session.reads_reference("45.50 uF")
        session.ends()
    (record,) = meter_records(store.reference_readings())
    (history,) = record.histories
    return accept(offer(history), channel="capacitor")


def test_a_reference_part_is_read_by_itself_and_tells_about_the_meter(store: Store) -> None:
    """CALC, ISO/IEC 17043: a = 0.5 % of 45.50 + 0.02 = 0.2475, U = 2a/√3 = 0.28579; with 0.05 of
    the reference 0.29013; 0.50 off gives En = 1.7234."""
    session = Session(store)
    judged = session.reads_reference("45.50 uF")
    assert judged is not None and judged.verdict is not None
    assert judged.verdict.verdict is Verdict.MEASURED
    found = compatibility_of(judged, date(2026, 3, 2))
    assert found is not None
    assert found.verdict is MeterVerdict.DIFFERS
    assert found.en_number == pytest.approx(1.7234, abs=5e-5)


def test_it_is_kept_as_a_verdict_on_the_meter_and_never_as_one_on_a_part(store: Store) -> None:
    session = Session(store)
    session.measures("45.00 uF")
    session.reads_reference("45.50 uF")
    number = session.ends()
    kinds = [(v.kind, v.subject, v.word) for v in store.verdicts(number)]
    assert kinds == [
        (VerdictKind.PART, "new", "pass"),
        (VerdictKind.REFERENCE, "R45", "meter differs"),
    ]
    record = read_record(store, number)
    assert [c.part for c in record.part_checks()] == ["new"]
    assert [c.part for c in record.reference_checks()] == ["R45"]
    words = record_text(store, number)
    assert "Meter: The meter is off. The meter reads 45.50 µF, R45 is 45 µF: +0.50 µF" in words
    assert "R45 was begun" not in words and "R45 (R45)" not in words
    seen = page_html(page_of(record, presentation=Presentation(decimal_sign=",")))
    assert "<h2>The meter</h2>" in seen
    assert "45,50 µF, R45 is 45 µF: +0,50 µF" in seen.replace("\u00a0", " ")


def test_the_readings_of_a_meter_are_found_over_all_sessions(store: Store) -> None:
    for day, identity, text in [(3, "A", "45.30"), (1, "A", "45.10"), (2, "B", "44.90")]:
        session = Session(store, day=day, identity=identity)
        session.reads_reference(f"{text} uF")
        session.ends()
    by_link = {r.meter.link: r.histories for r in meter_records(store.reference_readings())}
    assert set(by_link) == {"A", "B"}
    (history,) = by_link["A"]
    shown = [c.compatibility for c in history.comparisons]
    assert [a.reading_si for a in shown] == [Decimal("45.10") * U, Decimal("45.30") * U]
    # 22:30 UTC is half past eleven of the same day in Berlin's winter.
    assert [a.read_on for a in shown] == [date(2026, 3, 2), date(2026, 3, 4)]


def test_the_date_is_that_of_the_place(store: Store) -> None:
    """22:30 UTC is half past midnight of the next day in Berlin's summer."""
    session = Session(store, day=60)
    session.reads_reference("45.50 uF")
    session.ends()
    (reading,) = store.reference_readings()
    assert reading.read_on == date(2026, 5, 1)


def test_a_meter_without_an_identity_is_known_by_its_address(store: Store) -> None:
    session = Session(store, identity="")
    session.reads_reference("45.50 uF")
    number = session.ends()
    (reading,) = store.reference_readings()
    assert (reading.meter.link, reading.meter.profile) == ("/dev/ttyUSB0", "meter")
    assert store.meter(number, "capacitor") == reading.meter
    assert store.meter(number, "another") == BY_HAND
    own = meter_record_of(store, number, "capacitor")
    assert own is not None and own.meter == reading.meter
    assert meter_record_of(store, number, "another") is None


def test_a_typed_reading_is_nobody_s(store: Store) -> None:
    session = Session(store)
    session.does(reference_command(R45, date(2026, 3, 1), accuracy="", channel="capacitor"))
    session.does(TypeReading(time_ns=0, channel="capacitor", text="45.2"))
    session.ends()
    (reading,) = store.reference_readings()
    assert reading.meter == BY_HAND
    assert reading.check.verdict is not None
    assert reading.check.verdict.sections[0].reading_si == Decimal("45.2") * U


def test_only_the_last_reading_of_a_check_counts_and_no_removed_session(store: Store) -> None:
    session = Session(store)
    session.reads_reference("45.50 uF")
    session.does(TypeReading(time_ns=0, channel="capacitor", text="none"))  # refused: all taken
    from benchmeter.checking.commands import RepeatSection

    session.does(RepeatSection(time_ns=0, section="single"))
    session.shows("45.20 uF")
    number = session.ends()
    (reading,) = store.reference_readings()
    assert reading.check.verdict is not None
    assert reading.check.verdict.sections[0].reading_si == Decimal("45.20") * U
    store.remove(number)
    assert store.reference_readings() == ()


def test_a_bias_is_taken_off_only_after_it_was_accepted(store: Store) -> None:
    """CALC: 42.60 is inside 42.3 to 47.7 by 0.30, more than U = 2(0.213 + 0.02)/√3 = 0.26905:
    pass. Less 0.50 it is 42.10, outside by 0.20, less than U with that of the bias,
    √(0.26905² + 0.05033²) = 0.27372: conditional fail."""
    command = accepted(store)
    assert (command.bias_si, float(command.uncertainty_si) * 1e6) == (
        Decimal("0.5") * U,
        pytest.approx(math.hypot(0.05, 0.01 / math.sqrt(3)), abs=1e-6),
    )
    session = Session(store, day=9)
    before = session.measures("42.60 uF")
    session.does(command)
    after = session.measures("42.60 uF")
    assert before is not None and before.verdict is not None
    assert after is not None and after.verdict is not None
    assert before.verdict.verdict is Verdict.PASS
    (plain,), (corrected,) = before.verdict.sections, after.verdict.sections
    assert plain.bias_si == 0
    assert plain.expanded_uncertainty_si * 1e6 == pytest.approx(0.26905, abs=1e-5)
    assert (corrected.bias_si, corrected.reading_si) == (Decimal("0.5") * U, Decimal("42.1") * U)
    assert corrected.expanded_uncertainty_si * 1e6 == pytest.approx(0.27372, abs=1e-5)
    assert after.verdict.verdict is Verdict.CONDITIONAL_FAIL
    number = session.ends()
    words = record_text(store, number)
    assert words.count("taken off, as a person accepted") == 2  # the event and the part
    assert (
        page_html(page_of(read_record(store, number))).count("taken off, as a person accepted") == 2
    )
    tags = tags_of(read_record(store, number))
    assert [tag.accuracy for tag in tags] == [ACCURACY, f"{ACCURACY}, bias taken off"]


def test_a_bias_says_nothing_far_from_its_reference(store: Store) -> None:
    session = Session(store, day=9)
    session.does(accepted(store))
    session.does(BeginCheck(time_ns=0, part="fan", label="5 µF ±6 % 440 V", accuracy=ACCURACY))
    judged = session.shows("5.00 uF")
    assert judged is not None and judged.verdict is not None
    assert judged.verdict.sections[0].bias_si == 0
    assert judged.verdict.verdict is Verdict.PASS


def test_the_meter_s_own_history_never_hides_an_accepted_bias(store: Store) -> None:
    session = Session(store, day=9)
    session.does(accepted(store))
    session.reads_reference("45.50 uF")
    session.ends()
    (record,) = meter_records(store.reference_readings())
    last = record.histories[0].comparisons[-1].compatibility
    assert last.reading_si == Decimal("45.5") * U
    assert offer(record.histories[0]).reason is OfferReason.CLEAR


def test_a_bias_can_be_taken_back(store: Store) -> None:
    import msgspec

    session = Session(store, day=9)
    command = accepted(store)
    session.does(command)
    session.does(msgspec.structs.replace(command, bias_si=Decimal(0)))
    judged = session.measures("42.60 uF")
    assert judged is not None and judged.verdict is not None
    assert judged.verdict.sections[0].bias_si == 0


def test_a_bias_that_is_none_is_refused_with_a_notice_and_changes_nothing(store: Store) -> None:
    import msgspec

    session = Session(store, day=9)
    command = msgspec.structs.replace(accepted(store), bias_si=Decimal("6e-6"))
    refused = session.does(command)
    assert "tenth" in notices_in(refused)[0]
    judged = session.measures("42.60 uF")
    assert judged is not None and judged.verdict is not None
    assert judged.verdict.sections[0].bias_si == 0


def test_a_typed_reading_comes_from_any_meter_so_no_bias_is_taken_off(store: Store) -> None:
    session = Session(store, day=9)
    session.does(accepted(store))
    session.does(BeginCheck(time_ns=0, part="new", label=LABEL, accuracy=ACCURACY))
    judged = judged_in(session.does(TypeReading(time_ns=0, channel="capacitor", text="42.60")))
    assert judged is not None and judged.verdict is not None
    assert judged.verdict.sections[0].bias_si == 0


def test_a_bias_of_a_meter_that_is_not_connected_is_refused(store: Store) -> None:
    import msgspec

    session = Session(store, day=9)
    other = msgspec.structs.replace(accepted(store), channel="meter")
    assert "No meter is connected as “meter”" in notices_in(session.does(other))[0]


def test_replay_and_recheck_of_a_session_with_both_give_the_same(store: Store) -> None:
    command = accepted(store)
    session = Session(store, day=9)
    session.does(command)
    session.reads_reference("45.50 uF")
    session.measures("42.60 uF")
    number = session.ends()
    chain = MeasuringChain(store.setup(number))
    assert [chain.feed(item) for item in store.inputs(number)] == session.outcomes
    found = recheck(store, number)
    assert found.differences == ()
    assert found.verdicts == 2


def test_a_resistor_is_no_reference_for_a_meter_of_capacitance(store: Store) -> None:
    ohm = ReferencePart("R100", Decimal(100), Decimal("0.1"), None, Quantity.RESISTANCE, "Ω")
    session = Session(store)
    assert session.reads_reference("100.0 uF", ohm) is None


def test_what_is_taken_off_from_now_on_is_told_when_it_changes_and_forgotten_with_the_session(
    store: Store,
) -> None:
    command = accepted(store)
    session = Session(store, day=9)
    assert not any(found.biases for o in session.outcomes if (found := o.of(PartFinding)))
    (bias,) = session.does(command).of(PartFinding).biases
    assert (bias.bias_si, bias.reference) == (command.bias_si, R45)
    session.measures("45.00 uF")
    found = [f for o in session.outcomes[-10:] if (f := o.of(PartFinding))]
    assert found and all(f.biases == (bias,) for f in found)
    taken_back = session.does(msgspec.structs.replace(command, bias_si=Decimal(0)))
    assert taken_back.of(PartFinding).biases == ()
    session.ends()
