"""Closing groups into passes, and passes into runs: what goes garment by garment, what in lots."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from kiosk.catalog.model import Peel
from kiosk.plan.group import Group
from kiosk.plan.heat.story import heat_left
from kiosk.plan.heat.waits import peel_place, peel_wait, slow_seconds_to_final, watched
from kiosk.plan.model import Pass, PeelWait, Phase, Place
from kiosk.plan.steps import pass_steps, peel_stages

Runs = tuple[tuple[int, ...], ...]


def make_pass(group: Group) -> Pass:
    """Return the pass of a closing group, its peel not yet placed beyond the press."""
    steps = pass_steps(group)
    stages = tuple(peel_wait(group, steps, *stage) for stage in peel_stages(group.final.peel))
    return Pass(
        panel=group.panel.name,
        group=group.number,
        steps=steps,
        place=Place.PRESS,
        wait=stages[-1] if stages else None,
        carriers=group.in_order(tuple(group.final.peel)),
        stages=stages,
        heat=watched(group, steps),
        heat_left=heat_left(group),
        part=group.part,
    )


def group_runs(passes: Sequence[Pass]) -> Runs:
    """Return the indices of passes done garment by garment: one setting, no wait between them."""
    runs: list[list[int]] = []
    for index, this in enumerate(passes):
        last = runs[-1] if runs else []
        together = last and not _waits(passes[last[-1]].wait)
        if together and _one_setting([*(passes[i] for i in last), this]):
            last.append(index)
        else:
            runs.append([index])
    return tuple(tuple(run) for run in runs)


def place_peels(passes: Sequence[Pass], runs: Runs, closes_in_seconds: float) -> tuple[Pass, ...]:
    """Return the passes with the place of each peel: at the press, in hand or on the rack.

    A garment that waits ends its run: what is pressed meanwhile is the next garment's first
    pass of the same run.
    """
    placed = list(passes)
    for run in runs:
        last = passes[run[-1]]
        slow = slow_seconds_to_final(passes[run[0]].steps, closes_in_seconds)
        place = peel_place(last.wait, slow)
        placed[run[-1]] = replace(last, place=place, places=_places(last, place, slow))
    return tuple(placed)


def _places(each: Pass, last: Place, slow_seconds: float) -> tuple[Place, ...]:
    """Where each stage is peeled; nothing is racked before a peel that is not."""
    if last is not Place.RACK:
        return tuple(Place.PRESS if wait.peel is Peel.HOT else last for wait in each.stages)
    found = [peel_place(wait, slow_seconds) for wait in each.stages]
    racked = found.index(Place.RACK)
    return (*found[:racked], *(Place.RACK for _ in found[racked:]))


def _waits(wait: PeelWait | None) -> bool:
    return wait is not None and wait.peel is not Peel.HOT


def _one_setting(passes: Sequence[Pass]) -> bool:
    """Whether one temperature and one pressure serve all closings of `passes`."""
    hot = [s for p in passes for s in p.steps if s.phase in (Phase.TACK, Phase.FINAL)]
    lows = [s.pressure_low for s in hot if s.pressure_low is not None]
    highs = [s.pressure_high for s in hot if s.pressure_high is not None]
    return len({step.temperature for step in hot}) == 1 and max(lows) <= min(highs)
