"""The screens on the real rooms below: simulated bench, record, replay, report."""

import threading
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from benchmeter.cooling.recovery import Phase
from benchmeter.files.folders import Folders
from benchmeter.files.preferences import load_preferences
from benchmeter.links.instruments.address import SerialAddress, parse_address
from benchmeter.links.instruments.setup import BenchSetup
from benchmeter.record.engines import writing_engine
from benchmeter.record.records import SessionState
from benchmeter.record.session_rows import all_sessions, stamp
from benchmeter.record.store import Store
from benchmeter.record.structs.session import StoredSession
from benchmeter.record.tables import SCHEMA_VERSION
from benchmeter.scenes.bench_action_scene import Act
from benchmeter.scenes.connections import ConnectionsAct
from benchmeter.scenes.record_scene import RecordAct
from benchmeter.tasks.opening import open_simulated
from benchmeter.tasks.running import Publish, RunningSession
from benchmeter.window.control.services import Services
from benchmeter.window.control.session_controller import SessionController
from benchmeter.window.pages.connections_page import ConnectionsPage
from benchmeter.window.pages.record_page import RecordPage
from benchmeter.window.pages.settings_page import SettingsPage
from benchmeter.window.pages.unit_page import UnitPage
from benchmeter.window.shell.window import Window

pytestmark = [pytest.mark.gui, pytest.mark.qt_log_ignore("propagateSizeHints")]

Key = Qt.Key


class FastEntrances(Services):
    """The simulated bench as fast as it can be taken."""

    scenario = "short-visit"

    def open_simulated(self, store: Store, scenario: str, publish: Publish) -> RunningSession:
        return open_simulated(self.folders, store, self.scenario, publish, pace=None)


@pytest.fixture
def window(qtbot: QtBot, folders: Folders) -> Iterator[Window]:
    made = Window(SessionController(FastEntrances(folders)))
    qtbot.addWidget(made)
    made.complete()
    made.controller.prefer(sound=False)
    with qtbot.waitExposed(made):
        made.show()
    made.activateWindow()
    _rest(qtbot, made)
    yield made
    made.close()


def _rest(qtbot: QtBot, window: Window) -> None:
    qtbot.waitUntil(window.controller.background.idle, timeout=30_000)
    QApplication.processEvents()


def _play(qtbot: QtBot, window: Window) -> None:
    """Let the story of the simulated bench come to its end."""
    window.start_simulated()
    _rest(qtbot, window)
    qtbot.waitUntil(lambda: window.controller.session is None, timeout=60_000)
    _rest(qtbot, window)


def _record(window: Window) -> RecordPage:
    place = window.place(2)
    assert isinstance(place, RecordPage)
    return place


def test_a_simulated_visit_is_judged_shown_and_recorded(qtbot: QtBot, window: Window) -> None:
    """The scenario's part is good and its unit starts again (its own description)."""
    _play(qtbot, window)
    view = window.controller.view
    assert view is not None
    assert [c.verdict.verdict for c in view.checks.values() if c.verdict] == ["pass"]
    assert view.recovery is not None and view.recovery.phase in (Phase.RISING, Phase.SETTLED)
    unit = window.place(1)
    assert isinstance(unit, UnitPage) and unit.plot is not None
    window.show_unit()
    assert unit.figures["discharge"].text().count("°F") == 1
    window.controller.prefer(temperature_unit="°C")
    assert unit.figures["discharge"].text().count("°C") == 1
    window.show_record()
    _rest(qtbot, window)
    place = _record(window)
    assert place.list.count() == 1 and "pass" in place.list.item(0).text().lower()


def test_a_replay_comes_to_the_same_and_can_be_wound_back(qtbot: QtBot, window: Window) -> None:
    _play(qtbot, window)
    first = window.controller.view
    assert first is not None
    window.show_record()
    _rest(qtbot, window)
    _record(window).buttons[RecordAct.REPLAY].click()
    _rest(qtbot, window)
    session = window.controller.session
    assert session is not None and session.replay is not None
    assert window.stage.shown() is window.bench and window.replay.isVisible()
    window.controller.seek(session.replay.length_ns)
    view = window.controller.view
    assert view is not None
    qtbot.waitUntil(lambda: view.now_ns >= first.now_ns, timeout=30_000)
    assert view.checks == first.checks
    window.controller.seek(0)
    _rest(qtbot, window)
    assert window.controller.replaying and window.controller.view is not view
    window.controller.end_session()
    _rest(qtbot, window)
    assert window.controller.session is None


