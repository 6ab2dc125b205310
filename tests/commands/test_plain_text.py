"""No sign that steers reaches a terminal or a page, whoever wrote it.

Signs: control characters (Unicode general category Cc) but for tab and new line, line and paragraph
separators (Zl, Zp), and the property Bidi_Control (UAX #9, table 3).
"""

import json
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from unicodedata import category

import pytest

from benchmeter.checking.commands import Annotate, BeginCheck, Mark, TypeReading
from benchmeter.commands.terminal import print_plainly
from benchmeter.files.folders import Folders
from benchmeter.links.instruments.setup import BenchSetup, ChannelSetup, LinkSetup, Role
from benchmeter.record.store import Store
from benchmeter.reports.page_html import page_blocks, page_html
from benchmeter.reports.session_page import page_of
from benchmeter.reports.session_record import read_record
from benchmeter.reports.tag import tags_of
from benchmeter.tasks.running import RunningSession
from benchmeter.words.plain_text import plain, plain_json
from tests.commands.calls import Call, call, document
from tests.fakes.instruments import text_profile
from tests.tasks.test_running import Ending

BIDI = "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
STEERING = BIDI + "".join(
    sign
    for sign in map(chr, range(sys.maxunicode + 1))
    if category(sign) in ("Cc", "Zl", "Zp") and sign not in "\n\t"
)
EVIL = f"evil\nforged \x1b]0;pwned\x07\x1b[2J{STEERING}"


def is_plain(text: str) -> bool:
    return not set(text) & set(STEERING)


def test_what_does_not_steer_is_left_alone() -> None:
    text = "45/5 µF ±6 %\t440 V\n-0.5 °C … “σ” 漢字 עברית \u00a0 👩\u200d🔧"
    assert plain(text) == plain_json(text) == text


def test_a_json_document_says_the_same() -> None:
    escaped = plain_json(json.dumps([EVIL], ensure_ascii=False))
    assert is_plain(escaped)
    assert json.loads(escaped) == [EVIL]


@pytest.fixture(scope="module")
def recorded(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Path, str]]:
    """A session in which each text that somebody wrote or a meter sent is evil."""
    data = tmp_path_factory.mktemp("evil") / "data"
    profile = text_profile()
    setup = BenchSetup(
        origin="serial",
        links=(LinkSetup(name=EVIL, address=EVIL, profile=profile),),
        channels=(ChannelSetup(name="capacitor", role=Role.CAPACITOR, link=EVIL),),
    )
    items = (
        Mark(time_ns=0, text=EVIL),
        Annotate(time_ns=0, text=EVIL),
        BeginCheck(time_ns=0, part=EVIL, label="45 uF 5 %"),
        TypeReading(time_ns=0, channel="capacitor", text="44.1 uF"),
    )
    with Store.open(Folders(data), write=True) as store:
        recorder = store.begin(setup, name=EVIL, started=datetime.now(UTC), zone="UTC")
        session = RunningSession(
            setup, Ending(*items), lambda _: None,
            session_id=recorder.session_id, recorder=recorder,
        )  # fmt: skip
        session.start()
        assert session.wait(20)
        store.remark(recorder.session_id, EVIL)
    yield data, recorder.session_id


def test_no_command_prints_what_steers(recorded: tuple[Path, str], tmp_path: Path) -> None:
    data, number = recorded
    (data / "parts").mkdir()
    (data / "parts" / "evil.toml").write_text(f"title = {json.dumps(EVIL)}\n")
    (tmp_path / "lot.csv").write_text(
        f"part,reading,remark\n{EVIL.replace(',', '')},44,x\n,{EVIL},"
    )
    calls: list[Call] = [
        call(*arguments, "--data", str(data))
        for arguments in (
            ("sessions",), ("show", number), ("show", EVIL), ("recheck", number), ("ports",),
            ("judge", EVIL, "--read", "44"), ("judge", "45 uF 5 %", "--read", EVIL),
            ("judge", "45 uF 5 %", "--read", f"{EVIL}=44"), ("judge", "--kind", EVIL),
            ("judge", "--kind", "evil"), ("judge", "45 uF 5 %", "--lot", str(tmp_path / "lot.csv")),
            ("judge", "45 uF 5 %", "--lot", EVIL.replace("\x00", "")),
            ("record", "--from", f"simulated:{EVIL}"), ("record", "--from", EVIL),
            ("record", "--from", f"serial:{EVIL}?profile=scpi-meter"),
            ("compute", EVIL), (EVIL,), ("sessions", f"--{EVIL}"),
        )
    ]  # fmt: skip
    told = "".join(c.out + c.err for c in calls)
    assert told.count("evil") > 12
    assert is_plain(told)
    listed = (
        call("sessions", "--data", str(data)).out + call("show", number, "--data", str(data)).out
    )
    assert not any(line.startswith("forged") for line in listed.splitlines())
    assert document("show", number, "--data", str(data))["name"] == EVIL
    assert is_plain(call("show", number, "--json", "--data", str(data)).out)


def test_no_page_and_no_tag_holds_what_steers(recorded: tuple[Path, str]) -> None:
    data, number = recorded
    with Store.open(Folders(data), write=False) as store:
        record = read_record(store, number)
    page = page_of(record)
    html = page_html(page) + "".join(block.html for block in page_blocks(page))
    assert html.count("evil") > 6
    assert "&lt;p&gt;" not in html
    assert is_plain(html)
    (tag,) = tags_of(record)
    assert "evil" in tag.part
    assert is_plain(repr((tag.part, tag.label, tag.meter)))


def test_an_output_that_the_caller_has_closed_is_no_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdout", None)
    print_plainly()
    assert sys.stdout is None  # `telling_of_output` knows what to do
