"""How often a meter of the zoo is taken too early, and how often not at all."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import takewhile
from random import Random

from benchmeter.links.instruments.setup import EvidenceKind
from tests.zoo.bench import Bench
from tests.zoo.meters import Meter, Touch, frames

__all__ = ["LABEL", "Settled", "settled"]

LABEL = "45 µF ±6 % 440 V"
_LOW, _HIGH = 42.30, 47.70
_PARTS = 3
_HELD_S = 25.0


@dataclass
class Settled:
    """What came of the parts of one meter.

    Attributes:
        wrong: taken on one side of a limit, and a minute later it shows the other; by at least a
            count: nearer, no reading tells.
        off: taken more than 3 counts and 0.3 % from what it shows a minute later.
        never: not taken, though it has come to rest.
        seconds: until they were taken: "first", of a session; "later" ones; "near", those that come
            within 15 counts of a limit.
    """

    meter: Meter
    parts: int = 0
    wrong: int = 0
    off: int = 0
    never: int = 0
    seconds: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))


def settled(
    meter: Meter, sessions: int, evidence: EvidenceKind = EvidenceKind.MEASUREMENTS, seed: int = 0
) -> Settled:
    """Sessions with three parts each, half of them near a limit."""
    found = Settled(meter)
    for number in range(sessions):
        chance = Random(f"{meter.name} {seed} {number}")
        for place, (later, taken, after_s) in enumerate(_session(meter, evidence, chance)):
            found.parts += 1
            count = meter.step(later)
            if taken is None:
                found.never += meter.rests_in(_HELD_S - 12)
                continue
            apart = min(abs(later - limit) for limit in (_LOW, _HIGH)) / count
            found.seconds["near" if apart < 16 else "later" if place else "first"].append(after_s)
            found.wrong += apart >= 1.5 and _inside(taken) != _inside(later)
            found.off += abs(taken - later) > max(3.5 * count, 0.0035 * later)
    return found


def _inside(value: float) -> bool:
    return _LOW - 1e-9 <= value <= _HIGH + 1e-9


def _session(
    meter: Meter, evidence: EvidenceKind, chance: Random
) -> Iterator[tuple[float, float | None, float]]:
    """Each part: what it shows a minute later, what was taken, after how many seconds."""
    touches, parts, now_s = [Touch(0.0, None)], [], 0.0
    for _ in range(_PARTS):
        now_s += chance.uniform(5.0, 6.0) + 3 * meter.conversion_s(0.0)
        value = _truth(chance) - meter.creeps_to * 0.01
        touches += [Touch(now_s, value), Touch(now_s + _HELD_S, None)]
        parts.append((now_s, value))
        now_s += _HELD_S
    bench, at = Bench(evidence), 0
    bench.begin(LABEL)
    taken: list[tuple[float, float] | None] = [None] * _PARTS
    for at_s, text in takewhile(lambda line: line[0] < now_s, frames(meter, touches, chance)):
        if at + 1 < _PARTS and at_s > parts[at + 1][0] - 4.5 - 3 * meter.conversion_s(0.0):
            at += 1
            bench.begin(LABEL)
        for one in bench.line(at_s, text).values():
            if one.verdict.reading_si is not None:
                taken[at] = (float(one.verdict.reading_si) * 1e6, at_s)
    for (start_s, value), one in zip(parts, taken, strict=True):
        shown, when_s = one or (None, 0.0)
        after_s = when_s - start_s
        yield meter.shows(value, (_HELD_S if one is None else after_s) + 60.0), shown, after_s


def _truth(chance: Random) -> float:
    """What is shown in the end."""
    if chance.random() < 0.5:
        return chance.uniform(41.0, 49.0)
    return chance.choice((_LOW, _HIGH)) + chance.uniform(-0.15, 0.15)
