"""What the window asks of the rooms below. Everything here may wait: never on the GUI thread.

The heavy rooms are imported inside, so that the first window does not wait for them.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from benchmeter.errors import WorldError
from benchmeter.files.folders import Folders
from benchmeter.files.resources import STANDARD_SCENARIO

if TYPE_CHECKING:
    from benchmeter.conformity.reference_part import ReferencePart
    from benchmeter.links.instruments.discovery import PortFound
    from benchmeter.links.instruments.profile import Profile
    from benchmeter.parts.part_kind import PartKind
    from benchmeter.record.store import Store
    from benchmeter.reports.label_stock import LabelStock
    from benchmeter.reports.meter_record import MeterRecord
    from benchmeter.session.outcome import Outcome
    from benchmeter.tasks.replacing import StockFound
    from benchmeter.tasks.running import RunningSession
    from benchmeter.tasks.writing import Writing

__all__ = ["LinksFound", "MeterFound", "PartKindsFound", "Services", "Story"]

Publish = Callable[["Outcome"], None]


@dataclass(frozen=True, slots=True)
class LinksFound:
    """What could be connected: ports, profiles that may fit them, and profiles that are broken."""

    ports: "tuple[PortFound, ...]"
    profiles: "tuple[Profile, ...]"
    broken: tuple[WorldError, ...] = ()


@dataclass(frozen=True, slots=True)
class PartKindsFound:
    """Kinds of parts, and what is wrong with the files that cannot be used."""

    kinds: "tuple[PartKind, ...]"
    broken: tuple[WorldError, ...] = ()


@dataclass(frozen=True, slots=True)
class MeterFound:
    """The reference parts in the list at `path`, and what they have said about a meter.

    Attributes:
        broken: what is wrong with those that cannot be used.
        record: of the meter; None before its first reading, and where nobody knows which it is.
    """

    path: Path
    parts: "tuple[ReferencePart, ...]" = ()
    broken: tuple[WorldError, ...] = ()
    record: "MeterRecord | None" = None


@dataclass(frozen=True, slots=True)
class Story:
    """A scenario of the simulated bench, for choosing."""

    scenario: str
    title: str


class Services:
    """The ways into the rooms below, for one data folder. Runs on the worker."""

    def __init__(self, folders: Folders) -> None:
        self.folders = folders

    def open_store(self) -> "Store":
        from benchmeter.record.store import Store

        self.folders.make()
        return Store.open(self.folders, write=True)

    def open_live(
        self, store: "Store", addresses: Sequence[str], publish: Publish
    ) -> "RunningSession":
        from benchmeter.tasks.opening import open_live

        return open_live(self.folders, store, addresses, publish)

    def open_simulated(self, store: "Store", scenario: str, publish: Publish) -> "RunningSession":
        from benchmeter.tasks.opening import open_simulated

        return open_simulated(self.folders, store, scenario, publish)

    def open_replay(self, store: "Store", session_id: str, publish: Publish) -> "RunningSession":
        from benchmeter.tasks.opening import open_replay

        return open_replay(self.folders, store, session_id, publish)

    def find_links(self) -> LinksFound:
        from benchmeter.links.instruments.discovery import list_ports
        from benchmeter.links.instruments.profiles import all_profiles

        profiles, broken = all_profiles(self.folders)
        return LinksFound(list_ports(profiles), tuple(profiles), tuple(broken))

    def stories(self) -> tuple[Story, ...]:
        """What the simulated bench can play, the standard one first."""
        from benchmeter.simulator.scenario import load_scenario, scenarios

        found = [Story(name, load_scenario(name, self.folders).title) for name in scenarios()]
        return tuple(sorted(found, key=lambda s: (s.scenario != STANDARD_SCENARIO, s.title)))

    def part_kinds(self) -> "PartKindsFound":
        from benchmeter.parts.catalogue import all_part_kinds

        return PartKindsFound(*all_part_kinds(self.folders))

    def stock(self) -> "StockFound":
        from benchmeter.tasks.replacing import find_stock

        return find_stock(self.folders)

    def make_example_stock(self) -> "StockFound":
        """Write a first stock list, unless there is one, and read it."""
        from benchmeter.tasks.replacing import begin_stock

        return begin_stock(self.folders)

    def meter(self, store: "Store", session_id: str, channel: str) -> MeterFound:
        """The reference parts, and the history of the meter that a channel of a session is."""
        from benchmeter.checking.reference_parts import all_reference_parts
        from benchmeter.reports.meter_record import meter_record_of

        record = meter_record_of(store, session_id, channel) if channel else None
        return MeterFound(
            self.folders.reference_parts, *all_reference_parts(self.folders), record=record
        )

    def add_reference_part(
        self,
        *,
        name: str,
        value: str,
        uncertainty: str,
        valued_on: date,
        valued_by: str,
        due: date | None,
    ) -> "ReferencePart | WorldError":
        """Write one more reference part; what is wrong with it comes back, for the form."""
        from benchmeter.checking.reference_parts import add_reference_part

        try:
            return add_reference_part(
                self.folders,
                name=name,
                value=value,
                uncertainty=uncertainty,
                valued_on=valued_on,
                valued_by=valued_by,
                due=due,
            )
        except WorldError as fault:
            return fault

    def label_stocks(self) -> "tuple[LabelStock, ...]":
        from benchmeter.reports.label_stock import shipped_stock

        return tuple(shipped_stock())

    def write(self, task: "Writing") -> None:
        """Write a report or tags beside the window.

        Raises:
            WorldError: they cannot be written.
        """
        from benchmeter.window.writer import write_beside

        write_beside(self.folders, task)

    def warm_up(self) -> None:
        """Do once what is slow the first time, so that no session waits for it.

        Imports, the first fit of a curve and the first numbers written each take longer than a
        frame, and hold the interpreter's lock meanwhile.
        """
        import math
        from decimal import Decimal

        import benchmeter.links.instruments.linking
        import benchmeter.simulator.virtual_bench
        import benchmeter.tasks.opening
        import benchmeter.words.events
        import benchmeter.words.recovery
        import benchmeter.words.verdicts  # noqa: F401
        from benchmeter.cooling.step_fit import fit_step
        from benchmeter.quantities.quantity import Quantity
        from benchmeter.quantities.units import UNITS
        from benchmeter.readings.reading import Indication, Reading, Status
        from benchmeter.words.presentation import PLAIN
        from benchmeter.words.shown_reading import reading_text
        from benchmeter.words.temperatures import difference_text, temperature_text

        times = [float(second) for second in range(60)]
        fit_step(times, [295.0 + 10.0 * (1 - math.exp(-t / 15.0)) for t in times])
        temperature_text(300.0, PLAIN, uncertainty_k=0.2)
        difference_text(10.0, PLAIN)
        shown = Indication(
            "", None, Decimal(40), UNITS["µF"], Status.OK, Decimal("0.01"), "40.00 µF"
        )
        reading_text(Reading("capacitor", 0, shown), Quantity.CAPACITANCE, PLAIN)
