"""What is recorded comes back the same, in the same order."""

import math
import threading
import time
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from benchmeter.checking.check import MeasurementCheck, PartCheck, Step, TakenReading
from benchmeter.checking.commands import Annotate, BeginCheck, Mark, TakeReading, TypeReading
from benchmeter.conformity.verdict import (
    Accuracy,
    Measurement,
    MeasurementVerdict,
    Reason,
    Rule,
    Verdict,
)
from benchmeter.cooling.recovery import (
    Estimate,
    FitFailure,
    Phase,
    Recovery,
    RiseJudgement,
    StepFit,
)
from benchmeter.errors import NoSuchRecord
from benchmeter.files.folders import Folders
from benchmeter.links.instruments.setup import BenchSetup
from benchmeter.parts.by_label import kind_by_label
from benchmeter.parts.conclusion import (
    PartVerdict,
)
from benchmeter.parts.rated_part import (
    CapacitorKind,
    Rating,
)
from benchmeter.readings.events import Event, EventKind
from benchmeter.readings.inputs import Chunk, ClockAnchor, Input, LinkChange
from benchmeter.readings.status import Status
from benchmeter.record import recorder as recorder_module
from benchmeter.record.recorder import Recorder
from benchmeter.record.records import LastVerdict, SessionState, VerdictKind
from benchmeter.record.store import Store
from tests.fakes.refusals import advised, refused
from tests.record.recordings import SECOND, STARTED, chunk, reading


def part_check(
    word: Verdict | None = Verdict.FAIL, number: int = 1, part: str = "old part"
) -> PartCheck:
    section = Measurement("HERM", Decimal("45e-6"), Decimal("42.30e-6"), Decimal("0.00004770"))
    found = MeasurementVerdict(
        section=section,
        readings_si=(Decimal("41.20e-6"), Decimal("41.1e-6")),
        lead_offset_si=Decimal("0E-8"),
        reading_si=Decimal("41.15e-6"),
        resolution_si=None,
        half_width_si=0.1 + 0.2,
        standard_uncertainty_si=5e-324,
        expanded_uncertainty_si=math.pi * 1e-7,
        guard_band_si=None,
        conformance_probability=1e-300,
        verdict=Verdict.FAIL,
        reason=Reason.BELOW,
    )
    rating = Rating(
        "45/5 µF ±6% 440 V",
        CapacitorKind.RUN.value,
        (section,),
        "±6 %",
        "label",
        (370, 440),
        (50, 60),
    )
    accuracy = Accuracy(Decimal("1.20"), Decimal(2), None, "1.2 % + 2")
    verdict = word and PartVerdict(rating, Rule.GUARDED, accuracy, (found,), word)
    return PartCheck(
        number=number,
        part=part,
        channel="capacitor",
        rating=rating,
        accuracy=accuracy,
        rule=Rule.GUARDED,
        lead_offset_si=Decimal("-0.00"),
        sections=(MeasurementCheck(section, (TakenReading(7 * SECOND, True, found),)),),
        expected=None,
        step=Step.DONE,
        kind=kind_by_label(CapacitorKind.RUN),
        verdict=verdict or None,
    )


def recovery(number: int) -> Recovery:
    return Recovery(
        time_ns=number * SECOND,
        phase=Phase.RISING,
        power_ns=None,
        start_ns=3,
        fit=StepFit(
            Estimate(1.0, 2.0, 3.0),
            Estimate(4.0, 5.0, math.inf),
            Estimate(7.0, -math.inf, 9.0),
            0.1,
            9,
        ),
        fit_failure=FitFailure.TOO_SHORT,
        settled_k=None,
        time_left_s=Estimate(1.5, 0.1, math.inf),
        discharge_k=0.1,
        outdoor_k=None,
        rise_k=None,
        judgement=RiseJudgement.NOT_YET,
    )


STREAM: tuple[Input, ...] = (
    LinkChange(time_ns=0, link="probe", up=True, identity="serial 4711"),
    ClockAnchor(time_ns=1, utc_us=1_774_745_999_123_457),
    Chunk(time_ns=2, link="probe", data=bytes(range(256))),
    Chunk(time_ns=2, link="probe", data=b""),
    Chunk(time_ns=3, link="probe", data=b"*IDN?\n", sent=True),
    BeginCheck(time_ns=4, part="old part", label="45/5 µF ±6% 440 V"),
    TakeReading(time_ns=5),
    TypeReading(time_ns=6, channel="capacitor", text="44,1 uF"),
    Mark(time_ns=7, text="line 1\nline 2\r\u2028 \x00 \U0001f527"),
    Annotate(time_ns=8, text=""),
)


