"""Points of closing groups (a choice of degrees, seconds, ...) and the limits that each breaks."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from functools import reduce
from itertools import product

from kiosk.catalog.base import Pressure, dataclass
from kiosk.catalog.model import Peel, SheetRule
from kiosk.plan.model import FABRIC
from kiosk.plan.settings.frames import SHORT_TACK_SECONDS, by_carrier
from kiosk.plan.settings.limits import (
    ClothLimits,
    GroupPieces,
    PieceLimits,
    SecondsWindow,
    SheetLimits,
    StackLayout,
)
from kiosk.plan.settings.rulebook import POLICY, Judged, Rulebook, either, least_broken

Heat = tuple[int, ...]  # seconds: of the cloth without pre-press, then of each piece
Way = tuple[int, Heat]  # the limits that a point breaks, except totals, and its heat


def broken_limits(groups: Sequence[GroupPieces], cloth: ClothLimits, book: Rulebook) -> list[int]:
    """Return the minimal sets of limits broken by points of `groups`, pressed in sequence.

    One set is empty if all limits agree at some point.
    """
    pieces = [p for group in groups for p in group.active]
    ways = reduce(_after, [_ways(group, pieces, cloth, book) for group in groups])
    with_heat = least_broken(
        broken | book.broken(totals(heat, pieces, cloth)) for broken, heat in ways
    )
    anywhere = (sets for group in groups for sets in _anywhere(group, cloth, book))
    return reduce(either, anywhere, with_heat)


def _ways(
    group: GroupPieces, pieces: Sequence[PieceLimits], cloth: ClothLimits, book: Rulebook
) -> list[Way]:
    return _least(
        (limits, heat_of(timed, pieces))
        for degree in distinct_degrees(group, cloth)
        for at_degree in [_broken_at(degree, group, cloth, book)]
        for timed, broken in _timed_closings(group, cloth, degree, book)
        for limits in either(at_degree, broken)
    )


def _after(first: Sequence[Way], second: Sequence[Way]) -> list[Way]:
    return _least(
        (a | b, tuple(map(int.__add__, heat, other_heat)))
        for a, heat in first
        for b, other_heat in second
    )


def _least(ways: Iterable[Way]) -> list[Way]:
    """Return the ways not beaten by another that breaks nothing else and brings no more heat."""
    minimal: list[Way] = []
    for broken, heat in sorted(set(ways), key=lambda way: (way[0].bit_count(), sum(way[1]))):
        if not any(
            a & broken == a and all(map(int.__le__, least_heat, heat)) for a, least_heat in minimal
        ):
            minimal.append((broken, heat))
    return minimal


def degrees(group: GroupPieces, cloth: ClothLimits) -> range:
    """Return the degrees from below all limits to above them: nothing changes beyond."""
    sheets = [p.sheet for p in group.active]
    coldest = min(cloth.coldest, *(sheet.low for sheet in sheets))
    return range(coldest, max(cloth.temperature_max, *(sheet.high for sheet in sheets)) + 1)


def distinct_degrees(group: GroupPieces, cloth: ClothLimits) -> Collection[int]:
    """Return one of `degrees` for each distinct reading of the limits; the others repeat these."""
    sheets, highs = {p.sheet for p in group.active}, {p.sheet.high for p in group.passengers}
    return {
        _reading(sheets, highs, cloth, degree): degree for degree in degrees(group, cloth)
    }.values()


def temperature_limits(group: GroupPieces, cloth: ClothLimits, degree: int) -> list[Judged]:
    """Return the temperature limits, judged at `degree`."""
    judged = [(FABRIC, "temperature_max", degree > cloth.temperature_max)]
    dye = cloth.dye_cap is not None and degree > cloth.dye_cap
    blocked = all(p.material.blocks_dye for p in group.active)
    judged.append((FABRIC, "dye_cap", dye and not blocked))
    for p in group.active:
        judged.append((p.name, "temperature.low", degree < p.sheet.low))
        judged.append((p.name, "temperature.high", degree > p.sheet.high))
    judged += [(p.name, "temperature.high", degree > p.sheet.high) for p in group.passengers]
    return judged


def _reading(
    sheets: Iterable[SheetLimits], highs: Iterable[int], cloth: ClothLimits, degree: int
) -> tuple[int, ...]:
    """Return all that the limits say at `degree`: degrees with equal readings are alike.

    `highs` are those of the passengers.
    """
    dye = cloth.dye_cap is not None and degree > cloth.dye_cap
    reading = [cloth.most_at(degree), degree > cloth.temperature_max, dye]
    for sheet in sheets:
        reading += (degree < sheet.low, degree > sheet.high, sheet.alike_at(degree))
    return (*reading, *(degree > high for high in highs))


def _broken_at(degree: int, group: GroupPieces, cloth: ClothLimits, book: Rulebook) -> list[int]:
    """Return what points of one temperature break, apart from seconds and limits in `_anywhere`."""
    carried = group.final().carried
    peels = _peel(carried, {p.name: p.sheet.peel_at(degree) for p in carried}, "peel", book)
    return either([book.broken(temperature_limits(group, cloth, degree))], peels)


def _anywhere(group: GroupPieces, cloth: ClothLimits, book: Rulebook) -> list[list[int]]:
    """Return what points break at any temperature, kind by kind."""
    pressures = [book.broken(_pressure_limits(group, cloth, pressure)) for pressure in Pressure]
    tacks = [
        _peel(tack.laid, {p.name: p.tack_peel for p in tack.laid}, "tack.peel", book)
        for tack in group.tacks()
    ]
    return [least_broken(pressures), sheet_points(group.final(), book), *tacks]


def _pressure_limits(group: GroupPieces, cloth: ClothLimits, pressure: Pressure) -> list[Judged]:
    judged = [(FABRIC, "pressure_max", pressure > cloth.fabric.pressure_max)]
    for p in group.active:
        judged.append((p.name, "pressure.low", pressure < p.material.pressure_low))
        judged.append((p.name, "pressure.high", pressure > p.material.pressure_high))
    for p in group.passengers:
        judged.append((p.name, "pressure.high", pressure > p.material.pressure_high))
    return judged


def _peel(
    pieces: Sequence[PieceLimits], allowed: Mapping[str, frozenset[Peel]], key: str, book: Rulebook
) -> list[int]:
    """Return what the times to peel break: all at once, or each carrier at its own time."""
    if not pieces:
        return [0]
    units = [
        [book.broken((p.name, key, peel not in allowed[p.name]) for p in unit) for peel in Peel]
        for unit in by_carrier(pieces)
    ]
    together = [reduce(int.__or__, broken) for broken in zip(*units, strict=True)]
    not_staged = book.broken([(POLICY, "staged_peel", True)])
    return least_broken([*together, *either([not_staged], reduce(either, units))])


@dataclass(frozen=True, slots=True)
class SecondsDemand:
    """The seconds that one closing's pieces ask for at a degree; `key` is `tack` or `dwell`."""

    layout: StackLayout
    key: str
    windows: tuple[tuple[PieceLimits, SecondsWindow | None], ...]

    def fewest(self) -> list[int]:
        """Return the fewest seconds of each piece."""
        return [window.low for _, window in self.windows if window]


