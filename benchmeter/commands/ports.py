"""`benchmeter ports`: what is plugged in, by stable identity, and which profile fits."""

import argparse
import sys
from typing import TYPE_CHECKING, Any

from benchmeter.commands.data_folder import folders_of
from benchmeter.commands.parsing import print_json
from benchmeter.words.presentation import Presentation, Told

if TYPE_CHECKING:
    from benchmeter.links.instruments.discovery import PortFound

__all__ = ["add_parser"]


def add_parser(commands: Any, name: str, **options: Any) -> None:
    parser = commands.add_parser(name, **options)
    parser.set_defaults(run=_run)


def _run(args: argparse.Namespace) -> int:
    from benchmeter.links.instruments.discovery import list_ports
    from benchmeter.links.instruments.profiles import all_profiles

    profiles, broken = all_profiles(folders_of(args))
    say: Presentation = args.say
    for error in broken:
        print(f"benchmeter: {say.tell(error)}", file=sys.stderr)
    ports = list_ports(profiles)
    if args.json:
        print_json(
            {
                "ports": [
                    {
                        "device": port.device,
                        "identity": port.identity,
                        "description": port.description,
                        "stable_path": port.stable_path,
                        "profiles": list(port.profiles),
                        "state": port.state.value,
                        "reason": _told(port, say).text,
                        "advice": _told(port, say).advice,
                    }
                    for port in ports
                ],
                "profiles": [{"name": p.name, "title": p.title} for p in profiles],
            }
        )
        return 0
    if not ports:
        print(say.text("commands.no_port"))
        print("    benchmeter --simulate")
    for port in ports:
        fits = ", ".join(port.profiles) or say.text("commands.choose_profile")
        print(f"{port.device}  {port.description}  [{port.identity}]  {port.state.value}: {fits}")
        if port.reason is not None:
            print(f"    {_told(port, say)}")
    print(say.text("commands.profiles", names=", ".join(p.name for p in profiles)))
    return 0


def _told(port: "PortFound", say: Presentation) -> Told:
    return Told("") if port.reason is None else say.tell(port.reason)
