"""`benchmeter --simulate` where there is no display: the same scenario, and what it leaves."""

import argparse
import sys
import time

from benchmeter.commands.data_folder import folders_of
from benchmeter.commands.parsing import print_json
from benchmeter.commands.record import Watch
from benchmeter.errors import InputError
from benchmeter.files.folders import Folders
from benchmeter.files.output_file import OutputFile
from benchmeter.tasks.recording import asked_to_end, record_until
from benchmeter.words.presentation import Presentation

__all__ = ["run"]

_LEFT = ("temperatures.png", "report.pdf", "report.html")


def run(args: argparse.Namespace) -> int:
    """Play a scenario as fast as possible; leaves report, picture and database in a folder.

    Args:
        args: with `simulate`, `data` and `json`.
    """
    if args.simulate is None:
        raise InputError("commands.no_display")
    from benchmeter.record.store import Store
    from benchmeter.reports.record_text import record_text
    from benchmeter.reports.report_file import write_report
    from benchmeter.tasks.opening import open_simulated
    from benchmeter.window.headless import drawing, session_picture

    folders = folders_of(args)
    if not args.data:
        stamp = time.strftime("%Y-%m-%d-%H%M%S")
        folders = Folders(folders.data / "simulated" / stamp)
    for name in _LEFT:
        if (folders.data / name).exists():
            raise InputError("commands.left_before", file=name, folder=folders.data)
    folders.make()
    picture_file, *pages = [OutputFile(folders.data / name) for name in _LEFT]
    for left in (picture_file, *pages):
        left.check()
    say: Presentation = args.say
    print(say.text("commands.playing", scenario=args.simulate), file=sys.stderr)
    with asked_to_end() as over, Store.open(folders, write=True) as store:
        watch = Watch(say)
        session = open_simulated(folders, store, args.simulate, watch.take, pace=None)
        record_until(session, None, over, lambda: False, watch.tell)
        with drawing():
            picture = session_picture(store, session.session_id)
            if picture is not None:
                with picture_file.writing() as file:
                    file.write(picture)
            for page in pages:
                write_report(store, session.session_id, page, picture=picture)
        if args.json:
            print_json({"id": session.session_id, "folder": str(folders.data)})
        else:
            print(record_text(store, session.session_id, say))
            print(f"\n{say.text('commands.left_in', folder=folders.data)}")
    return 0
