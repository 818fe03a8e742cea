"""Closing groups into steps and passes, and passes into runs done garment by garment."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from kiosk.catalog.base import Message, say
from kiosk.catalog.model import Peel
from kiosk.plan import phrases as reasons
from kiosk.plan.group import ClosingGroup
from kiosk.plan.heat.carriers import with_carriers
from kiosk.plan.heat.story import heat_left, longest_closing, longest_pre_press
from kiosk.plan.heat.waits import peel_place, peel_wait, slow_seconds_to_final, watched_stack
from kiosk.plan.model import HOT_PHASES, Closing, Pass, PeelPlace, Phase, Purpose, Step


def pass_steps(group: ClosingGroup) -> tuple[Step, ...]:
    """Return the steps, load to inspect; hand steps carry the `sheet` of the next closing."""
    steps = (
        *_load_steps(group),
        *(step for n, tack in enumerate(group.tacks, 1) for step in _tack_steps(group, tack, n)),
        *_single_layer_steps(group),
        *_final_steps(group),
    )
    return tuple(
        step
        if step.phase in HOT_PHASES
        else replace(step, sheet=next((s.sheet for s in steps[n:] if s.phase in HOT_PHASES), False))
        for n, step in enumerate(steps)
    )


def peel_stages(peels: Mapping[str, Peel]) -> tuple[tuple[Peel, tuple[str, ...]], ...]:
    """Return the distinct peels, hottest first, each with its pieces."""
    return tuple(
        (peel, tuple(piece for piece, own in peels.items() if own is peel))
        for peel in sorted(set(peels.values()))
    )


def _load_steps(group: ClosingGroup) -> Iterator[Step]:
    """Load, and pre-press the cloth."""
    part, why = group.part, say("plan.why.load")
    if part is not None:
        why = say("plan.why.load_part", count=part.of)
    yield Step(Phase.LOAD, why=why)
    if group.pre_press_seconds > 0:
        yield Step(
            Phase.PRE_PRESS,
            seconds=group.pre_press_seconds,
            most_seconds=longest_pre_press(group),
            temperature=group.first.temperature,
            pressure_low=group.first.pressure_low,
            pressure_high=group.first.pressure_high,
            why=reasons.why_pre_press(group),
        )


def _tack_steps(group: ClosingGroup, tack: Closing, layer: int) -> Iterator[Step]:
    """Lay one layer of all stacks, tack it, take its carriers off."""
    pieces = group.in_order(tack.pieces)
    phase = Phase.LAY if layer == 1 else Phase.LAY_TOP
    yield Step(phase, pieces, why=reasons.why_lay_layer(group, pieces, layer))
    yield _closing(group, tack, reasons.why_tack(group, tack))
    for peel, own in peel_stages(tack.peel):
        why = reasons.why_carrier(group, own, peel)
        yield Step(Phase.REMOVE_CARRIER, group.in_order(own), peel=peel, why=why)


def _single_layer_steps(group: ClosingGroup) -> Iterator[Step]:
    """Lay the pieces that need no tack."""
    tacked = {piece for tack in group.tacks for piece in tack.pieces}
    pieces = tuple(p for p in group.in_order(group.final.pieces) if p not in tacked)
    if pieces:
        yield Step(Phase.LAY, pieces, why=reasons.why_lay_single(group))


def _final_steps(group: ClosingGroup) -> Iterator[Step]:
    """Cover sheet, final press, peels, inspection."""
    final = group.final
    pieces = group.in_order(final.pieces)
    if final.cover_sheet:
        why = reasons.why_cover(reasons.pieces_needing_sheet(group, final))
        yield Step(Phase.COVER, pieces, why=why)
    yield _closing(group, final, reasons.why_final(group))
    stages = peel_stages(final.peel)
    for peel, own in stages:
        why = reasons.why_peel(group, peel, staged=len(stages) > 1)
        yield Step(Phase.PEEL, group.in_order(own), peel=peel, why=why)
    yield Step(Phase.INSPECT, pieces, why=say("plan.why.inspect"))


def _closing(group: ClosingGroup, closing: Closing, why: Message) -> Step:
    return Step(
        phase=Phase.TACK if closing.purpose is Purpose.TACK else Phase.FINAL,
        pieces=group.in_order(closing.pieces),
        seconds=closing.dwell_seconds,
        most_seconds=longest_closing(group, closing),
        temperature=closing.temperature,
        pressure_low=closing.pressure_low,
        pressure_high=closing.pressure_high,
        sheet=closing.cover_sheet,
        why=why,
    )


Runs = tuple[tuple[int, ...], ...]


def make_pass(group: ClosingGroup) -> Pass:
    """Return the pass of a closing group, with its peel still placed at the press."""
    steps = with_carriers(group, pass_steps(group))
    stages = tuple(peel_wait(group, steps, *stage) for stage in peel_stages(group.final.peel))
    return Pass(
        panel=group.panel.name,
        group=group.number,
        steps=steps,
        place=PeelPlace.PRESS,
        wait=stages[-1] if stages else None,
        carriers=group.in_order(tuple(group.final.peel)),
        stages=stages,
        heat=watched_stack(group, steps),
        heat_left=heat_left(group),
        part=group.part,
    )


def group_runs(passes: Sequence[Pass]) -> Runs:
    """Return runs of pass indices, done garment by garment: one setting, no wait between them."""
    runs: list[list[int]] = []
    for index, current in enumerate(passes):
        last = runs[-1] if runs else []
        wait = passes[last[-1]].wait if last else None
        together = last and (wait is None or wait.peel is Peel.HOT)
        if together and _one_setting([*(passes[i] for i in last), current]):
            last.append(index)
        else:
            runs.append([index])
    return tuple(tuple(run) for run in runs)


def place_peels(passes: Sequence[Pass], runs: Runs, closes_in_seconds: float) -> tuple[Pass, ...]:
    """Return the passes with the place of each peel: at the press, in hand or on the rack.

    A garment that waits ends its run: meanwhile the next garment gets the first pass of the same
    run.
    """
    placed = list(passes)
    for run in runs:
        last = passes[run[-1]]
        slow_seconds = slow_seconds_to_final(passes[run[0]].steps, closes_in_seconds)
        place = peel_place(last.wait, slow_seconds)
        placed[run[-1]] = replace(last, place=place, places=_places(last, place, slow_seconds))
    return tuple(placed)


def _places(each: Pass, last: PeelPlace, slow_seconds: float) -> tuple[PeelPlace, ...]:
    """Where each stage is peeled; once one is on the rack, so are all later ones."""
    if last is not PeelPlace.RACK:
        return tuple(PeelPlace.PRESS if wait.peel is Peel.HOT else last for wait in each.stages)
    found = [peel_place(wait, slow_seconds) for wait in each.stages]
    racked = found.index(PeelPlace.RACK)
    return (*found[:racked], *(PeelPlace.RACK for _ in found[racked:]))


def _one_setting(passes: Sequence[Pass]) -> bool:
    """Whether one temperature and one pressure serve all closings of `passes`."""
    hot = [s for p in passes for s in p.steps if s.phase in (Phase.TACK, Phase.FINAL)]
    lows = [s.pressure_low for s in hot if s.pressure_low is not None]
    highs = [s.pressure_high for s in hot if s.pressure_high is not None]
    return len({step.temperature for step in hot}) == 1 and max(lows) <= min(highs)
