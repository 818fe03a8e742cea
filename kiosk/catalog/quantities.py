"""Temperatures, times and lengths as a person writes them: a number with its unit."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction


class Degrees(Enum):
    """The two scales a press can show."""

    F = "F"
    C = "C"


@dataclass(frozen=True, slots=True)
class Temperature:
    """A temperature, exact, in the unit it was written in; `text` is the writing itself."""

    value: Fraction
    unit: Degrees
    text: str

    def exact_in(self, unit: Degrees) -> Fraction:
        """Return the same temperature on the scale `unit` (°C = (°F - 32)/1.8, SI definition)."""
        if unit is self.unit:
            return self.value
        if unit is Degrees.F:
            return self.value * Fraction(9, 5) + 32
        return (self.value - 32) * Fraction(5, 9)

    def whole_in(self, unit: Degrees) -> int:
        """Return the nearest whole degree on the scale `unit`; a half goes up."""
        return nearest(self.exact_in(unit))


@dataclass(frozen=True, slots=True)
class TemperatureStep:
    """A difference of temperatures (a tolerance): no zero point is moved in a conversion."""

    value: Fraction
    unit: Degrees
    text: str

    def exact_in(self, unit: Degrees) -> Fraction:
        """Return the same difference on the scale `unit` (10 °F is 50/9 °C)."""
        if unit is self.unit:
            return self.value
        return self.value * (Fraction(9, 5) if unit is Degrees.F else Fraction(5, 9))

    def whole_in(self, unit: Degrees) -> int:
        """Return the nearest whole difference on the scale `unit`; a half goes up."""
        return nearest(self.exact_in(unit))


@dataclass(frozen=True, slots=True)
class Seconds:
    """A time in seconds, exact; `text` is the writing itself."""

    value: Fraction
    text: str

    @property
    def whole(self) -> int:
        """The nearest whole second; a half goes up."""
        return nearest(self.value)


@dataclass(frozen=True, slots=True)
class Length:
    """A length in inches, exact (1 in = 25.4 mm); `text` is the writing itself."""

    inches: Fraction
    text: str


def nearest(value: Fraction) -> int:
    """Return the whole number nearest to `value`; a half goes up."""
    return (value + Fraction(1, 2)).__floor__()
