"""`benchmeter recheck [ID]`: decodes and judges again from the raw record."""

import argparse
from typing import TYPE_CHECKING, Any

from benchmeter.commands.data_folder import open_store
from benchmeter.commands.parsing import print_json
from benchmeter.words.presentation import Presentation

if TYPE_CHECKING:
    from benchmeter.tasks.recheck import Difference

__all__ = ["add_parser"]


def add_parser(commands: Any, name: str, **options: Any) -> None:
    parser = commands.add_parser(name, **options)
    parser.option("id", metavar="ID", nargs="?", help="commands.help_recheck_id")
    parser.set_defaults(run=_run)


def _run(args: argparse.Namespace) -> int:
    from benchmeter.tasks.recheck import recheck, recheck_all

    say: Presentation = args.say
    with open_store(args) as store:
        results = [recheck(store, args.id)] if args.id else recheck_all(store)
    status = int(any(result.differences for result in results))
    if args.json:
        print_json(
            {
                "sessions": [
                    {
                        "id": r.session_id,
                        "readings": r.readings,
                        "verdicts": r.verdicts,
                        "agrees": not r.differences,
                        "differences": [_difference(d, say) for d in r.differences],
                    }
                    for r in results
                ]
            }
        )
        return status
    for result in results:
        counted = say.text(
            "commands.readings_and_verdicts", readings=result.readings, verdicts=result.verdicts
        )
        if not result.differences:
            agrees = say.text("commands.agrees", counted=counted)
            print(f"{result.session_id}: {agrees}")
            continue
        differs = say.text("commands.differs", counted=counted)
        print(f"{result.session_id}: {differs}")
        for difference in (_difference(d, say) for d in result.differences):
            codes = {"stored": "commands.stored", "again": "commands.again"}
            sides = [
                say.text(code, value=difference[side])
                for side, code in codes.items()
                if difference[side]
            ]
            print(f"    {difference['what']}: {'; '.join(sides)}")
    return status


def _difference(found: "Difference", say: Presentation) -> dict[str, str]:
    """Where it is, and both sides; "" for nothing."""
    where = f"{found.place.value} {found.subject}".strip()
    if found.time_ns is not None:
        where = say.text("commands.at", where=where, seconds=found.time_ns / 1e9)
    if found.message is not None:
        return {"what": where, "stored": say.tell(found.message).text, "again": ""}
    return {
        "what": f"{where}: {found.fact}" if found.fact else where,
        "stored": "" if found.stored is None else str(found.stored),
        "again": "" if found.again is None else str(found.again),
    }
