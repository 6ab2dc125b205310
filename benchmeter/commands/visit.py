"""`benchmeter visit ID`: who measured, for whom, where, on which unit; stated, or shown."""

import argparse
from collections.abc import Mapping
from typing import Any

from benchmeter.commands.data_folder import open_store
from benchmeter.commands.parsing import Parser, print_json
from benchmeter.session.visit import PartFact, VisitFact

__all__ = ["add_facts", "add_parser", "typed_facts"]

_FACTS = (*VisitFact, "ambient", *PartFact)


def add_parser(commands: Any, name: str, **options: Any) -> None:
    parser = commands.add_parser(name, **options)
    parser.option("id", metavar="ID", help="commands.help_show_id")
    parser.option("--check", type=int, metavar="N", help="commands.help_visit_check")
    add_facts(parser)
    parser.set_defaults(run=_run)


def add_facts(parser: Parser) -> None:
    """An option for each fact."""
    for fact in VisitFact:
        parser.option(_option(fact), dest=fact, metavar="TEXT", help=f"visit.fact_{fact}")
    parser.option("--ambient", metavar="TEMPERATURE", help="visit.ambient")
    for part in PartFact:
        parser.option(_option(part), dest=part, metavar="TEXT", help=f"visit.part_{part}")


def _option(fact: str) -> str:
    return f"--{fact.replace('_', '-')}"


def typed_facts(args: argparse.Namespace) -> Mapping[str, str]:
    """What was typed of them, by name."""
    return {fact: getattr(args, fact) for fact in _FACTS if getattr(args, fact) is not None}


def _run(args: argparse.Namespace) -> int:
    from benchmeter.reports.tag_code import parse_tag_code
    from benchmeter.reports.visit_table import visit_json, visit_lines
    from benchmeter.tasks.visiting import checked_parts, describe

    wanted, coded = parse_tag_code(args.id)
    typed = typed_facts(args)
    with open_store(args, write=bool(typed)) as store:
        session = store.session(wanted).id
        if typed:
            check = args.check if args.check is not None else coded
            describe(store, session, typed, check=check)
        visit, parts = store.visit(session), checked_parts(store, session)
    if args.json:
        print_json({"id": session, "visit": visit_json(visit, parts)})
    else:
        print("\n".join(visit_lines(visit, parts, args.say)))
    return 0
