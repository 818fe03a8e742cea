"""Why nothing can be pressed: the smallest set of true limits without a common point, their gap."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence

from kiosk.catalog.base import Degrees, dataclass, fahrenheit_step
from kiosk.catalog.model import SheetRule
from kiosk.plan.model import FABRIC, Limit
from kiosk.plan.settings import points
from kiosk.plan.settings.limits import ClothLimits, Group, PieceLimits
from kiosk.plan.settings.rulebook import (
    Placed,
    Rulebook,
    bits,
    broken_stack,
    dwell_low,
    smallest_hitting,
)
from kiosk.plan.settings.splits import Bench


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
    broken = points.broken_limits(group, bench.cloth, book)
    if 0 in broken:
        return []
    return [tuple(book.placed[n] for n in bits(limits)) for limits in smallest_hitting(broken)]


def _first(found: Sequence[tuple[Group, tuple[Placed, ...]]], bench: Bench) -> Conflict:
    """Return the smallest of `found`; of equal ones the first by the rules, then the recipe."""
    group, placed = min(
        found, key=lambda each: (len(each[1]), [(p.rule, p.place, p.entry) for p in each[1]])
    )
    limits = tuple(p.limit for p in placed)
    return Conflict(limits, gap(limits, group, bench.cloth, bench.press.unit))


Found = tuple[tuple[Limit, ...], dict[str, float]]


@dataclass(frozen=True, slots=True)
class _Later:
    """A part's pieces, and those of earlier parts that lie under the platen with them."""

    laid: tuple[PieceLimits, ...]
    again: tuple[PieceLimits, ...]


def between_parts(
    pieces: Sequence[PieceLimits], bench: Bench
) -> tuple[tuple[Limit, ...], Mapping[str, float]]:
    """Return the fewest limits that keep the parts from following each other, and their gap.

    Each part can be pressed by itself: what is left are the pieces that lie under the platen a
    second time, and what the cloth takes in all. Where no few of them are known to be enough,
    all limits together are.
    """
    parts = tuple(_later(pieces, bench))
    found = [*_again(parts, bench), *_totals(parts, bench)]
    if found:
        return min(found, key=lambda each: len(each[0]))
    book = Rulebook(pieces, bench.cloth, bench.policy)
    return tuple(each.limit for each in book.placed), {}


def _later(pieces: Sequence[PieceLimits], bench: Bench) -> Iterator[_Later]:
    before: tuple[PieceLimits, ...] = ()
    for part in bench.parts:
        laid = tuple(p for p in pieces if p.element in part.elements)
        yield _Later(laid, tuple(p for p in before if p.element in part.under))
        before += laid


def _again(parts: Sequence[_Later], bench: Bench) -> Iterator[Found]:
    """What a piece under the platen again does not bear of what the part's own pieces ask for."""
    for part in parts:
        for old in part.again:
            if old.material.sheet_carrier_off is SheetRule.NO_PRESS:
                yield (_sheet(old),), {}
            for new in part.laid:
                yield from _pair(new, old, bench.press.unit)


def _pair(new: PieceLimits, old: PieceLimits, unit: Degrees) -> Iterator[Found]:
    if (apart := new.sheet.low - old.sheet.high) > 0:
        low = Limit(new.name, "temperature.low", new.material.temperature.low.text)
        high = Limit(old.name, "temperature.high", old.material.temperature.high.text)
        yield (low, high), {"temperature_f": float(fahrenheit_step(apart, unit))}
    if (steps := new.material.pressure_low - old.material.pressure_high) > 0:
        low = Limit(new.name, "pressure.low", new.material.pressure_low.word)
        high = Limit(old.name, "pressure.high", old.material.pressure_high.word)
        yield (low, high), {"pressure_steps": float(steps)}
    face = new.material.sheet_rule(new.carrier_in_final)
    if {face, old.material.sheet_carrier_off} == {SheetRule.REQUIRED, SheetRule.FORBIDDEN}:
        key = "carrier_on" if new.carrier_in_final else "carrier_off"
        yield (Limit(new.name, f"cover_sheet.{key}", face.value), _sheet(old)), {}


def _sheet(piece: PieceLimits) -> Limit:
    return Limit(piece.name, "cover_sheet.carrier_off", piece.material.sheet_carrier_off.value)


def _totals(parts: Sequence[_Later], bench: Bench) -> Iterator[Found]:
    """The fewest seconds of all parts against what the cloth takes, and each piece."""
    asked = [_fewest(part.laid) for part in parts]
    over = bench.cloth.pre_press_seconds + sum(s for s, _ in asked) - bench.cloth.total_seconds
    if over > 0:
        total = Limit(FABRIC, "total_heat", bench.cloth.fabric.total_heat.text)
        yield (*(limit for _, limits in asked for limit in limits), total), {"dwell_s": float(over)}
    for place, part in enumerate(parts):
        for piece in part.laid:
            under = [place, *(n for n, later in enumerate(parts) if piece in later.again)]
            heat = sum(asked[n][0] for n in under)
            if (over := heat - piece.sheet.total_seconds) > 0:
                total = Limit(piece.name, "total_heat", piece.material.total_heat.text)
                limits = tuple(limit for n in under for limit in asked[n][1])
                yield (*limits, total), {"dwell_s": float(over)}


