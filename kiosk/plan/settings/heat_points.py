"""What the seconds of a group's closings break, and the cover sheets that depend on them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import reduce
from itertools import product

from kiosk.catalog.model import SheetRule
from kiosk.plan.settings.faces import SHORT_TACK_SECONDS
from kiosk.plan.settings.group import Group, Layout, PieceLimits
from kiosk.plan.settings.hitting import either, least_broken
from kiosk.plan.settings.limits import ClothLimits, SecondsWindow
from kiosk.plan.settings.rulebook import FABRIC, POLICY, Judged, Rulebook


@dataclass(frozen=True, slots=True)
class Asked:
    """The seconds that one closing's pieces ask for at a degree; `key` is `tack` or `dwell`."""

    layout: Layout
    key: str
    windows: tuple[tuple[PieceLimits, SecondsWindow | None], ...]

    def fewest(self) -> list[int]:
        """Return the fewest seconds of each piece."""
        return [window.low for _, window in self.windows if window]


def seconds_asked(group: Group, degree: int) -> list[Asked]:
    """Return what each closing of `group` asks for at `degree`, the final last."""
    tacks = [
        Asked(layout, "tack", tuple((p, p.sheet.tack) for p in layout.laid))
        for layout in group.tacks()
    ]
    final = group.final()
    return [*tacks, Asked(final, "dwell", tuple((p, p.sheet.dwell_at(degree)) for p in final.laid))]


def heat_points(group: Group, cloth: ClothLimits, degree: int, book: Rulebook) -> list[int]:
    """Return the sets of limits that seconds at `degree` break, sheets of the tacks included.

    Only the fewest seconds of some piece are tried, and none at all: any second between them
    breaks at least as much.
    """
    closings = seconds_asked(group, degree)
    points: list[int] = []
    for seconds in product(*({0, *closing.fewest()} for closing in closings)):
        timed = list(zip(closings, seconds, strict=True))
        judged = [j for each in timed for j in window_limits(*each, cloth.most_at(degree))]
        broken = book.broken([*judged, *totals(timed, cloth)])
        sheets = [
            sheet_points(closing.layout, book, short=spent <= SHORT_TACK_SECONDS)
            for closing, spent in timed[:-1]
        ]
        points += reduce(either, sheets, [broken])
    return least_broken(points)


def window_limits(asked: Asked, seconds: int, most: int) -> Iterator[Judged]:
    """Yield the limits on one closing's `seconds`, judged; `most` is what the cloth bears."""
    yield FABRIC, "dwell_max", seconds > most
    for p, window in asked.windows:
        yield p.name, f"{asked.key}.low", window is None or seconds < window.low
        yield p.name, f"{asked.key}.high", window is None or seconds > window.high


def totals(timed: Sequence[tuple[Asked, int]], cloth: ClothLimits) -> Iterator[Judged]:
    """Yield the limits on all the heat of a group's closings, judged, the final last."""
    spent = cloth.pre_press_seconds + sum(seconds for _, seconds in timed)
    yield FABRIC, "total_heat", spent > cloth.total_seconds
    for p in timed[-1][0].layout.laid:
        heat = sum(seconds for asked, seconds in timed if p.name in asked.layout.heated)
        yield p.name, "total_heat", heat > p.sheet.total_seconds


def sheet_points(layout: Layout, book: Rulebook, *, short: bool = False) -> list[int]:
    """Return what the cover sheet off or on breaks; `short`: bare film may go without one."""
    closed = {SheetRule.NO_PRESS}
    off, on = closed | {SheetRule.REQUIRED}, closed | {SheetRule.FORBIDDEN}
    points = [
        [*_carried(layout, off), *_bare(layout, off)],
        [*_carried(layout, on), *_bare(layout, on)],
    ]
    if short:
        excused = [*_carried(layout, off), *_bare(layout, closed)]
        points.append([*excused, (POLICY, "bare_tack", True)])
    return least_broken(book.broken(judged) for judged in points)


def _carried(layout: Layout, against: set[SheetRule]) -> Iterator[Judged]:
    for p in layout.carried:
        yield p.name, "cover_sheet.carrier_on", p.material.sheet_carrier_on in against


def _bare(layout: Layout, against: set[SheetRule]) -> Iterator[Judged]:
    for p in layout.bare:
        yield p.name, "cover_sheet.carrier_off", p.material.sheet_carrier_off in against
