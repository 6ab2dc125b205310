"""What the window asks of the rooms below. Everything here may wait: never on the GUI thread.

The heavy rooms are imported inside, so that the first window does not wait for them.
"""

from collections.abc import Callable, Sequence
from datetime import date
from typing import TYPE_CHECKING

from benchmeter.errors import WorldError
from benchmeter.files.folders import Folders

if TYPE_CHECKING:
    from benchmeter.conformity.reference_part import ReferencePart
    from benchmeter.record.store import Store
    from benchmeter.reports.label_stock import LabelStock
    from benchmeter.session.outcome import Outcome
    from benchmeter.tasks.choices import LinksFound, PartKindsFound, Story
    from benchmeter.tasks.known_parts import MeterFound
    from benchmeter.tasks.replacing import StockFound
    from benchmeter.tasks.running import RunningSession
    from benchmeter.tasks.writing import Writing

__all__ = ["Services"]

Publish = Callable[["Outcome"], None]


class Services:
    """The ways into the rooms below, for one data folder. Runs on the worker."""

    def __init__(self, folders: Folders) -> None:
        self.folders = folders

    def open_store(self) -> "Store":
        from benchmeter.record.store import Store

        return Store.open_or_view(self.folders)

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

    def find_links(self) -> "LinksFound":
        from benchmeter.tasks.choices import find_links

        return find_links(self.folders)

    def stories(self) -> "tuple[Story, ...]":
        from benchmeter.tasks.choices import find_stories

        return find_stories(self.folders)

    def part_kinds(self) -> "PartKindsFound":
        from benchmeter.tasks.choices import find_kinds

        return find_kinds(self.folders)

    def stock(self) -> "StockFound":
        from benchmeter.tasks.replacing import find_stock

        return find_stock(self.folders)

    def make_example_stock(self) -> "StockFound":
        """Write a first stock list, unless there is one, and read it."""
        from benchmeter.tasks.replacing import begin_stock

        return begin_stock(self.folders)

    def meter(self, store: "Store", session_id: str, channel: str) -> "MeterFound":
        """The reference parts, and the history of the meter that a channel of a session is."""
        from benchmeter.tasks.known_parts import find_meter

        return find_meter(self.folders, store, session_id, channel)

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
        import benchmeter.words.event_words
        import benchmeter.words.recovery_words
        import benchmeter.words.verdicts  # noqa: F401
        from benchmeter.cooling.step_fit import fit_step
        from benchmeter.quantities.quantity import Quantity
        from benchmeter.quantities.units import UNITS
        from benchmeter.readings.reading import Indication, Reading
        from benchmeter.readings.status import Status
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