def _fewest(laid: Sequence[PieceLimits]) -> tuple[int, tuple[Limit, ...]]:
    """The fewest seconds of a part pressed in one group, tacks too, and who asks for them."""
    slowest = max(laid, key=_least)
    seconds = _least(slowest)
    limits = [Limit(slowest.name, "dwell.low", dwell_low(slowest.material))]
    for layer in sorted({p.layer for p in laid if p.stacked}):
        tacked = [p for p in laid if p.stacked and p.layer == layer and p.sheet.tack]
        longest = max(tacked, key=lambda p: p.sheet.tack.low if p.sheet.tack else 0, default=None)
        if longest is not None and longest.sheet.tack and longest.material.tack:
            seconds += longest.sheet.tack.low
            limits.append(Limit(longest.name, "tack.low", longest.material.tack.low.text))
    return seconds, tuple(limits)


def _least(piece: PieceLimits) -> int:
    return min(window.low for window in piece.sheet.dwell.values())


Keys = Collection[tuple[str, str]]


def gap(
    limits: Iterable[Limit], group: Group, cloth: ClothLimits, unit: Degrees
) -> dict[str, float]:
    """Return the first distance that is not zero: whole °F, seconds or steps of pressure."""
    keys = {(limit.owner, limit.key) for limit in limits}
    found = {
        "temperature_f": fahrenheit_step(_degrees_apart(keys, group, cloth), unit),
        "dwell_s": _seconds_apart(keys, group, cloth),
        "pressure_steps": _steps_apart(keys, group, cloth),
    }
    return next(({name: float(apart)} for name, apart in found.items() if apart), {})


def _degrees_apart(keys: Keys, group: Group, cloth: ClothLimits) -> int:
    lows = [p.sheet.low for p in group.active if (p.name, "temperature.low") in keys]
    highs = [p.sheet.high for p in group.active if (p.name, "temperature.high") in keys]
    if (FABRIC, "temperature_max") in keys:
        highs.append(cloth.temperature_max)
    if (FABRIC, "dye_cap") in keys and cloth.dye_cap is not None:
        highs.append(cloth.dye_cap)
    return _apart(lows, highs)


def _apart(lows: Collection[int], highs: Collection[int]) -> int:
    return max(0, max(lows) - min(highs)) if lows and highs else 0


def _seconds_apart(keys: Keys, group: Group, cloth: ClothLimits) -> int:
    """Return the least distance at any temperature that the other limits leave."""
    left = [
        degree for degree in points.unlike(group, cloth) if _is_left(degree, keys, group, cloth)
    ]
    return min((_seconds_apart_at(degree, keys, group, cloth) for degree in left), default=0)


def _is_left(degree: int, keys: Keys, group: Group, cloth: ClothLimits) -> bool:
    """Return whether temperature is kept, and no sheet of the conflict is silent about seconds."""
    kept = not any(
        broken and (owner, key) in keys
        for owner, key, broken in points.temperature_limits(group, cloth, degree)
    )
    silent = {p.name for p in group.active if p.sheet.dwell_at(degree) is None}
    return kept and not any(
        owner in silent and key in ("dwell.low", "dwell.high") for owner, key in keys
    )


def _seconds_apart_at(degree: int, keys: Keys, group: Group, cloth: ClothLimits) -> int:
    closings = points.seconds_asked(group, degree)
    lows = [_lows(asked, keys) for asked in closings]
    apart = [
        _apart(low, _highs(asked, keys, cloth.most_at(degree)))
        for low, asked in zip(lows, closings, strict=True)
    ]
    fewest = [max(low, default=0) for low in lows]
    if (FABRIC, "total_heat") in keys:
        apart.append(cloth.pre_press_seconds + sum(fewest) - cloth.total_seconds)
    for p in group.active:
        if (p.name, "total_heat") in keys:
            heat = sum(
                low
                for low, asked in zip(fewest, closings, strict=True)
                if p.name in asked.layout.heated
            )
            apart.append(heat - p.sheet.total_seconds)
    return max(0, *apart)


def _lows(asked: points.Asked, keys: Keys) -> list[int]:
    return [w.low for p, w in asked.windows if w and (p.name, f"{asked.key}.low") in keys]


def _highs(asked: points.Asked, keys: Keys, most: int) -> list[int]:
    highs = [w.high for p, w in asked.windows if w and (p.name, f"{asked.key}.high") in keys]
    return [*highs, most] if (FABRIC, "dwell_max") in keys else highs


def _steps_apart(keys: Keys, group: Group, cloth: ClothLimits) -> int:
    pieces = [(p.name, p.material) for p in group.active]
    lows = [m.pressure_low for name, m in pieces if (name, "pressure.low") in keys]
    highs = [m.pressure_high for name, m in pieces if (name, "pressure.high") in keys]
    if (FABRIC, "pressure_max") in keys:
        highs.append(cloth.fabric.pressure_max)
    return _apart(lows, highs)
