"""`benchmeter record`: records a session without a window."""

import argparse
import contextlib
import signal
import sys
import threading
import time
from collections import Counter
from typing import Any

from benchmeter.commands.data_folder import folders_of, open_store
from benchmeter.commands.parsing import print_json
from benchmeter.errors import InputError, LinkError
from benchmeter.quantities.units import parse_value, to_si
from benchmeter.readings.events import EventKind
from benchmeter.session.analyzers.part_check import PartFinding
from benchmeter.session.outcome import Outcome, Severity
from benchmeter.tasks.running import RunningSession
from benchmeter.words.events import event_advice, event_text, event_words
from benchmeter.words.notices import tell_notice
from benchmeter.words.verdicts import verdict_in_words

__all__ = ["Watch", "add_parser", "run_session"]

_SILENT_NS = 10_000_000_000
_SILENT_ADVICE = (
    "Check that the instrument is on and sends over this cable, and that profile, baud, line end "
    "and, with Modbus, device are its own; one that answers slowly needs a longer timeout_ms in a "
    "profile of yours."
)
_NO_VERDICT = "No verdict: no reading of the part has settled meanwhile."
_NO_KIND_VERDICT = (
    "No verdict: not every measurement of the part has settled meanwhile. What shows OL is taken "
    "by hand, in the window."
)


def add_parser(commands: Any, name: str, **options: Any) -> None:
    parser = commands.add_parser(
        name,
        epilog="LINK is serial:PATH?profile=NAME&channel=NAME or simulated:SCENARIO.",
        **options,
    )
    parser.add_argument(
        "--from", dest="links", metavar="LINK", action="append", required=True, help="repeatable"
    )
    parser.add_argument("--for", dest="length", metavar="TIME", default="", help="e.g. 30s, 10min")
    parser.add_argument("--as", dest="title", metavar="NAME", default="", help="session's name")
    parser.add_argument("--check", metavar="LABEL", help="judge a part with this label")
    parser.add_argument("--kind", metavar="KIND", help="of that part; else a capacitor")
    parser.add_argument("--tolerance", default="", help="where the label gives none")
    parser.add_argument("--accuracy", default="", help="the meter's accuracy line")
    parser.add_argument("--rule", choices=["guarded", "simple"], default="guarded")
    parser.add_argument(
        "--pace", default="1", help="of a simulated bench: 1 to 100 times real time, or max"
    )
    parser.set_defaults(run=_run)


def _run(args: argparse.Namespace) -> int:
    length_ns = _length_ns(args.length)
    check = None
    if args.check is not None or args.kind is not None:
        from benchmeter.commands.record_check import check_of

        check = check_of(args)
    with open_store(args, write=True) as store:
        from benchmeter.tasks.opening import open_link

        watch = Watch()
        session = open_link(
            folders_of(args),
            store,
            args.links,
            watch.take,
            name=args.title,
            pace=_pace(args.pace),
        )
        watch.awaited.update(c.name for c in session.setup.channels)
        print(session.session_id, file=sys.stderr if args.json else sys.stdout, flush=True)
        if check is not None:
            session.send(check)
        run_session(session, watch, length_ns)
        if session.failure is not None:
            raise session.failure
        if watch.never_opened:
            text, advice = watch.never_opened
            raise LinkError(text, advice)
        watch.tell_silent(session.elapsed_ns())
        if check is not None and not watch.verdicts:
            print(_NO_KIND_VERDICT if check.kind else _NO_VERDICT, file=sys.stderr)
        _tell(args, session, watch)
    return 0


def run_session(session: RunningSession, watch: "Watch", length_ns: int | None) -> None:
    """Until the source ends, the time is over, a link cannot be opened, or a signal comes."""
    over = threading.Event()
    before = {s: signal.signal(s, lambda *_: over.set()) for s in _ending_signals()}
    try:
        session.start()
        while session.running and not over.is_set():
            if length_ns is not None and session.elapsed_ns() >= length_ns:
                break
            if watch.never_opened:
                break
            over.wait(0.02)
    finally:
        session.stop()
        for number, handler in before.items():
            signal.signal(number, handler)


