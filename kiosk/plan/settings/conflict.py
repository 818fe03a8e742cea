"""Why nothing can be pressed: the smallest set of limits that cannot all be kept, and their gap."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from itertools import product

from kiosk.catalog.base import Degrees, dataclass, fahrenheit_step
from kiosk.plan.model import FABRIC, Limit
from kiosk.plan.settings import points
from kiosk.plan.settings.limits import ClothLimits, GroupPieces, PieceLimits
from kiosk.plan.settings.rulebook import RankedLimit, Rulebook, bits, broken_stack, smallest_hitting
from kiosk.plan.settings.splits import PanelBench


@dataclass(frozen=True, slots=True)
class Conflict:
    """Limits that cannot all be kept, in the order of the rules, and how far apart they are."""

    limits: tuple[Limit, ...]
    gap: Mapping[str, float]


def find_conflict(pieces: Sequence[PieceLimits], bench: PanelBench) -> Conflict:
    """Return the fewest limits for which `pieces` cannot be pressed.

    Rules of stacks come first; then each element alone, which more closings cannot help; then all
    elements in one closing, or one closing for each part if the platen is too short. Raises
    ValueError if all limits agree in those.
    """
    pair = broken_stack(pieces)
    if pair is not None:
        return Conflict(pair, {})
    elements = dict.fromkeys(p.element for p in pieces)
    alone = [(GroupPieces(_pieces_of((element,), pieces)),) for element in elements]
    for closings in (alone, [_together(pieces, bench)]):
        found = [
            (groups, limits) for groups in closings for limits in _smallest_sets(groups, bench)
        ]
        if found:
            return _first_conflict(found, bench)
    raise ValueError("all limits agree in one closing")


Groups = tuple[GroupPieces, ...]  # pressed one after another


def _pieces_of(elements: Collection[str], pieces: Sequence[PieceLimits]) -> tuple[PieceLimits, ...]:
    return tuple(p for p in pieces if p.element in elements)


def _together(pieces: Sequence[PieceLimits], bench: PanelBench) -> Groups:
    """Return all `pieces` as one group, or one group per part with what lies under it again."""
    parts = (
        GroupPieces(_pieces_of(part.elements, pieces), _pieces_of(part.under, pieces))
        for part in bench.parts
    )
    return tuple(parts) or (GroupPieces(tuple(pieces)),)


def _smallest_sets(groups: Groups, bench: PanelBench) -> list[tuple[RankedLimit, ...]]:
    """Return the smallest sets of limits that no point keeps; empty if some point keeps all."""
    pieces = sorted((p for group in groups for p in group.active), key=lambda p: p.order)
    book = Rulebook(pieces, bench.cloth, bench.policy)
    broken = points.broken_limits(groups, bench.cloth, book)
    if 0 in broken:
        return []
    return [tuple(book.ranked[n] for n in bits(limits)) for limits in smallest_hitting(broken)]


def _first_conflict(
    found: Sequence[tuple[Groups, tuple[RankedLimit, ...]]], bench: PanelBench
) -> Conflict:
    """Return the smallest of `found`; ties go to the first by rule, then by recipe."""
    groups, ranked = min(
        found, key=lambda each: (len(each[1]), [(p.rule, p.place, p.entry) for p in each[1]])
    )
    limits = tuple(p.limit for p in ranked)
    return Conflict(limits, gap(limits, groups, bench.cloth, bench.press.unit))


Keys = Collection[tuple[str, str]]


def gap(
    limits: Iterable[Limit], groups: Groups, cloth: ClothLimits, unit: Degrees
) -> dict[str, float]:
    """Return the first distance that is not zero: whole °F, seconds or steps of pressure."""
    keys = {(limit.owner, limit.key) for limit in limits}
    found = {
        "temperature_f": fahrenheit_step(
            max(_degrees_apart(keys, group, cloth) for group in groups), unit
        ),
        "dwell_s": _seconds_apart(keys, groups, cloth),
        "pressure_steps": max(_steps_apart(keys, group, cloth) for group in groups),
    }
    return next(({name: float(apart)} for name, apart in found.items() if apart), {})


def _degrees_apart(keys: Keys, group: GroupPieces, cloth: ClothLimits) -> int:
    heated = (*group.active, *group.passengers)
    lows = [p.sheet.low for p in group.active if (p.name, "temperature.low") in keys]
    highs = [p.sheet.high for p in heated if (p.name, "temperature.high") in keys]
    if (FABRIC, "temperature_max") in keys:
        highs.append(cloth.temperature_max)
    blocked = all(p.material.blocks_dye for p in group.active)
    if (FABRIC, "dye_cap") in keys and cloth.dye_cap is not None and not blocked:
        highs.append(cloth.dye_cap)
    return _apart(lows, highs)


def _apart(lows: Collection[int], highs: Collection[int]) -> int:
    return max(0, max(lows) - min(highs)) if lows and highs else 0


def _seconds_apart(keys: Keys, groups: Groups, cloth: ClothLimits) -> int:
    """Return the least distance over all temperatures that the other limits allow."""
    pieces = [p for group in groups for p in group.active]
    ways = [
        {
            _seconds_at(degree, keys, group, cloth, pieces)
            for degree in points.distinct_degrees(group, cloth)
            if _is_allowed(degree, keys, group, cloth)
        }
        for group in groups
    ]
    return min((_most_apart(way, keys, cloth, pieces) for way in product(*ways)), default=0)


def _most_apart(
    way: Iterable[tuple[int, points.Heat]],
    keys: Keys,
    cloth: ClothLimits,
    pieces: Sequence[PieceLimits],
) -> int:
    """Return the widest distance in any closing or in the heat of all of them."""
    closings: tuple[int, ...]
    closings, heats = zip(*way, strict=True)
    excess = points.heat_over(tuple(map(sum, zip(*heats, strict=True))), pieces, cloth)
    return max(
        0, *closings, *(seconds for owner, seconds in excess if (owner, "total_heat") in keys)
    )


def _is_allowed(degree: int, keys: Keys, group: GroupPieces, cloth: ClothLimits) -> bool:
    """Return whether the conflict's limits allow `degree`, and its sheets have seconds there."""
    allowed = not any(
        broken and (owner, key) in keys
        for owner, key, broken in points.temperature_limits(group, cloth, degree)
    )
    silent = {p.name for p in group.active if p.sheet.dwell_at(degree) is None}
    return allowed and not any(
        owner in silent and key in ("dwell.low", "dwell.high") for owner, key in keys
    )