def seconds_demands(group: GroupPieces, degree: int) -> list[SecondsDemand]:
    """Return what each closing of `group` asks for at `degree`, the final last."""
    tacks = [
        SecondsDemand(layout, "tack", tuple((p, p.sheet.tack) for p in layout.laid))
        for layout in group.tacks()
    ]
    final = group.final()
    return [
        *tacks,
        SecondsDemand(final, "dwell", tuple((p, p.sheet.dwell_at(degree)) for p in final.laid)),
    ]


Timed = Sequence[
    tuple[SecondsDemand, int]
]  # the closings of a group with their seconds, the final last


def _timed_closings(
    group: GroupPieces, cloth: ClothLimits, degree: int, book: Rulebook
) -> Iterator[tuple[Timed, list[int]]]:
    """Yield the closings with their seconds at `degree`, and what those break, except totals.

    Only the fewest seconds of some piece, and zero, are tried: any second between them breaks at
    least as much.
    """
    closings, most = seconds_demands(group, degree), cloth.most_at(degree)
    choices = [_by_seconds(each, most, book, each is closings[-1]) for each in closings]
    for seconds in product(*choices):
        broken = [choice[each] for choice, each in zip(choices, seconds, strict=True)]
        yield list(zip(closings, seconds, strict=True)), reduce(either, broken)


