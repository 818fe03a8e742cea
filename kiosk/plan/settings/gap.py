"""How far apart the limits of a conflict are."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from fractions import Fraction

from kiosk.catalog.base import Degrees, nearest
from kiosk.plan.model import Limit
from kiosk.plan.settings.group import Group
from kiosk.plan.settings.limits import ClothLimits
from kiosk.plan.settings.points import Asked, degrees, seconds_asked, temperature_limits
from kiosk.plan.settings.rulebook import FABRIC

Keys = Collection[tuple[str, str]]


def gap(
    limits: Iterable[Limit], group: Group, cloth: ClothLimits, unit: Degrees
) -> dict[str, float]:
    """Return the first distance that is not zero: whole °F, seconds or steps of pressure."""
    keys = {(limit.owner, limit.key) for limit in limits}
    found = {
        "temperature_f": _in_fahrenheit(_degrees_apart(keys, group, cloth), unit),
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


def _in_fahrenheit(apart: int, unit: Degrees) -> int:
    return apart if unit is Degrees.F else nearest(apart * Fraction(9, 5))


def _seconds_apart(keys: Keys, group: Group, cloth: ClothLimits) -> int:
    """Return the least distance at any temperature that the other limits leave."""
    left = [degree for degree in degrees(group, cloth) if _is_left(degree, keys, group, cloth)]
    return min((_seconds_apart_at(degree, keys, group, cloth) for degree in left), default=0)


def _is_left(degree: int, keys: Keys, group: Group, cloth: ClothLimits) -> bool:
    """Return whether temperature is kept, and no sheet of the conflict is silent about seconds."""
    kept = not any(
        broken and (owner, key) in keys
        for owner, key, broken in temperature_limits(group, cloth, degree)
    )
    silent = {p.name for p in group.active if p.sheet.dwell_at(degree) is None}
    return kept and not any(
        owner in silent and key in ("dwell.low", "dwell.high") for owner, key in keys
    )


def _seconds_apart_at(degree: int, keys: Keys, group: Group, cloth: ClothLimits) -> int:
    closings = seconds_asked(group, degree)
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


def _lows(asked: Asked, keys: Keys) -> list[int]:
    return [w.low for p, w in asked.windows if w and (p.name, f"{asked.key}.low") in keys]


def _highs(asked: Asked, keys: Keys, most: int) -> list[int]:
    highs = [w.high for p, w in asked.windows if w and (p.name, f"{asked.key}.high") in keys]
    return [*highs, most] if (FABRIC, "dwell_max") in keys else highs


def _steps_apart(keys: Keys, group: Group, cloth: ClothLimits) -> int:
    pieces = [(p.name, p.material) for p in group.active]
    lows = [m.pressure_low for name, m in pieces if (name, "pressure.low") in keys]
    highs = [m.pressure_high for name, m in pieces if (name, "pressure.high") in keys]
    if (FABRIC, "pressure_max") in keys:
        highs.append(cloth.fabric.pressure_max)
    return _apart(lows, highs)
