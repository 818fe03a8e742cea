"""A pass's stack as a story for the solver, solved once however often it is asked for."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from itertools import takewhile

from kiosk.catalog.heat_values import Carrier, Cloth, Thresholds
from kiosk.heat.curve import Solved, solve
from kiosk.heat.garment import Act, Setup, Where, story
from kiosk.heat.properties import PROPERTIES
from kiosk.heat.usual import cooling_acts
from kiosk.plan.heat_stack import HeatStack
from kiosk.plan.model import Phase

AFTER_HEAT = (Phase.PEEL.value, Phase.INSPECT.value)
PAD_WARM, LOWER_WARM = 60.0, 50.0  # °C, in the middle of a shift: an assumption
COOLING_SECONDS = {Where.LIFTED: 420.0, Where.WAVED: 420.0, Where.PAD: 600.0}


def heat_setup(stack: HeatStack, pad: float | None = PAD_WARM) -> Setup:
    """Return what does not change; `pad` °C to begin with, None for a first garment's cold one."""
    data = replace(
        PROPERTIES,
        sheet=stack.sheet,
        pad=stack.pad,
        lower=stack.lower,
        cloths={Cloth.LIGHT: stack.cloth},
        overhead=stack.overhead,
    )
    return Setup(
        stack.platen,
        stack.room,
        Cloth.LIGHT,
        Carrier.PET,
        stack.plies,
        pad,
        None if pad is None else min(pad, LOWER_WARM),
        data,
        tuple((each.film, each.carrier) for each in stack.films),
    )


def planned_acts(stack: HeatStack) -> tuple[Act, ...]:
    """Return the acts from loading to the end of the final, as long as planned."""
    acts = (
        Act(
            state.phase,
            state.seconds,
            closed=state.closed,
            films=state.films,
            carrier=state.carrier,
            sheet=state.sheet,
        )
        for state in takewhile(lambda state: state.phase not in AFTER_HEAT, stack.states)
    )
    return tuple(act for act in acts if act.seconds > 0)


def solved_pass(stack: HeatStack, where: Where, *, cold: bool = False) -> Solved:
    """Return the planned history of a pass and its cooling; `cold`: the first garment's pad."""
    return _solved(replace(stack, piece="", peel_at=Thresholds()), where, cold)


@lru_cache(maxsize=64)
def _solved(stack: HeatStack, where: Where, cold: bool) -> Solved:
    acts = planned_acts(stack)
    films, carrier = acts[-1].films, acts[-1].carrier
    cooling = cooling_acts(films, carrier, where, COOLING_SECONDS[where])
    setup = heat_setup(stack, None if cold else PAD_WARM)
    return solve(story(setup, (*acts, *cooling)))
