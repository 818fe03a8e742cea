"""A garment's own heat, solved from its actual closings and the pad's actual state."""

from collections.abc import Iterator
from dataclasses import replace

from kiosk.catalog.base import dataclass
from kiosk.heat.curve import SolvedCurves, solve
from kiosk.heat.garment import LAYING_SECONDS, Act, GarmentPlace, Setup, idle, story
from kiosk.heat.heat_taken import press_layers
from kiosk.heat.stack import Temperatures
from kiosk.plan.heat import heat_setup
from kiosk.plan.model import Pass
from kiosk.plan.sources import HeatStack
from kiosk.run.facts import waiting_carriers
from kiosk.run.state import JobRun, Now, PadHeat, Pressing, State, elapsed

PAD_AT_ROOM_SECONDS = 3 * 3600.0
"""After this time pad, lower platen and a garment left there are at room temperature.

A closed press is as hot as it gets by then. Nothing longer is solved: a clock set forward could
make it a year.
"""


@dataclass(frozen=True, slots=True)
class GarmentHistory:
    """A garment up to the end of its last closing: its setup, and all temperatures then."""

    setup: Setup
    stack: HeatStack
    solved: SolvedCurves
    films: int
    carrier: bool


def garment_history(state: State) -> GarmentHistory | None:
    """Return the history of the garment that was pressed last; None if no model fits it."""
    job, found = state.job, None
    empty = None if job is None else _empty_press(job)
    if job is None or empty is None:
        return None
    layers, since = _pad(state.pad), None if state.pad is None else state.pad.at
    for pressings in _garments(state.pressings):
        layers, since = _idle_until(layers, since, pressings[0].began)
        stack = _stack(job, pressings)
        found = _press_garment(stack or empty, pressings, layers, since)
        layers, since = press_layers(found.solved.end), pressings[-1].ended
        found = None if stack is None else found
    return found


def _garments(pressings: tuple[Pressing, ...]) -> Iterator[tuple[Pressing, ...]]:
    """The closings garment by garment; one pressed again, or left for hours, starts afresh."""
    same: list[Pressing] = []
    for pressing in pressings:
        if same and not _continues(same[-1], pressing):
            yield tuple(same)
            same = []
        same.append(pressing)
    if same:
        yield tuple(same)


def _continues(before: Pressing, after: Pressing) -> bool:
    same_garment = (before.job, before.ticket) == (after.job, after.ticket)
    soon = elapsed(before.ended, after.began)[0] <= PAD_AT_ROOM_SECONDS
    return same_garment and soon and after.step > before.step


def _pad(pad: PadHeat | None) -> Temperatures:
    return {} if pad is None else {"pad": pad.pad, "lower": pad.lower}


def _idle_until(
    layers: Temperatures, since: Now | None, began: Now
) -> tuple[Temperatures, Now | None]:
    """A press unused for hours is cold: the first garment of the day."""
    if since is not None and elapsed(since, began)[0] > PAD_AT_ROOM_SECONDS:
        return {}, None
    return layers, since


def _empty_press(job: JobRun) -> HeatStack | None:
    """The press with nothing on its pad; None if no pass of the job has a model."""
    stacks = (each.heat for each in job.plan.passes)
    stack = next((stack for stack in stacks if stack is not None), None)
    return None if stack is None else replace(stack, states=())


def _stack(job: JobRun, pressings: tuple[Pressing, ...]) -> HeatStack | None:
    """The stack at its next carrier; None for a garment of another job, or without a model."""
    last = pressings[-1]
    ticket = job.tickets.get(last.ticket) if last.job == job.job else None
    return None if ticket is None else stack_after(job.plan.passes[ticket.passage], last.step)


def stack_after(passage: Pass, step: int) -> HeatStack | None:
    """Return the stack to estimate after closing `step`: its slowest carrier's; None without."""
    carriers = waiting_carriers(passage, step + 1)
    return carriers[-1].heat if carriers else passage.heat


def _press_garment(
    stack: HeatStack, pressings: tuple[Pressing, ...], layers: Temperatures, since: Now | None
) -> GarmentHistory:
    """One garment, starting from the previous opening of the press."""
    setup = heat_setup(stack, pad=None)
    acts = (*_before(stack, since, pressings[0]), *_closings(stack, pressings))
    last = acts[-1]
    return GarmentHistory(setup, stack, solve(story(setup, acts), layers), last.films, last.carrier)


def _before(stack: HeatStack, since: Now | None, first: Pressing) -> Iterator[Act]:
    """The bare pad, then the garment as it is laid on it."""
    gap = LAYING_SECONDS if since is None else max(0.0, elapsed(since, first.began)[0])
    if gap > LAYING_SECONDS:
        yield idle(gap - LAYING_SECONDS)
    laying = min(gap, LAYING_SECONDS)
    yield Act("load", laying) if stack.states else idle(laying)


def _closings(stack: HeatStack, pressings: tuple[Pressing, ...]) -> Iterator[Act]:
    """Each closing at its actual length, and the hand work between them."""
    for n, pressing in enumerate(pressings):
        if n:
            yield from _hands(stack, pressings[n - 1], pressing)
        closed_seconds = elapsed(pressing.began, pressing.ended)[0]
        seconds = min(max(0.1, closed_seconds), PAD_AT_ROOM_SECONDS)
        if pressing.step >= len(stack.states):
            yield idle(seconds, closed=True)
            continue
        state = stack.states[pressing.step]
        yield Act(
            state.phase,
            seconds,
            closed=True,
            films=state.films,
            carrier=state.carrier,
            sheet=state.sheet,
        )


def _hands(stack: HeatStack, before: Pressing, after: Pressing) -> Iterator[Act]:
    seconds = elapsed(before.ended, after.began)[0]
    if seconds <= 0:
        return
    if before.step + 1 >= len(stack.states):
        yield idle(seconds)
        return
    state = stack.states[before.step + 1]
    lifted = any(each.lifted for each in stack.states[before.step + 1 : after.step])
    where = GarmentPlace.LIFTED if lifted else GarmentPlace.PAD
    yield Act("hands", seconds, films=state.films, carrier=state.carrier, where=where)
