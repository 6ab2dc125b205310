"""`benchmeter sessions`: what is in the store, newest first."""

import argparse
from typing import Any

from benchmeter.commands.data_folder import open_store
from benchmeter.commands.parsing import print_json
from benchmeter.words.presentation import Presentation

__all__ = ["add_parser"]


def add_parser(commands: Any, name: str, **options: Any) -> None:
    parser = commands.add_parser(name, **options)
    parser.set_defaults(run=_run)


def _run(args: argparse.Namespace) -> int:
    from benchmeter.commands.main import fails
    from benchmeter.errors import StoreDamaged
    from benchmeter.files.table_file import one_line
    from benchmeter.reports.record_json import session_json
    from benchmeter.reports.session_record import local_start

    say: Presentation = args.say
    with open_store(args) as store:
        listed = store.listed()
    sessions = [s for s in listed.sessions if not s.removed]
    if args.json:
        print_json({"sessions": [session_json(s) for s in sessions]})
    elif not sessions and not listed.damaged:
        print(say.text("commands.no_session"))
    else:
        for session in sessions:
            words = ", ".join(f.word for f in session.findings) or say.text("commands.no_verdict")
            when = local_start(session).strftime("%Y-%m-%d %H:%M")
            name = one_line(session.name)
            print(f"{session.id}  {when}  {session.state.value:8}  {name}  ({words})")
    for number in listed.damaged:
        fails(StoreDamaged("record.session_changed", number=number), say)
    return int(bool(listed.damaged))
