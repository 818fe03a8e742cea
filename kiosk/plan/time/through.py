"""Which passes a garment goes through: none that has nothing of it."""

from collections import Counter
from collections.abc import Iterable, Mapping

from kiosk.plan.group import elements_of
from kiosk.plan.model import LAYING, Pass, Phase, Plan


def own_passes(plan: Plan, lacks: tuple[str, ...]) -> frozenset[int]:
    """Return the passes, by index, of a garment that `lacks` these elements.

    A pass that pre-presses the cloth stays where a later one of its panel lays something. Of a
    garment that lacks all of it the first pass stays: somebody looks at it, and it is counted.
    """
    every = range(len(plan.passes))
    if not lacks:
        return frozenset(every)
    laid = [p for p in every if not _elements(plan.passes[p]) <= {*lacks}]
    panels = {plan.passes[p].panel for p in laid}
    dried = [p for p in every if plan.passes[p].panel in panels and _dries(plan.passes[p])]
    return frozenset((*laid, *dried)) or frozenset(plan.runs[0][:1])


def in_passes(plan: Plan, lacks: Iterable[tuple[str, ...]]) -> Mapping[int, int]:
    """Return how many garments go through each pass, by index, given what each of them lacks."""
    counts = Counter[int]()
    for each, many in Counter(lacks).items():
        counts.update(dict.fromkeys(own_passes(plan, each), many))
    return counts


def _elements(passage: Pass) -> set[str]:
    """What is laid in a pass."""
    laid = (name for step in passage.steps if step.phase in LAYING for name in step.pieces)
    return set(elements_of(laid))


def _dries(passage: Pass) -> bool:
    return any(step.phase is Phase.PRE_PRESS for step in passage.steps)
