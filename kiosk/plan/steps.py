"""The steps of one pass in the order of design.md section 3: only those that it needs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from kiosk.catalog.base import Message
from kiosk.catalog.model import Peel
from kiosk.plan import reasons
from kiosk.plan.group import Group
from kiosk.plan.heat.longest import longest_closing, longest_pre_press
from kiosk.plan.model import HOT_PHASES, Closing, Phase, Purpose, Step


def pass_steps(group: Group) -> tuple[Step, ...]:
    """Return the steps, load to inspect; hand steps know the sheet of the closing after them."""
    steps = (
        *_bare(group),
        *(step for n, tack in enumerate(group.tacks, 1) for step in _tacked(group, tack, n)),
        *_single(group),
        *_final(group),
    )
    return tuple(
        step if step.phase in HOT_PHASES else replace(step, sheet=_sheet_after(steps[n:]))
        for n, step in enumerate(steps)
    )


def peel_stages(peels: Mapping[str, Peel]) -> tuple[tuple[Peel, tuple[str, ...]], ...]:
    """Return the peels that occur, hottest first, each with its pieces."""
    return tuple(
        (peel, tuple(piece for piece, own in peels.items() if own is peel))
        for peel in sorted(set(peels.values()))
    )


def _bare(group: Group) -> Iterator[Step]:
    """Load, and the pre-press of the cloth."""
    yield Step(Phase.LOAD, why=reasons.why_load(group))
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


def _tacked(group: Group, tack: Closing, layer: int) -> Iterator[Step]:
    """Lay one layer of all stacks, tack it, take its carriers off."""
    pieces = group.in_order(tack.pieces)
    phase = Phase.LAY if layer == 1 else Phase.LAY_TOP
    yield Step(phase, pieces, why=reasons.why_lay_layer(group, pieces, layer))
    yield _closing(group, tack, reasons.why_tack(tack, layer))
    for peel, own in peel_stages(tack.peel):
        why = reasons.why_carrier(peel)
        yield Step(Phase.REMOVE_CARRIER, group.in_order(own), peel=peel, why=why)


def _single(group: Group) -> Iterator[Step]:
    """Lay what needs no tack."""
    tacked = {piece for tack in group.tacks for piece in tack.pieces}
    pieces = tuple(p for p in group.in_order(group.final.pieces) if p not in tacked)
    if pieces:
        yield Step(Phase.LAY, pieces, why=reasons.why_lay_single(group))


def _final(group: Group) -> Iterator[Step]:
    """Sheet, final press, the peels, inspection."""
    final = group.final
    pieces = group.in_order(final.pieces)
    if final.cover_sheet:
        yield Step(Phase.COVER, pieces, why=reasons.why_cover(group))
    yield _closing(group, final, reasons.why_final(group))
    stages = peel_stages(final.peel)
    for peel, own in stages:
        why = reasons.why_peel(group, peel, staged=len(stages) > 1)
        yield Step(Phase.PEEL, group.in_order(own), peel=peel, why=why)
    yield Step(Phase.INSPECT, pieces, why=reasons.why_inspect())


def _closing(group: Group, closing: Closing, why: Message) -> Step:
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


def _sheet_after(steps: tuple[Step, ...]) -> bool:
    """Whether the sheet is on in the first closing of `steps`."""
    return next((step.sheet for step in steps if step.phase in HOT_PHASES), False)