def test_rename_remark_and_remove_can_be_undone(qtbot: QtBot, window: Window) -> None:
    _play(qtbot, window)
    window.show_record()
    _rest(qtbot, window)
    place = _record(window)
    before = place.list.item(0).text()
    place.buttons[RecordAct.RENAME].click()
    window.entry.field.setText("Almond Row")
    window.entry.note.click()
    _rest(qtbot, window)
    assert "Almond Row" in place.list.item(0).text()
    place.buttons[RecordAct.REMARK].click()
    window.entry.field.setText("came back twice")
    window.entry.note.click()
    _rest(qtbot, window)
    assert place.remark.text() == "came back twice"
    place.buttons[RecordAct.REMOVE].click()
    _rest(qtbot, window)
    assert place.list.count() == 0
    for _ in range(3):
        place.buttons[RecordAct.UNDO].click()
        _rest(qtbot, window)
    assert place.list.item(0).text() == before and place.remark.text() == ""


def test_a_report_is_written_beside_the_window(
    qtbot: QtBot, window: Window, tmp_path: Path
) -> None:
    _play(qtbot, window)
    window.show_record()
    _rest(qtbot, window)
    _record(window).buttons[RecordAct.REPORT].click()
    target = tmp_path / "visit.html"
    window.entry.field.setText(str(target))
    window.entry.note.click()
    _rest(qtbot, window)
    assert "°F" in target.read_text(encoding="utf-8")
    _record(window).buttons[RecordAct.REPORT].click()
    window.entry.field.setText(str(tmp_path / "visit.doc"))
    window.entry.note.click()
    _rest(qtbot, window)
    shown = window.notices.shown()
    assert shown is not None and ".pdf" in shown.notice.text


def test_a_session_cut_off_is_offered_and_its_record_closed(qtbot: QtBot, folders: Folders) -> None:
    with Store.open(folders, write=True) as store:
        running = open_simulated(folders, store, "short-visit", lambda _outcome: None, pace=None)
        running.start()
        running.wait(30)
    # As after a power cut: open, and nobody records it.
    engine = writing_engine(folders.database)
    with engine.begin() as connection:
        for row in map(StoredSession.of, connection.execute(all_sessions()).mappings().all()):
            stamp(connection, row, state=SessionState.OPEN.value, seal=None)
    engine.dispose()
    window = Window(SessionController(Services(folders)))
    qtbot.addWidget(window)
    window.complete()
    window.show()
    _rest(qtbot, window)
    qtbot.waitUntil(window.bench.first_steps.cut_off.isVisible, timeout=10_000)
    window.bench.first_steps.finish_button.click()
    _rest(qtbot, window)
    assert not window.bench.first_steps.cut_off.isVisible()
    window.show_record()
    _rest(qtbot, window)
    assert "cut off" in _record(window).list.item(0).text()  # that it was stays true
    assert not _record(window).buttons[RecordAct.FINISH].isVisible()
    window.close()


def test_a_record_of_a_newer_benchmeter_is_shown_and_not_written(
    qtbot: QtBot, folders: Folders
) -> None:
    with Store.open(folders, write=True) as store:
        setup = BenchSetup(origin="typed in", links=(), channels=())
        store.begin(setup, name="of old", started=datetime.now(UTC), zone="UTC").close()
    engine = writing_engine(folders.database)
    with engine.begin() as connection:
        connection.exec_driver_sql(f"PRAGMA user_version = {SCHEMA_VERSION + 1}")
    engine.dispose()
    window = Window(SessionController(Services(folders)))
    qtbot.addWidget(window)
    window.complete()
    window.show()
    qtbot.waitUntil(lambda: window.notices.shown() is not None, timeout=30_000)
    assert "read-only" in window.notices.shown().notice.text
    window.show_record()
    _rest(qtbot, window)
    assert "of old" in _record(window).list.item(0).text()
    window.controller.start_simulated("short-visit")
    qtbot.waitUntil(lambda: not window.controller.opening, timeout=30_000)
    assert window.controller.session is None
    window.close()


def test_chosen_instruments_become_link_texts_that_are_understood(
    qtbot: QtBot, window: Window
) -> None:
    window.show_connections()
    _rest(qtbot, window)
    place = window.place(3)
    assert isinstance(place, ConnectionsPage)
    names = [place.kind.itemData(row).name for row in range(place.kind.count())]
    assert names
    for row, name in enumerate(names):
        place.kind.setCurrentIndex(row)
        place.port.setEditText("/dev/ttyUSB7")
        place.buttons[ConnectionsAct.ADD].click()
        address = parse_address(place.chosen.item(row).data(Qt.ItemDataRole.UserRole))
        assert isinstance(address, SerialAddress)
        assert (address.path, address.profile) == ("/dev/ttyUSB7", name)
        profile = place.kind.itemData(row)
        assert len(address.channels) in (0, len(profile.channels))


