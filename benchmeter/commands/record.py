"""`benchmeter record`: records a session without a window."""

import argparse
import os
import sys
import time
from pathlib import Path
from typing import Any

from benchmeter.commands.data_folder import folders_of, open_store
from benchmeter.commands.parsing import print_json
from benchmeter.commands.visit import add_facts, typed_facts
from benchmeter.errors import InputError, LinkError, Message
from benchmeter.quantities.units import parse_value, to_si
from benchmeter.session.outcome import Outcome, Severity
from benchmeter.session.visit import Visit
from benchmeter.tasks.recording import Tally, asked_to_end, record_until
from benchmeter.tasks.running import RunningSession
from benchmeter.words.event_words import event_words
from benchmeter.words.notice_words import tell_notice
from benchmeter.words.presentation import Presentation
from benchmeter.words.verdicts import verdict_in_words

__all__ = ["Watch", "add_parser"]


def add_parser(commands: Any, name: str, **options: Any) -> None:
    parser = commands.add_parser(
        name,
        epilog=options["say"].text("commands.about_links"),
        **options,
    )
    parser.option(
        "--from",
        dest="links",
        metavar="LINK",
        action="append",
        required=True,
        help="commands.help_from",
    )
    parser.option("--for", dest="length", metavar="TIME", default="", help="commands.help_for")
    parser.option("--as", dest="title", metavar="NAME", default="", help="commands.help_as")
    parser.option("--check", metavar="LABEL", help="commands.help_check")
    parser.option("--kind", metavar="KIND", help="commands.help_part_kind")
    parser.option("--tolerance", default="", help="commands.help_missing_tolerance")
    parser.option("--accuracy", default="", help="commands.help_accuracy_line")
    parser.add_argument("--rule", choices=["guarded", "simple"], default="guarded")
    parser.option("--pace", default="1", help="commands.help_pace")
    add_facts(parser)
    parser.set_defaults(run=_run)


def _run(args: argparse.Namespace) -> int:
    from benchmeter.tasks.visiting import stated

    length_ns = _length_ns(args.length)
    say: Presentation = args.say
    visit = stated(Visit(), typed_facts(args), check=1)
    check = None
    if args.check is not None or args.kind is not None:
        from benchmeter.tasks.asked_check import check_of

        check = check_of(
            folders_of(args),
            args.links,
            kind=args.kind,
            label=args.check or "",
            tolerance=args.tolerance,
            accuracy=args.accuracy,
            rule=args.rule,
        )
    with asked_to_end() as over, open_store(args, write=True) as store:
        from benchmeter.tasks.opening import open_link

        watch = Watch(say)
        tally = watch.tally
        session = open_link(
            folders_of(args),
            store,
            args.links,
            watch.take,
            name=args.title,
            pace=_pace(args.pace),
        )
        tally.awaited.update(c.name for c in session.setup.channels)
        if visit != Visit():
            store.describe(session.session_id, visit)
        try:
            print(session.session_id, file=sys.stderr if args.json else sys.stdout, flush=True)
        except OSError:  # nobody reads it: ended, not cut off
            session.start()
            session.stop()
            raise
        if check is not None:
            session.send(check)
        record_until(session, length_ns, over, lambda: tally.never_opened is not None, watch.tell)
        if tally.never_opened:
            raise LinkError.of(tally.never_opened)
        watch.tell_silent(session.elapsed_ns())
        if check is not None and not tally.verdicts:
            code = "commands.kind_not_settled" if check.kind else "commands.part_not_settled"
            print(say.text(code), file=sys.stderr)
        if args.json:
            print_json(_document(session, tally))
        else:
            print(_text(session, tally, say))
    return 0


def _length_ns(text: str) -> int | None:
    if not text:
        return None
    seconds = to_si(*parse_value(text, "time"))
    if seconds <= 0:
        raise InputError("commands.no_length", text=text)
    return round(seconds * 1e9)


def _pace(text: str) -> float | None:
    if text == "max":
        return None
    try:
        pace = float(text)
    except ValueError:
        pace = 0
    if not 1 <= pace <= 100:
        raise InputError("commands.no_pace", text=text)
    return pace


class Watch:
    """Tells the terminal what comes. `take` runs on the measuring thread."""

    def __init__(self, say: Presentation) -> None:
        self.tally = Tally()
        self._say = say
        self._told_silent = False
        self._last_ns = 0

    def take(self, outcome: Outcome) -> None:
        self._last_ns = outcome.time_ns
        reached = self.tally.take(outcome)
        errors = [n for n in outcome.notices if n.severity is Severity.ERROR]
        for event in outcome.events:
            if not any(notice.fact is event for notice in errors):
                self._tell(outcome.time_ns, event_words(event, self._say))
        if self.tally.silent(outcome.time_ns):
            self.tell_silent(outcome.time_ns)
        for part, verdict in reached:
            self._tell(outcome.time_ns, f"{part}: {verdict_in_words(verdict, self._say)}")
        for notice in errors:
            told = tell_notice(notice, self._say)
            self._tell(outcome.time_ns, f"{told.text} {told.advice}".strip())

    def tell(self, message: Message) -> None:
        """Tell a message that belongs to no outcome."""
        self._tell(self._last_ns, str(self._say.tell(message)))

    def tell_silent(self, time_ns: int) -> None:
        """Name, once, the channels from which no reading has come at all, and what to do."""
        for channel in () if self._told_silent else sorted(self.tally.awaited):
            silent = Message("commands.no_reading_from", {"channel": channel})
            self._tell(time_ns, str(self._say.tell(silent)))
        self._told_silent = True

    def _tell(self, time_ns: int, text: str) -> None:
        stamp = time.strftime("%H:%M:%S", time.gmtime(time_ns / 1e9))
        try:
            print(f"{stamp}  {text}", file=sys.stderr)
        except OSError:
            # Whoever read this has gone, with the terminal: the recording goes on, and what could
            # not be written must not spoil its exit status.
            sys.stderr = Path(os.devnull).open("w")  # noqa: SIM115 - for as long as the process


def _document(session: RunningSession, tally: Tally) -> dict[str, Any]:
    return {
        "id": session.session_id,
        "duration_s": session.elapsed_ns() / 1e9,
        "readings": {c.name: tally.counts[c.name] for c in session.setup.channels},
        "without_value": dict(tally.without_value),
        "verdicts": [{"part": part, "verdict": v.value} for part, v in tally.verdicts],
    }


def _text(session: RunningSession, tally: Tally, say: Presentation) -> str:
    lines = []
    for channel in sorted(c.name for c in session.setup.channels):
        count, without = tally.counts[channel], tally.without_value[channel]
        told = say.text("commands.readings", count=count)
        if without:
            why = ", ".join(f"{n} {reason}" for reason, n in tally.reasons[channel].most_common())
            told += ", " + say.text("commands.without_value", count=without, why=why)
        lines.append(f"{channel}: {told}")
    look = say.text("commands.look_at_it", session=session.session_id)
    return "\n".join((*lines, look))
