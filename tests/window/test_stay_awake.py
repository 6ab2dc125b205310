"""The computer does not go to sleep by itself while something is recorded.

The call and its file descriptor: systemd, "The D-Bus interface of systemd-logind", Inhibit().
"""

import logging
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtDBus import QDBusConnection
from pytestqt.qtbot import QtBot

from benchmeter.window.control.stay_awake import StayAwake
from benchmeter.window.shell.window import Window
from tests.fakes import login_manager
from tests.fakes.window_acts import live, rest

pytestmark = [pytest.mark.gui, pytest.mark.qt_log_ignore("propagateSizeHints")]

needs_bus = pytest.mark.skipif(shutil.which("dbus-daemon") is None, reason="needs dbus-daemon")


@pytest.fixture
def bus() -> Iterator[tuple[str, QDBusConnection]]:
    """A bus of its own, and its address."""
    daemon = subprocess.Popen(
        ["dbus-daemon", "--session", "--nofork", "--print-address=1"],
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    )
    assert daemon.stdout is not None
    address = daemon.stdout.readline().strip()
    yield address, QDBusConnection.connectToBus(address, "test")
    QDBusConnection.disconnectFromBus("test")
    daemon.terminate()
    daemon.wait()
    daemon.stdout.close()


@pytest.fixture
def manager(bus: tuple[str, QDBusConnection]) -> "Iterator[subprocess.Popen[str]]":
    process = subprocess.Popen(
        [sys.executable, str(Path(login_manager.__file__))],
        env={"DBUS_SESSION_BUS_ADDRESS": bus[0], "PATH": ""},
        stdout=subprocess.PIPE,
        text=True,
    )
    assert process.stdout is not None
    assert process.stdout.readline() == "READY\n"
    yield process
    process.kill()
    process.wait()
    process.stdout.close()


@needs_bus
def test_suspending_is_put_off_from_hold_to_release(
    qtbot: QtBot, bus: tuple[str, QDBusConnection], manager: "subprocess.Popen[str]"
) -> None:
    awake = StayAwake(bus[1])
    awake.hold("a measurement")
    awake.hold("a measurement")
    qtbot.waitUntil(lambda: awake.held)
    assert manager.stdout is not None
    assert manager.stdout.readline() == "sleep|benchmeter|a measurement|block\n"
    qtbot.wait(50)
    awake.release()
    assert not awake.held
    qtbot.wait(50)
    assert manager.stdout.readline() == "GONE\n"  # and no second call before


@needs_bus
def test_a_lock_that_comes_after_the_release_is_let_go(
    qtbot: QtBot, bus: tuple[str, QDBusConnection], manager: "subprocess.Popen[str]"
) -> None:
    awake = StayAwake(bus[1])
    awake.hold("a measurement")
    awake.release()
    qtbot.wait(300)
    assert not awake.held
    assert manager.stdout is not None
    assert [manager.stdout.readline() for _ in range(2)][1] == "GONE\n"


@needs_bus
def test_without_a_login_manager_it_is_logged_once(
    qtbot: QtBot, bus: tuple[str, QDBusConnection], caplog: pytest.LogCaptureFixture
) -> None:
    caplog.set_level(logging.INFO, "benchmeter")
    awake = StayAwake(bus[1])
    for _ in range(2):
        awake.hold("a measurement")
        qtbot.waitUntil(lambda: awake._waiting is None)
        awake.release()
    assert not awake.held
    assert len([r for r in caplog.records if "may go to sleep" in r.getMessage()]) == 1


def test_without_a_bus_nothing_happens(caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.INFO, "benchmeter")
    awake = StayAwake(QDBusConnection("there is none of this name"))
    awake.hold("a measurement")
    assert not awake.held and len(caplog.records) == 1


class _Noted:
    """Stands where the lock stands."""

    def __init__(self) -> None:
        self.done: list[str] = []

    def hold(self, why: str) -> None:
        self.done.append("hold")

    def release(self) -> None:
        self.done.append("release")


def test_a_recording_holds_it_and_its_end_lets_go(qtbot: QtBot, window: Window) -> None:
    noted = _Noted()
    window.controller.awake = noted  # type: ignore[assignment]
    live(qtbot, window)
    assert noted.done == ["hold"]
    window.controller.end_session()
    rest(qtbot, window)
    assert noted.done == ["hold", "release"]
    window.controller.start_replay("0192")
    rest(qtbot, window)
    assert noted.done == ["hold", "release"]