def test_each_value_is_offered_the_roles_that_it_can_have(qtbot: QtBot, window: Window) -> None:
    window.show_connections()
    _rest(qtbot, window)
    place = window.place(3)
    assert isinstance(place, ConnectionsPage)
    offered = {}
    for row in range(place.kind.count()):
        place.kind.setCurrentIndex(row)
        offered[place.kind.itemData(row).name] = [
            [box.itemText(i) for i in range(box.count())] for box in place.roles
        ]
    assert offered["text-value-unit"][0][0] == "meter"  # it tells what it measures
    assert {"meter", "capacitor", "probe", "residual"} <= set(offered["text-value-unit"][0])
    assert offered["scpi-capacitance"][0][0] == "capacitor"
    assert "meter" not in offered["scpi-capacitance"][0]
    assert [box[:3] for box in offered["text-two-probes"]] == [
        ["discharge", "outdoor", "probe"]
    ] * 2
    assert offered["scpi-voltmeter-dc"][0][0] == "residual"


def test_a_port_that_is_not_there_is_told(qtbot: QtBot, window: Window) -> None:
    window.show_connections()
    _rest(qtbot, window)
    place = window.place(3)
    assert isinstance(place, ConnectionsPage)
    place.port.setEditText("/dev/does-not-exist")
    place.buttons[ConnectionsAct.ADD].click()
    place.buttons[ConnectionsAct.CONNECT].click()
    _rest(qtbot, window)
    qtbot.waitUntil(lambda: window.notices.shown() is not None, timeout=10_000)
    window.controller.end_session()
    _rest(qtbot, window)


def test_settings_take_effect_at_once_and_are_kept(
    qtbot: QtBot, window: Window, folders: Folders
) -> None:
    window.show_place(4)
    place = window.place(4)
    assert isinstance(place, SettingsPage)
    qtbot.keyClick(QApplication.focusWidget() or window, Key.Key_N)
    assert window.controller.preferences.palette == "night"
    for option, value in (
        ("temperature_unit", "°C"),
        ("decimal_sign", ","),
        ("decision_rule", "simple"),
    ):
        box = place.boxes[option]
        box.setCurrentIndex(box.findData(value))
        box.activated.emit(box.currentIndex())
    place.accuracy.setText("nonsense")
    place.accuracy.editingFinished.emit()
    assert place.fault.text()
    place.accuracy.setText("1 % + 3 x 0.01 uF")
    place.accuracy.editingFinished.emit()
    assert not place.fault.text()
    _rest(qtbot, window)
    kept = load_preferences(folders).preferences
    assert (kept.palette, kept.temperature_unit, kept.decimal_sign) == ("night", "°C", ",")
    assert (kept.decision_rule, kept.accuracy) == ("simple", "1 % + 3 x 0.01 uF")


def test_typed_readings_alone_make_a_session(qtbot: QtBot, window: Window) -> None:
    """0.4 V is below 5 V: the part may be touched (common practice, no source)."""
    qtbot.keyClick(window, Key.Key_K)
    _rest(qtbot, window)
    assert window.controller.recording
    window.bench.stage.form.label_field.setText("40 uF ±5 % 440 V")
    window.bench.stage.form.start.click()
    view = window.controller.view
    assert view is not None
    qtbot.waitUntil(lambda: view.check is not None, timeout=5_000)
    window.bench.stage.buttons.of[Act.TYPING].click()
    window.entry.field.setText("39,2 uF")
    window.entry.note.click()
    qtbot.waitUntil(lambda: view.check.verdict is not None, timeout=5_000)  # type: ignore[union-attr]
    assert view.check is not None and view.check.verdict is not None
    assert view.check.verdict.verdict == "pass"
    window.safety.button.click()
    window.entry.field.setText("0.4 V")
    window.entry.note.click()
    qtbot.waitUntil(lambda: "typed by hand" in window.safety.words, timeout=5_000)
    window.controller.end_session()
    _rest(qtbot, window)


def test_a_window_closed_while_a_session_is_being_opened_stops_it(
    qtbot: QtBot, window: Window
) -> None:
    """An exception of the measuring thread would fail the test."""
    window.start_simulated("walk-in-cooler")
    assert window.controller.opening
    window.close()
    assert not any(t.name == "measuring" for t in threading.enumerate())
