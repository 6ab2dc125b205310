"""Parts on the bench as they really are, whatever their labels say."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

__all__ = ["Part", "Truth"]


@dataclass(frozen=True, slots=True)
class Truth:
    """What is between two terminals; where nothing is given, nothing is connected.

    Attributes:
        capacitance_f: of a capacitor, farad.
        open, shorted: nothing else matters then.
        ohm: resistance; of a capacitor the one in parallel, of a source the one inside.
        volts_ac, volts_dc: of a live circuit, or of a thermocouple.
        amps_ac: that flow through, for a clamp.
        stored_v: charge left on a capacitor, DC volts at the start.
    """

    capacitance_f: float = 0.0
    open: bool = False
    shorted: bool = False
    ohm: float = math.inf
    volts_ac: float = 0.0
    volts_dc: float = 0.0
    amps_ac: float = 0.0
    stored_v: float = 0.0


@dataclass(frozen=True, slots=True)
class Part:
    """A part on the bench.

    Attributes:
        name: its own.
        label: text of its label, or what its data sheet gives.
        truths: by the places where leads can go: sections or measurements.
        kind: name of the part's kind; "" for a capacitor by its label.
        titles: of places, for people; where there is none the name is shown.
        same: place -> the place that has the same two terminals.
        celsius: temperature of the part; None: of the room.
    """

    name: str
    label: str
    truths: Mapping[str, Truth]
    kind: str = ""
    titles: Mapping[str, str] = field(default_factory=dict)
    same: Mapping[str, str] = field(default_factory=dict)
    celsius: float | None = None
