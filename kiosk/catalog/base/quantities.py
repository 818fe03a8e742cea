"""Temperatures, times and lengths as a person writes them: a number with its unit."""

import re
from enum import Enum, IntEnum
from fractions import Fraction
from typing import TypeVar

from kiosk.catalog.base.frozen import dataclass
from kiosk.catalog.base.notes import Message, say


class Degrees(Enum):
    """The two scales a press can show."""

    F = "F"
    C = "C"


Number = TypeVar("Number", float, Fraction)
FAHRENHEIT_PER_KELVIN = Fraction(9, 5)


def converted(value: Number, unit: Degrees, to: Degrees) -> Number:
    """Return a temperature on the scale `to` (°C = (°F - 32)/1.8, SI definition)."""
    if unit is to:
        return value
    if to is Degrees.F:
        return value * FAHRENHEIT_PER_KELVIN + 32
    return (value - 32) / FAHRENHEIT_PER_KELVIN


def step_converted(value: Number, unit: Degrees, to: Degrees) -> Number:
    """Return a temperature difference on the scale `to`: the zero point is not moved."""
    if unit is to:
        return value
    return value * FAHRENHEIT_PER_KELVIN if to is Degrees.F else value / FAHRENHEIT_PER_KELVIN


def degrees(celsius: float, unit: Degrees) -> int:
    """Return a temperature in °C as whole degrees of `unit`."""
    return round(converted(celsius, Degrees.C, unit))


@dataclass(frozen=True, slots=True)
class Temperature:
    """An exact temperature in the unit it was written in; `text` is as written."""

    value: Fraction
    unit: Degrees
    text: str

    def exact_in(self, unit: Degrees) -> Fraction:
        """Return the same temperature on the scale `unit`."""
        return converted(self.value, self.unit, unit)

    def whole_in(self, unit: Degrees) -> int:
        """Return the nearest whole degree on the scale `unit`; a half goes up."""
        return nearest(self.exact_in(unit))


@dataclass(frozen=True, slots=True)
class TemperatureStep:
    """A temperature difference (a tolerance): converting it does not move the zero point."""

    value: Fraction
    unit: Degrees
    text: str

    def exact_in(self, unit: Degrees) -> Fraction:
        """Return the same difference on the scale `unit` (10 °F is 50/9 °C)."""
        return step_converted(self.value, self.unit, unit)

    def whole_in(self, unit: Degrees) -> int:
        """Return the difference in whole degrees of the scale `unit`; a half goes up."""
        return nearest(self.exact_in(unit))


@dataclass(frozen=True, slots=True)
class Seconds:
    """An exact time in seconds; `text` is as written."""

    value: Fraction
    text: str

    @property
    def whole(self) -> int:
        """The nearest whole second; a half goes up."""
        return nearest(self.value)


@dataclass(frozen=True, slots=True)
class Length:
    """An exact length in inches (1 in = 25.4 mm); `text` is as written."""

    inches: Fraction
    text: str


def nearest(value: Fraction) -> int:
    """Return the whole number nearest to `value`; a half goes up."""
    return (2 * value.numerator + value.denominator) // (2 * value.denominator)


def fahrenheit_step(change: int, unit: Degrees) -> int:
    """Return a temperature difference, in whole degrees of `unit`, in whole °F."""
    return nearest(step_converted(Fraction(change), unit, Degrees.F))


HOTTEST_F = 450
"""No heat press for garments goes hotter (232 °C): common practice, no source."""
COLDEST_SETTING_F = 175
"""Nothing is pressed colder (79.4 °C): common practice, no source."""
LONGEST_SECONDS = 3600
LONGEST_HOURS = 24
IN_SECONDS = {"s": 1, "min": 60, "h": 3600}
LONGEST_INCHES = 100
WIDEST_STEP_F = 100
MM_PER_INCH = Fraction(254, 10)  # SI definition of the inch
LIKE = {
    "mm": say("catalog.like.thickness"),
    "W/mK": say("catalog.like.conductivity"),
    "g/m2": say("catalog.like.weight"),
    "J/kgK": say("catalog.like.capacity"),
    "%": say("catalog.like.share"),
}

# A comma before three digits may separate thousands, so such a number is refused.
_NUMBER = r"-?[0-9]{1,6}(?:\.[0-9]{1,6}|,(?![0-9]{3}(?![0-9]))[0-9]{1,6})?"
_AMOUNT = re.compile(rf"(?P<number>{_NUMBER})\s*(?P<unit>[^\s0-9.,:].*)?")


class WrongAmountError(ValueError):
    """The text is not a quantity of the expected kind; `problem` says why.

    `nearest` is what may be meant, empty if nothing is near.
    """

    def __init__(self, problem: Message, allowed: str | Message, nearest: str = "") -> None:
        super().__init__(problem.id)
        self.problem = problem
        self.allowed = allowed
        self.nearest = nearest


def temperature(text: str) -> Temperature:
    """Return the temperature `300 F` or `149 C`, from 0 on its own scale to HOTTEST_F.

    Raises WrongAmountError, as all readers of this file do.
    """
    found = _temperature(text)
    if found.value < 0 or found.exact_in(Degrees.F) > HOTTEST_F:
        raise _beyond(found, "catalog.amount.hotter", say("catalog.range.temperature"))
    return found


