"""Opening a session: the one place where live, simulated and replayed part ways."""

from collections.abc import Sequence
from datetime import UTC, datetime

import msgspec
import tzlocal

from benchmeter.errors import InputError
from benchmeter.files.folders import Folders
from benchmeter.links.instruments.address import SerialAddress, link_setup, parse_address
from benchmeter.links.instruments.setup import BenchSetup, ChannelSetup, LinkSetup
from benchmeter.links.ports.source import Hands, Source
from benchmeter.record.store import Store
from benchmeter.tasks.running import Publish, RunningSession

__all__ = ["open_link", "open_live", "open_replay", "open_simulated"]


def open_link(
    folders: Folders,
    store: Store,
    links: Sequence[str],
    publish: Publish,
    *,
    name: str = "",
    pace: float | None = 1.0,
) -> RunningSession:
    """A session from link texts: serial links, or one simulated bench at a pace of its own.

    Raises:
        InputError: a text cannot be read, or simulated and serial links are mixed.
    """
    addresses = [parse_address(text) for text in links]
    simulated = [a for a in addresses if not isinstance(a, SerialAddress)]
    if simulated and len(addresses) > 1:
        raise InputError("tasks.simulated_stands_alone")
    if simulated:
        return open_simulated(folders, store, simulated[0].scenario, publish, pace=pace, name=name)
    return open_live(folders, store, links, publish, name=name)


def open_live(
    folders: Folders, store: Store, addresses: Sequence[str], publish: Publish, *, name: str = ""
) -> RunningSession:
    """A session on serial links, or with none of them a session of typed-in readings.

    Args:
        addresses: link texts of the command line, `serial:PATH?profile=NAME&channel=NAME`.
        publish: takes each outcome, on the measuring thread.

    Raises:
        InputError: a text cannot be read, a profile is not known, a channel is named twice.
        StoreError: the record cannot be begun.
    """
    from benchmeter.links.instruments.linking import serial_source
    from benchmeter.links.ports.typed_source import TypedSource

    links: list[LinkSetup] = []
    channels: list[ChannelSetup] = []
    for text in addresses:
        address = parse_address(text)
        if not isinstance(address, SerialAddress):
            raise InputError("tasks.not_a_serial_link", text=text)
        link, found = link_setup(address, folders, address.path)
        # People know an instrument by what it measures.
        name_of_link = " and ".join(c.name for c in found)
        found = tuple(msgspec.structs.replace(c, link=name_of_link) for c in found)
        links.append(msgspec.structs.replace(link, name=name_of_link))
        channels += found
    names = [c.name for c in channels]
    for twice in sorted({n for n in names if names.count(n) > 1}):
        raise InputError("tasks.channel_twice", channel=twice)
    setup = BenchSetup(
        origin="serial" if links else "typed in", links=tuple(links), channels=tuple(channels)
    )
    source: Source = serial_source(setup) if links else TypedSource()
    return _recorded(store, setup, source, publish, name)


def open_simulated(
    folders: Folders,
    store: Store,
    scenario: str,
    publish: Publish,
    *,
    pace: float | None = 1.0,
    story: bool = True,
    name: str = "",
) -> RunningSession:
    """A session at the simulated bench.

    Args:
        scenario: name of a scenario, or path of a scenario file.
        pace: times real time; None: as fast as possible.
        story: whether the scenario acts by itself; else the hands are the user's.

    Raises:
        DataFileError: the scenario's file is broken.
        InputError: no such scenario.
    """
    from benchmeter.simulator.scenario import load_scenario
    from benchmeter.simulator.virtual_bench import open_scenario

    found = load_scenario(scenario, folders)
    setup, source = open_scenario(found, pace, story=story)
    return _recorded(store, setup, source, publish, name or found.title, hands=source)


def open_replay(
    folders: Folders,
    store: Store,
    session_id: str,
    publish: Publish,
    *,
    pace: float | None = 1.0,
) -> RunningSession:
    """A stored session once more, through the same chain.

    Raises:
        NoSuchRecord: no such session.
    """
    from benchmeter.links.ports.recorded import RecordedSource

    summary = store.session(session_id)
    source = RecordedSource(tuple(store.inputs(summary.id)), pace)
    return RunningSession(
        store.setup(summary.id), source, publish, session_id=summary.id, replay=source
    )


def _recorded(
    store: Store,
    setup: BenchSetup,
    source: Source,
    publish: Publish,
    name: str,
    hands: Hands | None = None,
) -> RunningSession:
    session: list[RunningSession] = []
    recorder = store.begin(
        setup,
        name=name,
        started=datetime.now(UTC),
        zone=tzlocal.get_localzone_name(),
        on_trouble=lambda error: session[0].store_trouble(error) if session else None,
    )
    made = RunningSession(
        setup,
        source,
        publish,
        session_id=recorder.session_id,
        recorder=recorder,
        hands=hands,
    )
    session.append(made)
    return made
