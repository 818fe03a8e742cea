"""When a tack's carriers come off warm or cold, and where the garment waits until then."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from kiosk.catalog.model import Peel
from kiosk.heat.garment import GarmentPlace
from kiosk.plan.group import ClosingGroup
from kiosk.plan.heat.story import heat_stack
from kiosk.plan.heat.waits import estimated, peel_wait
from kiosk.plan.model import HOT_PHASES, PeelPlace, PeelWait, Phase, Step
from kiosk.plan.sources import HeatStack
from kiosk.plan.time.handling import BACK, RACKING


def with_carriers(group: ClosingGroup, steps: Sequence[Step]) -> tuple[Step, ...]:
    """Return the steps of a pass, with a wait for every carrier not peeled hot after its tack."""
    found: list[Step] = []
    tacked = 0  # index of the first step after the last closing
    for index, step in enumerate(steps):
        waits = step.phase is Phase.REMOVE_CARRIER and step.peel not in (None, Peel.HOT)
        cold = waits and _cold_of(steps[tacked:])
        found.append(_waiting(group, found[:tacked], step, cold) if waits else step)
        tacked = index + 1 if step.phase in HOT_PHASES else tacked
    return tuple(found)


def _cold_of(after: Sequence[Step]) -> bool:
    """Whether any carrier of the preceding tack comes off cold."""
    for step in after:
        if step.phase is not Phase.REMOVE_CARRIER:
            return False
        if step.peel is Peel.COLD:
            return True
    return False


def _waiting(group: ClosingGroup, before: Sequence[Step], step: Step, cold: bool) -> Step:
    """Lift the garment for cold: an open press keeps it too hot. For warm, the sooner place."""
    peel = step.peel or Peel.HOT
    lifted = peel_wait(group, before, peel, step.pieces)
    stacks = tuple(_stacks(group, before, step))
    here = None if cold else _on_pad(group, before, step, stacks)
    off = lifted.from_seconds + RACKING.high + BACK.high
    stays = here is not None and here.from_seconds <= off
    where = GarmentPlace.PAD if stays else GarmentPlace.LIFTED
    return replace(
        step,
        wait=here if stays else lifted,
        place=PeelPlace.PRESS if stays else PeelPlace.HAND,
        heat=max(stacks, key=lambda stack: _begins(stack, peel, where), default=None),
    )


def _on_pad(
    group: ClosingGroup, before: Sequence[Step], step: Step, stacks: Sequence[HeatStack]
) -> PeelWait | None:
    """The wait on the pad; None if a stack never cools enough there."""
    peel = step.peel or Peel.HOT
    if any(estimated(stack, peel, GarmentPlace.PAD) is None for stack in stacks):
        return None
    return peel_wait(group, before, peel, step.pieces, GarmentPlace.PAD)


def _stacks(group: ClosingGroup, before: Sequence[Step], step: Step) -> Iterator[HeatStack]:
    found = (heat_stack(group, before, piece) for piece in step.pieces)
    yield from (stack for stack in found if stack is not None)


def _begins(stack: HeatStack, peel: Peel, where: GarmentPlace) -> float:
    wait = estimated(stack, peel, where)
    return 0.0 if wait is None else wait.from_seconds
