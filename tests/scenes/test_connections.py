"""Connections, settings and notices without a window."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from benchmeter.errors import Message
from benchmeter.files.preferences import Preferences
from benchmeter.links.instruments.discovery import PortFound, PortState
from benchmeter.reports.label_stock import shipped_stock
from benchmeter.scenes.connections import (
    ChosenInstrument,
    ConnectionsAct,
    Looked,
    choose_instrument,
    connections_scene,
    port_title,
    port_trouble,
    profile_hinted,
    role_choices,
)
from benchmeter.scenes.notice_scene import CountedNotice, notices_scene
from benchmeter.scenes.settings import PALETTE, accuracy_fault, settings_scene
from benchmeter.session.outcome import Severity
from benchmeter.words.notice_words import ToldNotice
from benchmeter.words.presentation import Presentation
from tests.fakes.window_fakes import PROFILES

TELL = Presentation()
PORT = PortFound(
    device="/dev/ttyUSB0",
    identity="0403:6001",
    description="USB adapter",
    stable_path="/dev/serial/by-id/adapter",
    profiles=("two-probes",),
    state=PortState.FREE,
    reason=None,
)
CAPACITANCE, PROBES = PROFILES


@pytest.mark.parametrize(
    ("looked", "ports", "found"),
    [
        (Looked.NOT_YET, 0, ""),
        (Looked.LOOKING, 0, "Looking what is plugged in…"),
        (Looked.FAILED, 0, "The ports could not be listed; a path can be typed."),
        (Looked.DONE, 0, "No cable is found."),
        (Looked.DONE, 1, "One cable is found."),
        (Looked.DONE, 3, "3 cables are found."),
    ],
)
def test_what_was_found(looked: Looked, ports: int, found: str) -> None:
    scene = connections_scene(looked, ports, 0, TELL, opening=False)
    assert scene.found.startswith(found) and bool(scene.found) is bool(found)


@pytest.mark.parametrize(
    ("chosen", "opening", "said", "missing"),
    [
        (0, False, "Choose the cable", {ConnectionsAct.CONNECT, ConnectionsAct.REMOVE}),
        (2, False, "Add another instrument", set()),
        (2, True, "Connecting…", {ConnectionsAct.CONNECT, ConnectionsAct.SIMULATED}),
    ],
)
def test_what_can_be_done(
    chosen: int, opening: bool, said: str, missing: set[ConnectionsAct]
) -> None:
    scene = connections_scene(Looked.DONE, 1, chosen, TELL, opening=opening)
    assert scene.next_step.startswith(said)
    assert {act for act, offer in scene.actions.items() if not offer.offered} == missing
    assert all(scene.actions[act].why_not for act in missing)


def test_each_value_is_offered_what_it_can_be() -> None:
    (single,) = role_choices(CAPACITANCE, TELL)
    assert single.title == "What does it measure?"
    assert single.names == ("capacitor", "capacitance")
    first, second = role_choices(PROBES, TELL)
    assert first.names == ("discharge", "outdoor", "probe", "T1") and first.chosen == 0
    assert "“T2”" in second.title and second.names[second.chosen] == "outdoor"


@pytest.mark.parametrize(
    ("typed", "port", "names", "address"),
    [
        ("/dev/ttyUSB7", None, ["my probe", "T2"], "serial:/dev/ttyUSB7?profile=two-probes&channel=my%20probe,T2"),
        ("", PORT, [" ", "T2"], "serial:/dev/serial/by-id/adapter?profile=two-probes"),
    ],
)  # fmt: skip
def test_what_is_chosen_becomes_an_address(
    typed: str, port: PortFound | None, names: list[str], address: str
) -> None:
    text = typed or port_title(PORT)
    chosen = choose_instrument(text, port, PROBES, names)
    assert isinstance(chosen, ChosenInstrument) and chosen.address == address
    assert "Thermometer with two probes" in chosen.words and "T2" in chosen.words


@pytest.mark.parametrize("lacking", [("", PROBES), ("/dev/ttyUSB0", None)])
def test_without_cable_or_kind_nothing_is_added(lacking: tuple[str, None]) -> None:
    told = choose_instrument(lacking[0], None, lacking[1], [])
    assert isinstance(told, Message)
    assert TELL.tell(told).advice.startswith("Choose a cable")


def test_an_adapter_hints_at_its_kind_and_tells_its_trouble() -> None:
    assert profile_hinted(PORT, PROFILES) == 1
    assert profile_hinted(PORT, PROFILES[:1]) is None
    assert port_trouble(PORT, TELL) == ""
    taken = replace(PORT, reason=Message("links.busy_here", {"port": PORT.device}))
    assert port_trouble(taken, TELL).endswith("already. Choose another port.")


# --- settings ----------------------------------------------------------------------------------


def test_each_setting_offers_its_values_and_shows_the_one_that_holds() -> None:
    preferences = Preferences(palette="night", zoom=150, decimal_sign=",", accuracy="1 %")
    scene = settings_scene(preferences, tuple(shipped_stock()), TELL)
    assert scene.accuracy == "1 %" and scene.next_step
    assert scene.settings[0].option == PALETTE and scene.settings[-1].option == "tag_stock"
    for setting in scene.settings:
        assert setting.value == getattr(preferences, setting.option)
        assert setting.value in [value for _, value in setting.choices]
        assert setting.title and all(text for text, _ in setting.choices)


def test_accuracy_lines_that_cannot_be_read_are_told() -> None:
    assert accuracy_fault("", TELL) == accuracy_fault(" 1 % + 3 x 0.01 uF ", TELL) == ""
    assert accuracy_fault("nonsense", TELL)


# --- notices -----------------------------------------------------------------------------------


def test_notices_are_told_the_latest_first_with_their_number() -> None:
    at = datetime(2026, 3, 1, 14, 2, 5, tzinfo=UTC)
    gap = ToldNotice(Severity.WARNING, "Probe 2 has stopped sending.", "Check the plug.")
    full = ToldNotice(Severity.ERROR, "The disk is full.")
    scene = notices_scene((CountedNotice(gap, 2, at), CountedNotice(full, 1, at)), TELL)
    assert scene.lines == (
        "14:02:05  ·  warning  ×2  ·  Probe 2 has stopped sending. Check the plug.",
        "14:02:05  ·  to do  ·  The disk is full.",
    )
    assert scene.about.startswith("Since benchmeter was opened")


def test_no_notice_is_good_news() -> None:
    scene = notices_scene((), TELL)
    assert scene.lines == () and scene.next_step.startswith("All is well")