def _seconds_at(
    degree: int, keys: Keys, group: GroupPieces, cloth: ClothLimits, pieces: Sequence[PieceLimits]
) -> tuple[int, points.Heat]:
    """Return the widest distance in any closing, and the heat of the fewest seconds."""
    closings = points.seconds_demands(group, degree)
    lows = [_lows(demand, keys) for demand in closings]
    apart = [
        _apart(low, _highs(demand, keys, cloth.most_at(degree)))
        for low, demand in zip(lows, closings, strict=True)
    ]
    fewest = [max(low, default=0) for low in lows]
    return max(apart), points.heat_of(list(zip(closings, fewest, strict=True)), pieces)


def _lows(demand: points.SecondsDemand, keys: Keys) -> list[int]:
    return [w.low for p, w in demand.windows if w and (p.name, f"{demand.key}.low") in keys]


def _highs(demand: points.SecondsDemand, keys: Keys, most: int) -> list[int]:
    highs = [w.high for p, w in demand.windows if w and (p.name, f"{demand.key}.high") in keys]
    return [*highs, most] if (FABRIC, "dwell_max") in keys else highs


def _steps_apart(keys: Keys, group: GroupPieces, cloth: ClothLimits) -> int:
    heated = (*group.active, *group.passengers)
    lows = [p.material.pressure_low for p in group.active if (p.name, "pressure.low") in keys]
    highs = [p.material.pressure_high for p in heated if (p.name, "pressure.high") in keys]
    if (FABRIC, "pressure_max") in keys:
        highs.append(cloth.fabric.pressure_max)
    return _apart(lows, highs)
