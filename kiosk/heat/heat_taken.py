"""The heat that cloth and bond take: time above a limit, equivalent heat, a tack's bond.

For comparing recipes: nothing here ever changes a dwell. No press was measured, so the wider figure
for an estimate's error is used everywhere. Temperatures: 5 K at the bond, 6 to 10 K for a tack of 2
s. Times: 15 to 20 % for a garment off the platen, 25 to 30 % on the pad. The difference of two
estimates is taken to be off by the pad's share. The activation energy is an assumption, of the size
known for dye migration in polyester; so is its range.
"""

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from itertools import pairwise
from math import exp, floor, log
from typing import NamedTuple

from kiosk.catalog.base import Degrees, Message, Value, dataclass, degrees, say, step_converted
from kiosk.heat.curve import Curve, Reading, SolvedCurves, bond, cloth, solve
from kiosk.heat.garment import PRESS_LAYERS, Act, Setup, idle, story
from kiosk.heat.solver import Sample
from kiosk.heat.stack import ZERO_CELSIUS, Plate, Temperatures

BOND_KELVIN = 5.0
TACK_KELVIN = 10.0
PAD_SHARE = 0.30
ACTIVATION_ENERGY = 100_000.0  # J/mol
ACTIVATION_RANGE = (80_000.0, 120_000.0)  # J/mol


class EstimateRange(NamedTuple):
    """The range that an estimate is shown with."""

    low: float
    high: float


def around(value: float, off: float) -> EstimateRange:
    """Return the range of a value that may be off by `off`."""
    return EstimateRange(value - off, value + off)


def share_around(value: float) -> EstimateRange:
    """Return the range of a positive value that may be off by the pad's share of it."""
    return EstimateRange(value * (1 - PAD_SHARE), value * (1 + PAD_SHARE))


GAS_CONSTANT = 8.314462618  # J/molK, exact by the SI's constants
COUNTED_ABOVE = 120.0  # °C at the cloth
COLD_PAD_KELVIN = 2.0  # a bond this much cooler is worth closing the empty press for
LEVEL_KELVIN = 2.0  # bonds this close count as level
WARMING_SECONDS = (20, 30)
LONGEST_MORE = 6.0  # s: no tack is lengthened further


@dataclass(frozen=True, slots=True)
class Arrhenius:
    """How heat's effect is weighed, by assumption: J/mol, and the °C at which a second is one."""

    activation_energy: float = ACTIVATION_ENERGY
    reference: float = 149.0

    def rate(self, celsius: float) -> float:
        """Return the effect of a second at `celsius` in seconds at the reference."""
        difference = 1 / (celsius + ZERO_CELSIUS) - 1 / (self.reference + ZERO_CELSIUS)
        return exp(-self.activation_energy / GAS_CONSTANT * difference)


ARRHENIUS = Arrhenius()


@dataclass(frozen=True, slots=True)
class HeatTaken:
    """The cloth's seconds above 120 °C, and its equivalent seconds at the reference.

    Each has its range: for temperatures off by 5 K, and for the assumed activation energies.
    """

    seconds_above: float
    equivalent_seconds: float
    highest: float | None
    seconds_between: EstimateRange
    equivalent_between: EstimateRange


def heat_taken(solved: SolvedCurves, arrhenius: Arrhenius = ARRHENIUS) -> HeatTaken:
    """Return the heat that the cloth's top face takes in a whole history."""
    whole = solved.whole
    above = [whole.seconds_above(cloth, COUNTED_ABOVE + off) for off in (BOND_KELVIN, -BOND_KELVIN)]
    return HeatTaken(
        whole.seconds_above(cloth, COUNTED_ABOVE),
        equivalent_seconds(whole, cloth, arrhenius),
        whole.highest(cloth),
        EstimateRange(above[0], above[1]),
        equivalent_between(whole, arrhenius),
    )