def _by_seconds(
    demand: SecondsDemand, most: int, book: Rulebook, final: bool
) -> dict[int, list[int]]:
    """Return what one closing breaks by its seconds, and by its sheet unless it is the final."""
    found = {}
    for seconds in {0, *demand.fewest()}:
        found[seconds] = [book.broken(window_limits(demand, seconds, most))]
        if not final:
            sheets = sheet_points(demand.layout, book, short=seconds <= SHORT_TACK_SECONDS)
            found[seconds] = either(found[seconds], sheets)
    return found


def window_limits(demand: SecondsDemand, seconds: int, most: int) -> Iterator[Judged]:
    """Yield the limits on one closing's `seconds`, judged; `most` is what the cloth allows."""
    yield FABRIC, "dwell_max", seconds > most
    for p, window in demand.windows:
        yield p.name, f"{demand.key}.low", window is None or seconds < window.low
        yield p.name, f"{demand.key}.high", window is None or seconds > window.high


def heat_of(timed: Timed, pieces: Iterable[PieceLimits]) -> Heat:
    """Return the heat that closings bring to the cloth and to each of `pieces`."""
    each = (sum(s for demand, s in timed if p.name in demand.layout.heated) for p in pieces)
    return sum(seconds for _, seconds in timed), *each


def totals(heat: Heat, pieces: Iterable[PieceLimits], cloth: ClothLimits) -> Iterator[Judged]:
    """Yield the limits on total heat of the cloth and of `pieces`, judged."""
    excess = heat_over(heat, pieces, cloth)
    yield from ((owner, "total_heat", seconds > 0) for owner, seconds in excess)


def heat_over(
    heat: Heat, pieces: Iterable[PieceLimits], cloth: ClothLimits
) -> Iterator[tuple[str, int]]:
    """Yield by how many seconds `heat` exceeds what the cloth and each of `pieces` can take."""
    yield FABRIC, cloth.pre_press_seconds + heat[0] - cloth.total_seconds
    for p, seconds in zip(pieces, heat[1:], strict=True):
        yield p.name, seconds - p.sheet.total_seconds


def sheet_points(layout: StackLayout, book: Rulebook, *, short: bool = False) -> list[int]:
    """Return what the cover sheet off or on breaks; `short`: bare film may go without one."""
    closed = {SheetRule.NO_PRESS}
    off, on = closed | {SheetRule.REQUIRED}, closed | {SheetRule.FORBIDDEN}
    points = [
        [*_carrier_on_rules(layout, off), *_carrier_off_rules(layout, off)],
        [*_carrier_on_rules(layout, on), *_carrier_off_rules(layout, on)],
    ]
    if short:
        excused = [*_carrier_on_rules(layout, off), *_carrier_off_rules(layout, closed)]
        points.append([*excused, (POLICY, "bare_tack", True)])
    return least_broken(book.broken(judged) for judged in points)


def _carrier_on_rules(layout: StackLayout, against: set[SheetRule]) -> Iterator[Judged]:
    for p in layout.carried:
        yield p.name, "cover_sheet.carrier_on", p.material.sheet_carrier_on in against


def _carrier_off_rules(layout: StackLayout, against: set[SheetRule]) -> Iterator[Judged]:
    for p in layout.bare:
        yield p.name, "cover_sheet.carrier_off", p.material.sheet_carrier_off in against