def setting(text: str) -> Temperature:
    """Return a pressing temperature, COLDEST_SETTING_F to HOTTEST_F."""
    found = _temperature(text)
    fahrenheit = found.exact_in(Degrees.F)
    if not COLDEST_SETTING_F <= fahrenheit <= HOTTEST_F:
        colder = fahrenheit < COLDEST_SETTING_F
        problem = "catalog.amount.colder" if colder else "catalog.amount.hotter"
        raise _beyond(found, problem, say("catalog.range.setting"))
    return found


def _temperature(text: str) -> Temperature:
    number, unit = _degrees(text)
    return Temperature(number, unit, text.strip())


def _beyond(found: Temperature, problem: str, allowed: Message) -> WrongAmountError:
    """Return the fault of a temperature out of range; it suggests the other scale if that fits."""
    unit = Degrees.F if found.unit is Degrees.C else Degrees.C
    other = Temperature(found.value, unit, f"{float(found.value):g} {unit.value}")
    if not COLDEST_SETTING_F <= other.exact_in(Degrees.F) <= HOTTEST_F:
        return WrongAmountError(say("catalog.amount.range"), allowed)
    same = f"{other.whole_in(found.unit)} {found.unit.value}"
    return WrongAmountError(say(problem, meant=other.text, same=same), "", other.text)


def step(text: str) -> TemperatureStep:
    """Return the temperature difference `5 F` or `3 C`, 0 to WIDEST_STEP_F."""
    number, unit = _degrees(text)
    found = TemperatureStep(number, unit, text.strip())
    if number < 0 or found.exact_in(Degrees.F) > WIDEST_STEP_F:
        raise WrongAmountError(say("catalog.amount.range"), say("catalog.range.step"))
    return found


def seconds(text: str) -> Seconds:
    """Return the time `15 s`, 0 to LONGEST_SECONDS."""
    number, _ = _split(text, ("s",), say("catalog.like.seconds"))
    if not 0 <= number <= LONGEST_SECONDS:
        raise WrongAmountError(say("catalog.amount.range"), say("catalog.range.seconds"))
    return Seconds(number, text.strip())


def some_seconds(text: str) -> Seconds:
    """Return a time of at least 1 s: settings are solved in whole seconds."""
    found = seconds(text)
    if found.value < 1:
        raise WrongAmountError(say("catalog.amount.range"), say("catalog.range.some_seconds"))
    return found


def duration(text: str) -> Seconds:
    """Return the time `4 h`, `30 min` or `90 s`, more than 0 to LONGEST_HOURS."""
    number, unit = _split(text, tuple(IN_SECONDS), say("catalog.like.duration"))
    if not 0 < number * IN_SECONDS[unit] <= LONGEST_HOURS * 3600:
        raise WrongAmountError(say("catalog.amount.range"), say("catalog.range.duration"))
    return Seconds(number * IN_SECONDS[unit], text.strip())


def length(text: str) -> Length:
    """Return the length `2.5 in` or `63 mm`, over 0 to LONGEST_INCHES."""
    number, unit = _split(text, ("in", "mm"), say("catalog.like.length"))
    inches = number if unit == "in" else number / MM_PER_INCH
    if not 0 < inches <= LONGEST_INCHES:
        raise WrongAmountError(say("catalog.amount.range"), say("catalog.range.length"))
    return Length(inches, text.strip())


def rectangle(text: str) -> tuple[Length, Length]:
    """Return the width and height of `16 in x 20 in`."""
    sides = re.split(r"\s+[x×]\s+", text.strip())
    if len(sides) != 2:
        raise WrongAmountError(say("catalog.amount.no_rectangle"), say("catalog.like.rectangle"))
    return length(sides[0]), length(sides[1])


def amount(text: str, unit: str, lowest: float, highest: float) -> float:
    """Return a number in `unit`, `lowest` to `highest`, as in `0.19 W/mK` or `20 %`."""
    number, _ = _split(text, (unit,), LIKE[unit])
    if not lowest <= number <= highest:
        allowed = f"{lowest:g}–{highest:g} {unit}"
        raise WrongAmountError(say("catalog.amount.range"), allowed)
    return float(number)


def decimal(text: str) -> Fraction | None:
    """Return a typed number, `2.5` or `2,5`, or None if it is not one or may be thousands."""
    written = text.strip()
    return Fraction(written.replace(",", ".")) if re.fullmatch(_NUMBER, written) else None


def _degrees(text: str) -> tuple[Fraction, Degrees]:
    number, unit = _split(text, ("F", "C", "°F", "°C", "f", "c"), say("catalog.like.temperature"))
    return number, Degrees(unit[-1].upper())


def _split(text: str, units: tuple[str, ...], allowed: Message) -> tuple[Fraction, str]:
    parts = _AMOUNT.fullmatch(text.strip())
    if parts is None:
        raise WrongAmountError(say("catalog.amount.no_number"), allowed)
    unit = parts["unit"]
    if unit is None:
        raise WrongAmountError(say("catalog.amount.no_unit"), allowed)
    if unit not in units:
        raise WrongAmountError(say("catalog.amount.wrong_unit", unit=f'"{unit[:20]}"'), allowed)
    return Fraction(parts["number"].replace(",", ".")), unit


class Pressure(IntEnum):
    """Pressure words, light to firm: a scale of steps without a unit."""

    LIGHT = 0
    LIGHT_MEDIUM = 1
    MEDIUM = 2
    MEDIUM_FIRM = 3
    FIRM = 4

    @property
    def word(self) -> str:
        """The word as written in files: `medium-firm`."""
        return self.name.lower().replace("_", "-")
