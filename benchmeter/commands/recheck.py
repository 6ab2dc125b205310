"""`benchmeter recheck [ID]`: decodes and judges again from the raw record."""

import argparse
from typing import Any

from benchmeter.commands.data_folder import open_store
from benchmeter.commands.parsing import print_json

__all__ = ["add_parser"]


def add_parser(commands: Any, name: str, **options: Any) -> None:
    parser = commands.add_parser(name, **options)
    parser.add_argument("id", metavar="ID", nargs="?", help="without it: every session")
    parser.set_defaults(run=_run)


def _run(args: argparse.Namespace) -> int:
    from benchmeter.tasks.recheck import recheck

    with open_store(args) as store:
        ids = [args.id] if args.id else [s.id for s in store.sessions()]
        results = [recheck(store, session_id) for session_id in ids]
    if args.json:
        print_json(
            {
                "sessions": [
                    {
                        "id": r.session_id,
                        "readings": r.readings,
                        "verdicts": r.verdicts,
                        "agrees": not r.differences,
                        "differences": [
                            {"what": d.what, "stored": d.stored, "again": d.again}
                            for d in r.differences
                        ],
                    }
                    for r in results
                ]
            }
        )
        return 0
    for result in results:
        counted = f"{result.readings} readings, {result.verdicts} verdicts"
        if not result.differences:
            print(f"{result.session_id}: {counted} decoded and judged again; nothing differs.")
            continue
        print(f"{result.session_id}: {counted}; what is stored differs from the raw record:")
        for difference in result.differences:
            sides = f": stored {difference.stored}; again {difference.again}"
            print(f"    {difference.what}{sides if difference.again else ': ' + difference.stored}")
    return 0
