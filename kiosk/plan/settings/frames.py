"""Rules 1 to 7 of design.md section 4 for one closing group at one temperature."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kiosk.catalog.model import Peel, Policy, Pressure
from kiosk.plan.model import Purpose
from kiosk.plan.settings.faces import SHORT_TACK_SECONDS, cover_sheet, peel
from kiosk.plan.settings.group import Group, Layout
from kiosk.plan.settings.limits import ClothLimits, SecondsWindow

# The windows of seconds of the pieces laid, and the peels that those with a carrier on allow.
Asked = tuple[Sequence[SecondsWindow | None], Mapping[str, frozenset[Peel]]]


@dataclass(frozen=True, slots=True)
class ClosingFrame:
    """One closing before its seconds are chosen: what its own limits allow.

    `bare_tack`: up to 3 s of it need no cover sheet on bare film.
    """

    purpose: Purpose
    layout: Layout
    heated: tuple[str, ...]
    seconds: SecondsWindow
    peel: Mapping[str, Peel]
    bare_tack: bool

    def sheet_on(self, seconds: int) -> bool:
        """Return whether the cover sheet is on when it lasts `seconds`."""
        excused = self.bare_tack and seconds <= SHORT_TACK_SECONDS
        return bool(cover_sheet(self.layout, bare_excused=excused))


@dataclass(frozen=True, slots=True)
class GroupFrame:
    """A closing group at a temperature that its limits allow: its tacks, then its final."""

    group: Group
    temperature: int
    pressure: tuple[Pressure, Pressure]
    closings: tuple[ClosingFrame, ...]

    @property
    def fewest(self) -> tuple[int, ...]:
        """The fewest seconds of each closing."""
        return tuple(closing.seconds.low for closing in self.closings)

    @property
    def final(self) -> ClosingFrame:
        """The closing that bonds."""
        return self.closings[-1]


@dataclass(frozen=True, slots=True)
class Shop:
    """What a group is pressed on and by: cloth, the margin above T that it keeps, policy.

    `margin` is the press's tolerance in whole degrees, 0 where no margin is kept.
    """

    cloth: ClothLimits
    policy: Policy
    margin: int


def frames(group: Group, shop: Shop) -> dict[int, GroupFrame]:
    """Return the temperatures at which `group` can be pressed, totals of heat aside."""
    pressure = _pressure(group, shop.cloth)
    if pressure is None:
        return {}
    low, high = _temperatures(group, shop)
    found = {}
    for degree in range(low, high + 1):
        closings = _closings(group, shop, degree)
        if closings is not None:
            found[degree] = GroupFrame(group, degree, pressure, closings)
    return found


def _temperatures(group: Group, shop: Shop) -> tuple[int, int]:
    """Return the lowest and highest temperature that rules 1 to 3 leave."""
    cloth = shop.cloth
    highs = [p.sheet.high for p in (*group.active, *group.passengers)]
    highs.append(cloth.temperature_max - shop.margin)
    if cloth.dye_cap is not None and not all(p.material.blocks_dye for p in group.active):
        highs.append(cloth.dye_cap - shop.margin)
    return max(p.sheet.low for p in group.active), min(highs)


def _pressure(group: Group, cloth: ClothLimits) -> tuple[Pressure, Pressure] | None:
    low = max(p.material.pressure_low for p in group.active)
    under = (*group.active, *group.passengers)
    high = min(cloth.fabric.pressure_max, *(p.material.pressure_high for p in under))
    return (low, high) if low <= high else None


def _closings(group: Group, shop: Shop, degree: int) -> tuple[ClosingFrame, ...] | None:
    tacks = [_tack(layout, shop, degree) for layout in group.tacks()]
    found = [*tacks, _final(group.final(), shop, degree)]
    closings = tuple(closing for closing in found if closing is not None)
    return closings if len(closings) == len(found) else None


def _tack(layout: Layout, shop: Shop, degree: int) -> ClosingFrame | None:
    windows = [p.sheet.tack for p in layout.laid]
    allowed = {p.name: p.material.tack.peel for p in layout.laid if p.material.tack}
    return _closing(Purpose.TACK, layout, shop, degree, (windows, allowed))


def _final(layout: Layout, shop: Shop, degree: int) -> ClosingFrame | None:
    windows = [p.sheet.dwell_at(degree) for p in layout.laid]
    allowed = {p.name: p.sheet.peel_at(degree) for p in layout.carried}
    return _closing(Purpose.FINAL, layout, shop, degree, (windows, allowed))


def _closing(
    purpose: Purpose, layout: Layout, shop: Shop, degree: int, asked: Asked
) -> ClosingFrame | None:
    windows, allowed = asked
    bare_tack = purpose is Purpose.TACK and shop.policy.bare_tack
    most = _most(layout, shop, degree, bare_tack=bare_tack)
    peels = peel(layout.carried, allowed, staged=shop.policy.staged_peel)
    seconds = None if most is None else _common(windows, most)
    if seconds is None or peels is None:
        return None
    return ClosingFrame(purpose, layout, layout.heated, seconds, peels, bare_tack)


def _most(layout: Layout, shop: Shop, degree: int, *, bare_tack: bool) -> int | None:
    """Return the most seconds that the cloth and the faces allow; None if they forbid it."""
    most = min(shop.cloth.most_at(degree), shop.cloth.most_at(degree + shop.margin))
    if cover_sheet(layout, bare_excused=False) is not None:
        return most
    if bare_tack and cover_sheet(layout, bare_excused=True) is not None:
        return min(most, SHORT_TACK_SECONDS)
    return None


def _common(windows: Sequence[SecondsWindow | None], most: int) -> SecondsWindow | None:
    known = [window for window in windows if window is not None]
    if len(known) < len(windows):
        return None
    low, high = max(w.low for w in known), min(most, *(w.high for w in known))
    return SecondsWindow(low, high, max(w.normal for w in known)) if low <= high else None