def test_the_stream_comes_back_in_order_whatever_the_commits(
    store: Store, recorder: Recorder
) -> None:
    for number, taken in enumerate(STREAM):
        recorder.take(taken)
        if number % 3 == 0:
            recorder.flush()
    assert tuple(store.inputs(recorder.session_id)) == STREAM
    recorder.close()
    assert tuple(store.inputs(recorder.session_id)) == STREAM
    assert store.check(recorder.session_id) == ()


def test_a_long_stream_is_read_whole_while_its_packs_are_merged(
    store: Store, recorder: Recorder
) -> None:
    reader = None
    for number in range(600):
        recorder.take(chunk(number))
        recorder.flush()
        if number == 100:
            reader = store.inputs(recorder.session_id)
            first = [next(reader) for _ in range(50)]
    assert reader is not None
    recorder.close()
    assert first + list(reader) == [chunk(number) for number in range(600)]
    assert store.check(recorder.session_id) == ()


def test_samples_come_back_from_tail_and_blocks(store: Store, recorder: Recorder) -> None:
    values = [None if n % 7 == 3 else float(f"{300 + n / 100:.2f}") for n in range(20_000)]
    for number, value in enumerate(values):
        recorder.take(chunk(number), (reading(number, value=value),))
    recorder.flush()
    deadline = time.monotonic() + 10
    while len(store.overview(recorder.session_id, "discharge").count) < 3:  # two blocks, one tail
        assert time.monotonic() < deadline
        time.sleep(0.02)
    expected = np.array(values, np.float64)

    for _ in ("open", "sealed"):
        found = store.samples(recorder.session_id, "discharge")
        assert found.value.tobytes() == expected.tobytes()
        assert found.time_ns.tolist() == [number * SECOND for number in range(20_000)]
        assert found.statuses()[:4] == [Status.OK] * 3 + [Status.NO_CONTACT]
        assert set(found.resolution) == {0.1}
        recorder.close()
    assert store.check(recorder.session_id) == ()


def test_a_window_holds_its_start_and_not_its_end(store: Store, recorder: Recorder) -> None:
    for number in range(9_000):
        recorder.take(chunk(number), (reading(number),))
    recorder.close()
    found = store.samples(recorder.session_id, "discharge", 8_190 * SECOND, 8_195 * SECOND)
    assert found.time_ns.tolist() == [n * SECOND for n in range(8_190, 8_195)]
    assert len(store.samples(recorder.session_id, "discharge", end_ns=0)) == 0
    assert len(store.samples(recorder.session_id, "discharge", start_ns=8_999 * SECOND)) == 1
    assert len(store.samples(recorder.session_id, "no such channel")) == 0


def test_two_readings_of_a_channel_may_share_a_time(store: Store, recorder: Recorder) -> None:
    """Two frames that arrive in one chunk have one time stamp."""
    recorder.take(chunk(1), (reading(1, value=300.1), reading(1, value=300.2)))
    recorder.flush()
    assert store.samples(recorder.session_id, "discharge").value.tolist() == [300.1, 300.2]
    recorder.close()
    assert store.samples(recorder.session_id, "discharge").value.tolist() == [300.1, 300.2]


def test_an_overview_is_the_extremes_of_the_samples(store: Store, recorder: Recorder) -> None:
    values = [None if n % 5 == 0 else 300 + math.sin(n) for n in range(8_192 + 100)]
    for number, value in enumerate(values):
        recorder.take(chunk(number), (reading(number, value=value),))
    recorder.close()
    found = store.overview(recorder.session_id, "discharge")
    shown = [v for v in values[:8_192] if v is not None]
    assert found.count.tolist() == [8_192, 100]
    assert (found.minimum[0], found.maximum[0]) == (min(shown), max(shown))
    assert (found.first_ns[1], found.last_ns[1]) == (8_192 * SECOND, 8_291 * SECOND)


def test_an_overview_of_readings_without_a_value_has_no_extremes(
    store: Store, recorder: Recorder
) -> None:
    recorder.take(chunk(1), (reading(1, value=None),))
    recorder.flush()
    assert np.isnan(store.overview(recorder.session_id, "discharge").maximum).all()
    recorder.close()
    assert np.isnan(store.overview(recorder.session_id, "discharge").minimum).all()
    assert store.check(recorder.session_id) == ()


