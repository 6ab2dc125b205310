"""Hands that lift, slip, touch again and swap, at parts whose sections read alike.

The windings of a three-phase motor: what they read does not tell one from another. A clip that
slips comes back within 0.4 s; leads that were in the air longer are where the person meant to put
them. Somebody who lifts the leads and puts them back on the same terminals deceives every rule.
"""

from collections import Counter
from dataclasses import dataclass, field, replace
from random import Random

from benchmeter.files.resources import resource
from benchmeter.links.instruments.setup import EvidenceKind
from benchmeter.parts.kind_catalogue import read_part_kind
from tests.zoo.bench import Bench
from tests.zoo.meters import ZOO, Meter, Touch, frames

__all__ = ["METERS", "Handled", "handled"]

_MOTOR = read_part_kind(resource("parts") / "motor-three-phase.toml")
_WINDINGS = ("T1-T2", "T2-T3", "T1-T3")
_SLIP_S = (0.02, 0.4)
_PATIENCE_S = 20.0

METERS = tuple(
    replace(meter, unit="ohm", open="OL ohm", step=lambda ohm: 0.01)
    for meter in ZOO
    if not (meter.creeps_to or meter.ranging or "soak" in meter.name or "input" in meter.name)
)

_Place = tuple[int, str] | None
"""Part and terminals; None: in the air."""


@dataclass
class Handled:
    """What came of the movements of somebody with that meter.

    Attributes:
        taken: sections that were taken by themselves.
        wrong: of them, those for which the leads were on something else.
    """

    meter: Meter
    movements: Counter[str] = field(default_factory=Counter)
    taken: int = 0
    wrong: int = 0


class _Person:
    """Moves the leads, and knows where they are."""

    def __init__(self, bench: Bench, chance: Random, found: Handled) -> None:
        self.touches = [Touch(0.0, None)]
        self._places: list[tuple[float, _Place]] = [(0.0, None)]
        self._bench, self._chance, self._found = bench, chance, found
        self._part = 0
        self._ohms: dict[str, float] = {}
        self._busy_s = self._moved_s = 0.0

    def acts(self, now_s: float) -> None:
        """Whatever is to be done now."""
        if now_s < self._busy_s:
            return
        chance = self._chance
        if self._part == 0 or self._bench.check.expected not in _WINDINGS:
            if chance.random() < 0.5:
                self._lift(now_s)
            self._next_part()
            return
        wanted = (self._part, self._bench.check.expected)
        if self._places[-1][1] == wanted:
            if chance.random() < 0.01:
                self._slip(now_s)
            elif now_s - self._moved_s > _PATIENCE_S:
                self._lift(now_s)
        elif self._places[-1][1] is None:
            self._touch(now_s, wanted)
        else:
            move = chance.choice((self._lift, self._lift, self._slip, self._swap))
            move(now_s)

    def was_on(self, now_s: float, section: str) -> bool:
        """Whether what is shown was measured where this section is.

        A display shows a conversion that ended before it: the leads may have been lifted since, but
        in all that time, and for a second at least, they touched nothing else.
        """
        wanted = (self._part, section)
        conversion_s = self._found.meter.conversion_s(self._ohms[section])
        since_s = now_s - max(1.0, conversion_s + _SLIP_S[1])
        before = [place for at_s, place in self._places if at_s <= since_s]
        lately = [place for at_s, place in self._places if since_s < at_s <= now_s]
        return set(before[-1:] + lately) <= {wanted, None} and wanted in before[-1:] + lately

    def _next_part(self) -> None:
        self._part += 1
        ohm = self._chance.uniform(1.0, 40.0)
        self._ohms = {name: ohm * self._chance.uniform(0.97, 1.03) for name in _WINDINGS}
        self._bench.begin("460 V", _MOTOR)
        self._bench.safe()

    def _move(self, at_s: float, place: _Place) -> None:
        value = None if place is None else self._ohms[place[1]]
        self.touches.append(Touch(at_s, value))
        self._places.append((at_s, place))
        self._moved_s = self._busy_s = at_s

    def _lift(self, now_s: float) -> None:
        """Into the air, for as long as it takes with a meter like this; sometimes too short."""
        self._found.movements["lift"] += 1
        self._move(now_s, None)
        conversion_s = self._found.meter.conversion_s(0.0)
        self._busy_s = (
            now_s + self._chance.uniform(0.5, 2.0) + self._chance.uniform(1, 5) * (conversion_s)
        )

    def _touch(self, now_s: float, place: _Place) -> None:
        """On to something; the clip may take hold at the second or third try."""
        for _ in range(self._chance.choice((0, 0, 1, 2))):
            self._found.movements["touch again"] += 1
            self._move(now_s, place)
            self._move(now_s + self._chance.uniform(0.02, 0.3), None)
            now_s = self._busy_s + self._chance.uniform(0.02, 0.3)
        self._move(now_s, place)

    def _slip(self, now_s: float) -> None:
        self._found.movements["slip"] += 1
        held = self.touches[-1].value
        place = self._places[-1][1]
        self._move(now_s, None)
        self.touches.append(Touch(now_s + self._chance.uniform(*_SLIP_S), held))
        self._places.append((self.touches[-1].start_s, place))
        self._busy_s = self.touches[-1].start_s + self._chance.uniform(0.2, 8.0)

    def _swap(self, now_s: float) -> None:
        """Straight on to what is asked for."""
        self._found.movements["swap"] += 1
        self._move(now_s, None)
        self._move(now_s + self._chance.uniform(0.0, 0.2), (self._part, self._wanted()))

    def _wanted(self) -> str:
        expected = self._bench.check.expected
        assert expected is not None
        return expected


def handled(
    meter: Meter, movements: int, evidence: EvidenceKind = EvidenceKind.MEASUREMENTS, seed: int = 0
) -> Handled:
    """As many movements, at one motor after another."""
    chance = Random(f"hands {meter.name} {seed}")
    found, bench = Handled(meter), Bench(evidence)
    person = _Person(bench, chance, found)
    for at_s, text in frames(meter, person.touches, chance):
        for section in bench.line(at_s, text):
            found.taken += 1
            found.wrong += not person.was_on(at_s, section)
        if found.movements.total() >= movements:
            break
        person.acts(at_s)
    return found
