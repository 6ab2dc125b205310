"""The person's scale of temperature, for whole arrays."""

from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from benchmeter.quantities.temperature import ZERO_CELSIUS_K
from benchmeter.words.presentation import Presentation
from benchmeter.words.temperatures import temperature_text

__all__ = ["Scale"]

_T = TypeVar("_T", float, NDArray[np.float64])


@dataclass(frozen=True, slots=True)
class Scale:
    """`unit`: "°C" or "°F"."""

    unit: str = "°F"

    def __post_init__(self) -> None:
        if self.unit not in ("°C", "°F"):
            raise ValueError(f"a temperature is shown in °C or °F, not in {self.unit}")

    def degrees(self, kelvin: _T) -> _T:
        """Kelvin as degrees of this scale; exact enough for a picture, not for a text."""
        celsius = kelvin - ZERO_CELSIUS_K
        return celsius * 1.8 + 32 if self.unit == "°F" else celsius

    def text(self, kelvin: float, presentation: Presentation) -> str:
        """With one decimal: a plot shows no more."""
        own = replace(presentation, temperature_unit=self.unit)
        return temperature_text(kelvin, own, decimals=1)
