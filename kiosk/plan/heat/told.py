"""What a pass does with heat, told before it is pressed: for comparing, never for changing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, floor

from kiosk.catalog.base import Degrees, Message, Value, say
from kiosk.catalog.model import Peel
from kiosk.heat.curve import Solved, bond
from kiosk.heat.garment import Where
from kiosk.heat.honest import ACTIVATION_RANGE, BOND_KELVIN, TACK_KELVIN, Between, around
from kiosk.heat.taken import ARRHENIUS, COUNTED_ABOVE, Taken, cold_pad, tack_under_sheet, taken
from kiosk.plan.heat.story import heat_setup, planned_acts, solved_pass
from kiosk.plan.heat.wait_source import is_guessed, wait_told
from kiosk.plan.model import Pass, PeelWait, Phase, Step
from kiosk.plan.stack import HeatStack


@dataclass(frozen=True, slots=True)
class Tacked:
    """One tack: its seconds, whether the sheet is on, the bond's highest temperature in it, °C."""

    seconds: int
    sheet: bool
    bond: float


@dataclass(frozen=True, slots=True)
class HeatTold:
    """What the cloth takes in a pass, what each first-layer tack reaches, and what would help."""

    taken: Taken
    tacks: tuple[Tacked, ...]
    advice: tuple[Message, ...]


def where_it_cools(each: Pass) -> Where:
    """Return where a pass's garment cools: on the pad for a hot peel, else flat off the platen."""
    hot = each.wait is None or each.wait.peel is Peel.HOT
    return Where.PAD if hot else Where.LIFTED


def heat_told(each: Pass, unit: Degrees) -> HeatTold | None:
    """Return what is told of a pass, advice in `unit`; None where no model fits its stack.

    Advice is about a tack under the sheet and about the first garment's cold pad; a dwell stays
    as it is planned.
    """
    stack = each.heat
    if stack is None:
        return None
    solved = solved_pass(stack, where_it_cools(each))
    return HeatTold(taken(solved), tuple(_tacks(each, solved)), tuple(_advice(each, stack, unit)))


def sentences(told: HeatTold, unit: Degrees) -> Iterator[Message]:
    """Say it, in `unit`: what is told first, then the advice."""
    yield say(
        "heat.taken",
        **_ends("seconds", told.taken.seconds_between),
        above=degrees(COUNTED_ABOVE, unit),
        **_ends("equivalent", told.taken.equivalent_between),
        reference=degrees(ARRHENIUS.reference, unit),
        **_degrees("highest", told.taken.highest, BOND_KELVIN, unit),
        **_ends("energy", Between(*(joules / 1000 for joules in ACTIVATION_RANGE))),
        unit=unit.value,
    )
    for tack in told.tacks:
        yield say(
            "heat.tack.with_sheet" if tack.sheet else "heat.tack.bare",
            seconds=tack.seconds,
            **_degrees("bond", tack.bond, TACK_KELVIN, unit),
            unit=unit.value,
        )
    yield from told.advice


def _ends(name: str, between: Between) -> dict[str, Value]:
    return {f"{name}_low": floor(between.low), f"{name}_high": ceil(between.high)}


def _degrees(name: str, celsius: float | None, off: float, unit: Degrees) -> dict[str, Value]:
    """The range of a temperature that may be off by so much; nothing where there is none."""
    if celsius is None:
        return {f"{name}_low": None, f"{name}_high": None}
    low, high = (degrees(each, unit) for each in around(celsius, off))
    return {f"{name}_low": low, f"{name}_high": high}


def basis(wait: PeelWait) -> Message:
    """Say where one peel's time comes from, with the range of an estimate."""
    peel, source = say(f"peel.{wait.peel.word}"), wait_told(wait)
    if wait.ready is None or is_guessed(wait):
        start, end = round(wait.from_seconds), round(wait.to_seconds)
        return say("curve.basis.told", peel=peel, source=source, start=start, end=end)
    ready = {"low": round(wait.ready.low), "high": round(wait.ready.high)}
    if wait.late is None:
        return say("curve.basis.ready", peel=peel, source=source, **ready)
    late = {"late_low": round(wait.late.low), "late_high": round(wait.late.high)}
    which = "closing" if wait.ready.high == 0 else "both"
    return say(f"curve.basis.{which}", peel=peel, source=source, **ready, **late)


def degrees(celsius: float, unit: Degrees) -> int:
    """Return whole degrees of `unit` (°F = °C · 1.8 + 32, SI definition)."""
    return round(celsius if unit is Degrees.C else celsius * 1.8 + 32)


def _tacks(each: Pass, solved: Solved) -> Iterator[Tacked]:
    """The first tack: the bond watched is the lowest film's."""
    step = _first_tack(each)
    if step is None or step.seconds is None:
        return
    curves = (curve for stage, curve in solved.stages if stage.name == Phase.TACK.value)
    highest = next((curve.highest(bond) for curve in curves), None)
    if highest is not None:
        yield Tacked(step.seconds, step.sheet, highest)


def _advice(each: Pass, stack: HeatStack, unit: Degrees) -> Iterator[Message]:
    step = _first_tack(each)
    if step is not None:
        tack = next(act for act in planned_acts(stack) if act.name == Phase.TACK.value)
        most = tack.seconds if step.most_seconds is None else float(step.most_seconds)
        if longer := tack_under_sheet(heat_setup(stack), tack, most, unit):
            yield longer
    if warmer := cold_pad(heat_setup(stack, pad=None), planned_acts(stack), unit=unit):
        yield Message("heat.pad.first", warmer.values)


def _first_tack(each: Pass) -> Step | None:
    return next((step for step in each.steps if step.phase is Phase.TACK), None)
