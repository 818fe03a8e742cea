"""Why nothing can be pressed: the smallest set of true limits that have no common point."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from kiosk.plan.model import Limit
from kiosk.plan.settings.gap import gap
from kiosk.plan.settings.group import Group, PieceLimits
from kiosk.plan.settings.platen import between_parts
from kiosk.plan.settings.points import bits, broken_limits, smallest_hitting
from kiosk.plan.settings.rulebook import Placed, Rulebook
from kiosk.plan.settings.splits import Bench
from kiosk.plan.settings.structure import broken_stack


@dataclass(frozen=True, slots=True)
class Conflict:
    """Limits without a common point, in the order of the rules, and how far apart they are."""

    limits: tuple[Limit, ...]
    gap: Mapping[str, float]


def find_conflict(pieces: Sequence[PieceLimits], bench: Bench) -> Conflict:
    """Return the fewest limits for which `pieces` cannot be pressed.

    Rules of stacks come first; then each element alone, which more closings cannot cure; then
    all elements in one closing, or where the platen is too short for all those of each part,
    and what keeps the parts from following each other. Raises ValueError if all limits agree in
    one closing.
    """
    pair = broken_stack(pieces)
    if pair is not None:
        return Conflict(pair, {})
    elements = dict.fromkeys(p.element for p in pieces)
    alone = [_of((element,), pieces) for element in elements]
    parts = [_of(part.elements, pieces) for part in bench.parts]
    for groups in (alone, parts or [Group(tuple(pieces))]):
        found = [(group, limits) for group in groups for limits in _smallest(group, bench)]
        if found:
            return _first(found, bench)
    if bench.parts:
        return Conflict(*between_parts(pieces, bench))
    raise ValueError("all limits agree in one closing")


def _of(elements: Collection[str], pieces: Sequence[PieceLimits]) -> Group:
    return Group(tuple(p for p in pieces if p.element in elements))


def _smallest(group: Group, bench: Bench) -> list[tuple[Placed, ...]]:
    """Return the smallest sets of limits that no point keeps, none if some point keeps all."""
    book = Rulebook(group.active, bench.cloth, bench.policy)
    broken = broken_limits(group, bench.cloth, book)
    if 0 in broken:
        return []
    return [tuple(book.placed[n] for n in bits(limits)) for limits in smallest_hitting(broken)]


def _first(found: Sequence[tuple[Group, tuple[Placed, ...]]], bench: Bench) -> Conflict:
    """Return the smallest of `found`; of equal ones the first by the rules, then the recipe."""
    group, placed = min(found, key=lambda each: (len(each[1]), _order(each[1])))
    limits = tuple(p.limit for p in placed)
    return Conflict(limits, gap(limits, group, bench.cloth, bench.press.unit))


def _order(placed: Sequence[Placed]) -> list[tuple[int, int, int]]:
    return [(p.rule, p.place, p.entry) for p in placed]
