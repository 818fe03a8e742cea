"""What cloth and bond have taken: time above a temperature, equivalent heat, a tack's bond.

For comparing recipes. Nothing here ever changes a dwell.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import exp, floor, log

from kiosk.catalog.message import Message, say
from kiosk.catalog.quantities import Degrees
from kiosk.heat.curve import Curve, Reading, Solved, bond, cloth, solve
from kiosk.heat.garment import KEPT, Act, Setup, story
from kiosk.heat.grid import Temperatures
from kiosk.heat.stack import ZERO_CELSIUS, Plate
from kiosk.heat.usual import idle

GAS_CONSTANT = 8.314462618  # J/molK, exact by the SI's constants
COUNTED_ABOVE = 120.0  # °C at the cloth
COLD_PAD_KELVIN = 2.0  # a bond this much cooler is worth closing the empty press for
LEVEL_KELVIN = 2.0  # bonds this near are level
WARMING_SECONDS = (20, 30)
LONGEST_MORE = 6.0  # no tack is lengthened further in search of level


@dataclass(frozen=True, slots=True)
class Arrhenius:
    """How heat's effect is weighed: J/mol, and the °C at which a second counts one.

    An assumption for comparing recipes, of the size that dye migration in polyester has.
    """

    activation_energy: float = 100_000.0
    reference: float = 149.0

    def rate(self, celsius: float) -> float:
        """Return the effect of a second at `celsius` in seconds at the reference."""
        apart = 1 / (celsius + ZERO_CELSIUS) - 1 / (self.reference + ZERO_CELSIUS)
        return exp(-self.activation_energy / GAS_CONSTANT * apart)


ARRHENIUS = Arrhenius()


@dataclass(frozen=True, slots=True)
class Taken:
    """The cloth's seconds above 120 °C, and its equivalent seconds at the reference."""

    seconds_above: float
    equivalent_seconds: float
    highest: float | None


def taken(solved: Solved, arrhenius: Arrhenius = ARRHENIUS) -> Taken:
    """Return what the cloth's top face takes in a whole history."""
    whole = solved.whole
    return Taken(
        whole.seconds_above(cloth, COUNTED_ABOVE),
        equivalent_seconds(whole, cloth, arrhenius),
        whole.highest(cloth),
    )


def equivalent_seconds(curve: Curve, reading: Reading, arrhenius: Arrhenius) -> float:
    """Return the integral of the rate; between samples its logarithm is a straight line."""
    total = 0.0
    for first, second in pairwise(curve.samples):
        a, b = reading(first), reading(second)
        if a is not None and b is not None:
            mean = _log_mean(arrhenius.rate(a), arrhenius.rate(b))
            total += mean * (second.time - first.time)
    return total


def _log_mean(a: float, b: float) -> float:
    return (a + b) / 2 if abs(a - b) < 1e-6 * a else (a - b) / log(a / b)


def reached(solved: Solved, name: str) -> float | None:
    """Return the highest temperature of the bond in the closed stages called `name`, °C."""
    found = [c.highest(bond) for stage, c in solved.stages if stage.pressed and stage.name == name]
    return max((t for t in found if t is not None), default=None)


def tack_under_sheet(
    setup: Setup, tack: Act, tack_high_seconds: float, unit: Degrees = Degrees.C
) -> Message | None:
    """Say, in `unit`, what a tack with the sheet on reaches and how much longer would level it.

    `tack` is the sheeted act; the seconds more end at the tack's own high. None where the
    tack has no sheet or lags by less than 2 K. Advice: the dwell stays what the sheet says.
    """
    if not tack.sheet:
        return None
    bare = solve(story(setup, (replace(tack, sheet=False),)))
    sheeted = solve(story(setup, (tack, replace(tack, seconds=LONGEST_MORE)))).whole
    goal, now = bare.whole.highest(bond), sheeted.at(tack.seconds)
    if goal is None or now is None or goal - now < LEVEL_KELVIN:
        return None
    level = sheeted.rises_to(goal - LEVEL_KELVIN) or tack.seconds + LONGEST_MORE
    allowed = floor(2 * max(0.0, tack_high_seconds - tack.seconds)) / 2
    more = min(round(2 * (level - tack.seconds)) / 2, allowed)
    return say(
        "heat.tack.sheet" if more > 0 else "heat.tack.sheet.no_longer",
        bond=_shown(now, unit),
        bare=_shown(goal, unit),
        unit=unit.value,
        more=more,
    )


def _shown(celsius: float, unit: Degrees) -> int:
    return round(celsius if unit is Degrees.C else celsius * 1.8 + 32)


def cold_pad(
    setup: Setup,
    acts: Sequence[Act],
    start: Temperatures | None = None,
    unit: Degrees = Degrees.C,
) -> Message | None:
    """Advise closing the empty press 20–30 s where that warms the bond by 2 K or more.

    `acts` are the coming garment's, `start` the pad and lower platen as they are now.
    """
    now = start or {}
    seconds = sum(WARMING_SECONDS) / 2
    warmed = solve(story(setup, (idle(seconds, closed=True),)), now).end
    highest = [_bond_when_closed(solve(story(setup, acts), pad)) for pad in (now, kept(warmed))]
    if None in highest or (gain := (highest[1] or 0) - (highest[0] or 0)) < COLD_PAD_KELVIN:
        return None
    first, last = WARMING_SECONDS
    cooler = round(gain if unit is Degrees.C else gain * 1.8)
    values = {"from": first, "to": last, "cooler": cooler, "unit": unit.value}
    return say("heat.pad.cold", **values)


def _bond_when_closed(solved: Solved) -> float | None:
    closed = [c.highest(bond) for stage, c in solved.stages if isinstance(stage.top, Plate)]
    return max((t for t in closed if t is not None), default=None)


def kept(end: Temperatures) -> Temperatures:
    """Return what stays in the press for the next garment: the pad and the lower platen."""
    return {name: end[name] for name in KEPT if name in end}