def test_verdicts_come_back_exactly(store: Store, recorder: Recorder) -> None:
    """Decimals with their zeros, floats to the last bit, infinite intervals, enumerations."""
    recorder.take(TakeReading(time_ns=7), (), (), (part_check(), recovery(8)))
    recorder.flush()
    part, recovered = store.verdicts(recorder.session_id)
    assert part.finding == part_check()
    assert repr(part.finding) == repr(part_check())
    assert recovered.finding == recovery(8)
    assert repr(recovered.finding) == repr(recovery(8))
    assert (part.kind, part.time_ns, part.word) == (VerdictKind.PART, 7, "fail")
    assert (recovered.kind, recovered.time_ns) == (VerdictKind.RECOVERY, 8 * SECOND)


def test_a_verdict_is_on_disk_at_once(
    store: Store, recorder: Recorder, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(recorder_module, "_COMMIT_EVERY_S", 3600.0)
    recorder.take(chunk(6))
    recorder.take(TakeReading(time_ns=7), (), (), (part_check(),))
    deadline = time.monotonic() + 5
    while not store.verdicts(recorder.session_id):
        assert time.monotonic() < deadline
        time.sleep(0.005)
    assert len(list(store.inputs(recorder.session_id))) == 2


def test_a_reading_is_on_disk_within_a_second(store: Store, recorder: Recorder) -> None:
    recorder.take(chunk(1), (reading(1),))
    deadline = time.monotonic() + 1
    while not len(store.samples(recorder.session_id, "discharge")):
        assert time.monotonic() < deadline
        time.sleep(0.01)


def test_events_come_back(store: Store, recorder: Recorder) -> None:
    noted = (
        Event(EventKind.GAP, 5, "discharge", until_ns=9),
        Event(EventKind.CLOCK_STEP, 5, number=-math.inf),
        Event(EventKind.MARK, 4, text="„fan“\x00"),
    )
    recorder.take(chunk(1), (), noted)
    recorder.close()
    assert store.events(recorder.session_id) == noted


def test_the_setup_comes_back_whole(store: Store, recorder: Recorder, setup: BenchSetup) -> None:
    assert store.setup(recorder.session_id) == setup


def test_the_list_tells_what_a_session_holds(
    store: Store, recorder: Recorder, setup: BenchSetup
) -> None:
    zone = ZoneInfo("Asia/Kathmandu")
    later = store.begin(
        setup, name="second", started=(STARTED + timedelta(hours=1)).astimezone(zone), zone=zone.key
    )
    recorder.take(chunk(1), (reading(1),), (Event(EventKind.SETTLED, 1),), (part_check(None),))
    recorder.take(chunk(2), (), (), (part_check(Verdict.FAIL),))
    recorder.take(chunk(3), (), (), (part_check(Verdict.PASS, 2, "replacement 1"), recovery(3)))
    recorder.close()

    second, first = store.sessions()

    assert (second.id, second.state, second.zone) == (
        later.session_id, SessionState.OPEN, "Asia/Kathmandu",
    )  # fmt: skip
    assert second.started == STARTED + timedelta(hours=1)
    assert (first.id, first.name, first.origin) == (
        recorder.session_id, "Compressor, back yard", "serial",
    )  # fmt: skip
    assert (first.started, first.started.tzinfo) == (STARTED, UTC)
    assert (first.state, first.duration_ns) == (SessionState.ENDED, 3 * SECOND)
    assert (first.input_count, first.reading_count, first.event_count, first.verdict_count) == (
        3, 1, 1, 4,
    )  # fmt: skip
    assert first.findings == (
        LastVerdict(VerdictKind.PART, "old part", "fail"),
        LastVerdict(VerdictKind.PART, "replacement 1", "pass"),
        LastVerdict(VerdictKind.RECOVERY, "", "rising, not yet"),
    )


def test_a_start_without_a_zone_is_refused(store: Store, setup: BenchSetup) -> None:
    with pytest.raises(ValueError, match="time zone"):
        store.begin(setup, name="", started=datetime(2026, 1, 1), zone="UTC")
    assert store.sessions() == ()


def test_a_session_is_found_by_a_piece_of_its_number_or_by_its_name(
    store: Store, recorder: Recorder, setup: BenchSetup
) -> None:
    other = store.begin(setup, name="other", started=STARTED, zone="UTC")
    one, two = recorder.session_id, other.session_id
    same = next(n for n in range(36) if one[n] != two[n])

    assert store.session(one).id == one
    assert store.session(one.upper()).id == one
    assert store.session(two[: same + 1]).id == two
    assert store.session(two[-12:]).id == two
    assert store.session("other").id == two
    with refused(NoSuchRecord, match="2 sessions fit") as several:
        store.session(one[:same])
    assert "Give more" in advised(several.value)
    for wrong in ("nothing like it", "", " ", "-"):
        with refused(NoSuchRecord, match="No session"):
            store.session(wrong)
    with pytest.raises(NoSuchRecord):
        store.setup("01890000-0000-7000-8000-000000000000")


def test_a_name_that_is_also_a_piece_of_another_number_is_not_guessed(
    store: Store, recorder: Recorder, setup: BenchSetup
) -> None:
    one = recorder.session_id
    two = store.begin(setup, name=one[-4:], started=STARTED, zone="UTC").session_id
    with refused(NoSuchRecord, match="2 sessions fit"):
        store.session(one[-4:])
    assert store.session(one[-8:]).id == one
    assert store.session(two).name == one[-4:]


def test_edits_keep_what_was_before(store: Store, recorder: Recorder) -> None:
    session = recorder.session_id
    store.rename(session, "Freezer")
    store.remark(session, "fan bearing dry")
    store.remark(session, "fan bearing dry, greased")
    found = store.session(session)
    assert (found.name, found.remark) == ("Freezer", "fan bearing dry, greased")
    assert [(r.field, r.text) for r in store.revisions(session)] == [
        ("name", "Compressor, back yard"),
        ("name", "Freezer"),
        ("remark", ""),
        ("remark", "fan bearing dry"),
        ("remark", "fan bearing dry, greased"),
    ]
    recorder.close()
    store.rename(session, "after sealing")
    assert store.check(session) == ()


def test_a_removed_session_is_hidden_and_can_be_restored(store: Store, recorder: Recorder) -> None:
    recorder.take(chunk(1))
    recorder.close()
    store.remove(recorder.session_id)
    assert store.sessions() == ()
    assert [s.removed for s in store.sessions(removed=True)] == [True]
    assert list(store.inputs(recorder.session_id)) == [chunk(1)]
    store.restore(recorder.session_id)
    assert len(store.sessions()) == 1


def test_many_threads_may_take_and_read(store: Store, recorder: Recorder) -> None:
    def take(channel: str) -> None:
        for number in range(500):
            recorder.take(chunk(number, channel.encode()), (reading(number, channel),))

    threads = [threading.Thread(target=take, args=(name,)) for name in "abcd"]
    for thread in threads:
        thread.start()
    while any(thread.is_alive() for thread in threads):
        store.sessions()
        store.samples(recorder.session_id, "a")
    recorder.close()
    taken = list(store.inputs(recorder.session_id))
    for name in "abcd":
        own = [t.time_ns for t in taken if isinstance(t, Chunk) and t.data == name.encode()]
        assert own == [number * SECOND for number in range(500)]
        assert store.samples(recorder.session_id, name).time_ns.tolist() == own
    assert store.check(recorder.session_id) == ()


def test_two_sessions_can_be_recorded_at_the_same_time(
    store: Store, recorder: Recorder, setup: BenchSetup
) -> None:
    other = store.begin(setup, name="other", started=STARTED, zone="UTC")
    for number in range(100):
        recorder.take(chunk(number), (reading(number),))
        other.take(chunk(number, b"other"), (reading(number),))
    recorder.close()
    other.close()
    for session in (recorder.session_id, other.session_id):
        assert store.check(session) == ()
        assert len(store.samples(session, "discharge")) == 100


def test_a_session_without_any_input_is_kept(store: Store, recorder: Recorder) -> None:
    recorder.close()
    assert store.session(recorder.session_id).state is SessionState.ENDED
    assert store.check(recorder.session_id) == ()
    assert list(store.inputs(recorder.session_id)) == []


def test_nothing_can_be_taken_after_the_end(recorder: Recorder) -> None:
    recorder.close()
    recorder.close()
    with pytest.raises(RuntimeError):
        recorder.take(chunk(1))


def test_a_session_left_open_is_offered_and_finished(folders: Folders, setup: BenchSetup) -> None:
    with Store.open(folders, write=True) as store:
        recorder = store.begin(setup, name="left", started=STARTED, zone="UTC")
        recorder.take(chunk(1), (reading(1),))
        assert store.cut_off() == ()
    with Store.open(folders, write=True) as store:
        (left,) = store.cut_off()
        assert (left.id, left.state, left.reading_count) == (
            recorder.session_id, SessionState.CUT_OFF, 1,
        )  # fmt: skip
        store.finish(left.id)
        store.finish(left.id)
        assert store.cut_off() == ()
        assert store.session(left.id).state is SessionState.CUT_OFF
        assert store.check(left.id) == ()
        assert len(store.samples(left.id, "discharge")) == 1


def test_a_live_session_cannot_be_finished_from_outside(store: Store, recorder: Recorder) -> None:
    with pytest.raises(RuntimeError):
        store.finish(recorder.session_id)