def _ending_signals() -> list[signal.Signals]:
    """Those that ask for the end; a closed terminal, too, unless it was to be ignored (nohup)."""
    signals = [signal.SIGINT, signal.SIGTERM]
    if hasattr(signal, "SIGHUP") and signal.getsignal(signal.SIGHUP) is not signal.SIG_IGN:
        signals.append(signal.SIGHUP)
    return signals


def _length_ns(text: str) -> int | None:
    if not text:
        return None
    seconds = to_si(*parse_value(text, "time"))
    if seconds <= 0:
        raise InputError(f"“{text}” is no length of time.", "Write for example --for 30s.")
    return round(seconds * 1e9)


def _pace(text: str) -> float | None:
    if text == "max":
        return None
    try:
        pace = float(text)
    except ValueError:
        pace = 0
    if not 1 <= pace <= 100:
        raise InputError(f"“{text}” is no pace.", "Write a number from 1 to 100, or max.")
    return pace


class Watch:
    """Follows the outcomes for the terminal. `take` runs on the measuring thread."""

    def __init__(self) -> None:
        self.awaited: set[str] = set()  # channels without any reading yet
        self._told_silent = False
        self._ever_up: set[str] = set()
        self.never_opened: tuple[str, str] | None = None
        self.counts: Counter[str] = Counter()
        self.without_value: Counter[str] = Counter()
        self.reasons: dict[str, Counter[str]] = {}
        self.verdicts: list[dict[str, str]] = []

    def take(self, outcome: Outcome) -> None:
        for reading in outcome.readings:
            self.awaited.discard(reading.channel)
            self.counts[reading.channel] += 1
            if reading.value is None:
                self.without_value[reading.channel] += 1
                why = self.reasons.setdefault(reading.channel, Counter())
                why[reading.status.value] += 1
        for event in outcome.events:
            if event.kind is EventKind.LINK_UP:
                self._ever_up.add(event.subject)
            elif event.kind is EventKind.LINK_LOST and event.subject not in self._ever_up:
                self.never_opened = (event_text(event), event_advice(event))
            if not any(n.fact is event and n.severity is Severity.ERROR for n in outcome.notices):
                self._say(outcome.time_ns, event_words(event))
        if self._ever_up and outcome.time_ns > _SILENT_NS:
            self.tell_silent(outcome.time_ns)
        found = outcome.of(PartFinding)
        for check in found.stored if found is not None else ():
            if check.verdict is not None:
                word = check.verdict.verdict
                self.verdicts.append({"part": check.part, "verdict": word.value})
                self._say(outcome.time_ns, f"{check.part}: {verdict_in_words(word)}")
        for notice in outcome.notices:
            if notice.severity is Severity.ERROR:
                told = tell_notice(notice)
                self._say(outcome.time_ns, f"{told.text} {told.advice}".strip())

    def tell_silent(self, time_ns: int) -> None:
        """Name, once, the channels from which no reading has come at all, and what to do."""
        for channel in () if self._told_silent else sorted(self.awaited):
            self._say(time_ns, f"No reading has come from {channel}. {_SILENT_ADVICE}")
        self._told_silent = True

    def _say(self, time_ns: int, text: str) -> None:
        stamp = time.strftime("%H:%M:%S", time.gmtime(time_ns / 1e9))
        # Whoever reads this may have gone, with the terminal: the recording goes on.
        with contextlib.suppress(OSError):
            print(f"{stamp}  {text}", file=sys.stderr)


def _tell(args: argparse.Namespace, session: RunningSession, watch: Watch) -> None:
    if args.json:
        print_json(
            {
                "id": session.session_id,
                "duration_s": session.elapsed_ns() / 1e9,
                "readings": {c.name: watch.counts[c.name] for c in session.setup.channels},
                "without_value": dict(watch.without_value),
                "verdicts": watch.verdicts,
            }
        )
        return
    for channel in sorted(c.name for c in session.setup.channels):
        count, without = watch.counts[channel], watch.without_value[channel]
        line = f"{channel}: {count} readings"
        if without:
            why = ", ".join(f"{n} {reason}" for reason, n in watch.reasons[channel].most_common())
            line += f", {without} without a value ({why})"
        print(line)
    print(f"Look at it: benchmeter show {session.session_id}")