def equivalent_between(whole: Curve, arrhenius: Arrhenius) -> EstimateRange:
    """Return the range for temperatures that are off and for the assumed energies."""
    found = [
        equivalent_seconds(whole, partial(_warmer, off), replace(arrhenius, activation_energy=e))
        for off in (-BOND_KELVIN, BOND_KELVIN)
        for e in (*ACTIVATION_RANGE, arrhenius.activation_energy)
    ]
    return EstimateRange(min(found), max(found))


def _warmer(kelvin: float, sample: Sample) -> float | None:
    celsius = cloth(sample)
    return None if celsius is None else celsius + kelvin


def equivalent_seconds(curve: Curve, reading: Reading, arrhenius: Arrhenius) -> float:
    """Return the integral of the rate, whose logarithm is linear between samples."""
    total = 0.0
    for first, second in pairwise(curve.samples):
        a, b = reading(first), reading(second)
        if a is not None and b is not None:
            mean = _log_mean(arrhenius.rate(a), arrhenius.rate(b))
            total += mean * (second.time - first.time)
    return total


def _log_mean(a: float, b: float) -> float:
    return (a + b) / 2 if abs(a - b) < 1e-6 * a else (a - b) / log(a / b)


def tack_under_sheet(
    setup: Setup, tack: Act, tack_high_seconds: float, unit: Degrees = Degrees.C
) -> Message | None:
    """Return advice on a tack under the sheet: its bond, and how much longer equals a bare tack.

    All have ranges: `bond` and `bare` in `unit` with their possible error, and `more` in seconds
    from the least to the most.

    `tack` is the act with the sheet on; more seconds never exceed the tack's own high. None if the
    tack has no sheet or lags by less than 2 K. It is only advice: the planned dwell is not changed.
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
        bond=degrees(now, unit),
        bare=degrees(goal, unit),
        unit=unit.value,
        more=more,
        **_range_values("bond", around(now, TACK_KELVIN), unit),
        **_range_values("bare", around(goal, TACK_KELVIN), unit),
        more_low=_half(share_around(more).low),
        more_high=min(max(_half(share_around(more).high), more), allowed),
    )


def _range_values(name: str, between: EstimateRange, unit: Degrees) -> dict[str, Value]:
    low, high = (degrees(each, unit) for each in between)
    return {f"{name}_low": low, f"{name}_high": high}


def _half(seconds: float) -> float:
    return round(2 * seconds) / 2


def cold_pad(
    setup: Setup, acts: Sequence[Act], start: Temperatures | None = None, unit: Degrees = Degrees.C
) -> Message | None:
    """Return advice to close the empty press 20–30 s, or None if that warms the bond by under 2 K.

    `acts` are the next garment's, `start` the pad and lower platen as they are now.
    """
    now = start or {}
    seconds = sum(WARMING_SECONDS) / 2
    warmed = solve(story(setup, (idle(seconds, closed=True),)), now).end
    highest = [
        _bond_when_closed(solve(story(setup, acts), pad)) for pad in (now, press_layers(warmed))
    ]
    if None in highest or (gain := (highest[1] or 0) - (highest[0] or 0)) < COLD_PAD_KELVIN:
        return None
    first, last = WARMING_SECONDS
    low, high = (round(step_converted(k, Degrees.C, unit)) for k in share_around(gain))
    values: dict[str, Value] = {"from": first, "to": last, "low": low, "high": high}
    return say("heat.pad.cold", **values, step=f"°{unit.value}")


def _bond_when_closed(solved: SolvedCurves) -> float | None:
    closed = [c.highest(bond) for stage, c in solved.stages if isinstance(stage.top, Plate)]
    return max((t for t in closed if t is not None), default=None)


def press_layers(end: Temperatures) -> Temperatures:
    """Return the layers that stay in the press for the next garment: pad and lower platen."""
    return {name: end[name] for name in PRESS_LAYERS if name in end}
