"""Which passes a garment goes through and which of their steps: none that lays nothing on it."""

from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace
from itertools import takewhile

from kiosk.plan.group import elements_of
from kiosk.plan.model import LAYING, Pass, Phase, Plan, Step


def own_passes(plan: Plan, lacks: tuple[str, ...]) -> frozenset[int]:
    """Return the passes, by index, of a garment that `lacks` these elements.

    A pass that pre-presses the cloth stays, for its pre-press, if a later one of the same panel
    lays something (`steps_without`). A garment that lacks everything keeps the first pass, so that
    it is inspected and counted.
    """
    all_passes = range(len(plan.passes))
    if not lacks:
        return frozenset(all_passes)
    laid = [p for p in all_passes if not _elements(plan.passes[p]) <= {*lacks}]
    panels = {plan.passes[p].panel for p in laid}
    dried = [p for p in all_passes if plan.passes[p].panel in panels and _dries(plan.passes[p])]
    return frozenset((*laid, *dried)) or frozenset(plan.runs[0][:1])


def steps_without(passage: Pass, lacks: Collection[str]) -> tuple[int, ...]:
    """Return the steps of a pass, by index, that a garment lacking `lacks` skips.

    Skipped are a tack with none of the garment's pieces, with the laying before it and the carriers
    removed after it; and its last peels, or all of them. In a pass that lays nothing on the garment
    only load, pre-press and inspection are left.
    """
    steps = passage.steps
    if not lacks:
        return ()
    if _elements(passage) <= {*lacks}:
        return tuple(n for n, step in enumerate(steps) if step.phase not in _OF_THE_CLOTH)
    skipped = [n for n, step in enumerate(steps) if _only_lacked(step, (Phase.TACK,), lacks)]
    skipped += _peels_without(passage, lacks)
    for tack in [n for n in skipped if steps[n].phase is Phase.TACK]:
        before, after = steps[:tack][::-1], steps[tack + 1 :]
        skipped += range(tack - _count_leading(before, LAYING, lacks), tack)
        skipped += range(tack + 1, tack + 1 + _count_leading(after, (Phase.REMOVE_CARRIER,), lacks))
    return tuple(sorted(skipped))


def _peels_without(passage: Pass, lacks: Collection[str]) -> tuple[int, ...]:
    """All peels if the garment has none of the carriers; else those after its last own peel.

    An earlier peel stays a step: nobody waits for it.
    """
    if passage.carriers and {*elements_of(passage.carriers)} <= {*lacks}:
        return passage.peels
    if len(passage.stages) != len(passage.peels):  # an older plan has only the last wait
        return ()
    own = [n for n in passage.peels if not _only_lacked(passage.steps[n], (Phase.PEEL,), lacks)]
    return tuple(n for n in passage.peels if own and n > own[-1])


def own_pass(passage: Pass, without: Collection[int]) -> Pass:
    """Return a pass as a garment that skips steps `without` is peeled: its last wait and place.

    Steps keep their indices, since events refer to them; skipped peels become inspections.
    """
    own_peels = sum(n not in without for n in passage.peels)
    if own_peels in (0, len(passage.peels)):
        return passage
    steps = tuple(
        passage.steps[-1] if n in without and step.phase is Phase.PEEL else step
        for n, step in enumerate(passage.steps)
    )
    places = tuple(map(passage.place_of, range(own_peels)))
    stages = passage.stages[:own_peels]
    return replace(
        passage, steps=steps, stages=stages, places=places, wait=stages[-1], place=places[-1]
    )


def _count_leading(steps: Iterable[Step], phases: tuple[Phase, ...], lacks: Collection[str]) -> int:
    """Count the leading steps that are of these phases and only for lacked elements."""
    return sum(1 for _ in takewhile(lambda step: _only_lacked(step, phases, lacks), steps))


def _only_lacked(step: Step, phases: tuple[Phase, ...], lacks: Collection[str]) -> bool:
    return step.phase in phases and {*elements_of(step.pieces)} <= {*lacks}


def in_passes(plan: Plan, lacks: Iterable[tuple[str, ...]]) -> Mapping[int, int]:
    """Return how many garments go through each pass, by index, given what each of them lacks."""
    counts = Counter[int]()
    for each, many in Counter(lacks).items():
        counts.update(dict.fromkeys(own_passes(plan, each), many))
    return counts


_OF_THE_CLOTH = (Phase.LOAD, Phase.PRE_PRESS, Phase.INSPECT)


def _elements(passage: Pass) -> set[str]:
    """The elements laid in a pass."""
    laid = (name for step in passage.steps if step.phase in LAYING for name in step.pieces)
    return set(elements_of(laid))


def _dries(passage: Pass) -> bool:
    return any(step.phase is Phase.PRE_PRESS for step in passage.steps)
