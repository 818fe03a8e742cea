"""When a tack's carriers come off warm or cold, and where the garment waits until then."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from kiosk.catalog.model import Peel
from kiosk.heat.garment import GarmentPlace
from kiosk.plan.group import ClosingGroup
from kiosk.plan.heat.story import heat_stack
from kiosk.plan.heat.waits import estimated_wait, peel_wait
from kiosk.plan.model import HOT_PHASES, PeelPlace, PeelWait, Phase, Step
from kiosk.plan.sources import HeatStack
from kiosk.plan.time.handling import BACK, RACKING


def with_carriers(group: ClosingGroup, steps: Sequence[Step]) -> tuple[Step, ...]:
    """Return the steps of a pass, with a wait for every carrier not peeled hot after its tack."""
    found: list[Step] = []
    after_closing = 0  # index of the first step after the last closing
    for index, step in enumerate(steps):
        has_wait = step.phase is Phase.REMOVE_CARRIER and step.peel not in (None, Peel.HOT)
        cold = has_wait and _any_cold(steps[after_closing:])
        found.append(_with_wait(group, found[:after_closing], step, cold) if has_wait else step)
        after_closing = index + 1 if step.phase in HOT_PHASES else after_closing
    return tuple(found)


def _any_cold(after: Sequence[Step]) -> bool:
    """Whether any carrier of the preceding tack comes off cold."""
    for step in after:
        if step.phase is not Phase.REMOVE_CARRIER:
            return False
        if step.peel is Peel.COLD:
            return True
    return False


def _with_wait(group: ClosingGroup, before: Sequence[Step], step: Step, cold: bool) -> Step:
    """Lift the garment for cold: an open press keeps it too hot. For warm, the sooner place."""
    peel = step.peel or Peel.HOT
    lifted = peel_wait(group, before, peel, step.pieces)
    stacks = tuple(_stacks(group, before, step))
    on_pad = None if cold else _on_pad(group, before, step, stacks)
    back_by = lifted.from_seconds + RACKING.high + BACK.high
    waits_on_pad = on_pad is not None and on_pad.from_seconds <= back_by
    where = GarmentPlace.PAD if waits_on_pad else GarmentPlace.LIFTED
    return replace(
        step,
        wait=on_pad if waits_on_pad else lifted,
        place=PeelPlace.PRESS if waits_on_pad else PeelPlace.HAND,
        heat=max(stacks, key=lambda stack: _start_of(stack, peel, where), default=None),
    )


def _on_pad(
    group: ClosingGroup, before: Sequence[Step], step: Step, stacks: Sequence[HeatStack]
) -> PeelWait | None:
    """The wait on the pad; None if a stack never cools enough there."""
    peel = step.peel or Peel.HOT
    if any(estimated_wait(stack, peel, GarmentPlace.PAD) is None for stack in stacks):
        return None
    return peel_wait(group, before, peel, step.pieces, GarmentPlace.PAD)


def _stacks(group: ClosingGroup, before: Sequence[Step], step: Step) -> Iterator[HeatStack]:
    found = (heat_stack(group, before, piece) for piece in step.pieces)
    yield from (stack for stack in found if stack is not None)


def _start_of(stack: HeatStack, peel: Peel, where: GarmentPlace) -> float:
    wait = estimated_wait(stack, peel, where)
    return 0.0 if wait is None else wait.from_seconds
