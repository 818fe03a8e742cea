"""The points of a closing group, each as the limits that it breaks, and one that is named."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from functools import reduce
from itertools import product

from kiosk.catalog.base import Pressure, dataclass
from kiosk.catalog.model import Fabric, Material, Panel, Peel, Policy, Press, SheetRule
from kiosk.plan.model import FABRIC, Limit
from kiosk.plan.settings.frames import SHORT_TACK_SECONDS, by_carrier, peel
from kiosk.plan.settings.limits import (
    ClothLimits,
    Group,
    Layout,
    PieceLimits,
    SecondsWindow,
    SheetLimits,
    pieces_of,
    read_cloth,
    read_sheet,
)
from kiosk.plan.settings.rulebook import POLICY, Judged, Rulebook, either, least_broken


def broken_limits(group: Group, cloth: ClothLimits, book: Rulebook) -> list[int]:
    """Return the sets of limits that points break; one is empty if all limits agree somewhere."""
    anywhere = reduce(either, _anywhere(group, cloth, book))
    return least_broken(
        broken
        for degree in unlike(group, cloth)
        for broken in either(anywhere, _at(degree, group, cloth, book))
    )


def degrees(group: Group, cloth: ClothLimits) -> range:
    """Return the degrees from below all limits to above them: beyond nothing changes."""
    sheets = [p.sheet for p in group.active]
    coldest = min(cloth.coldest, *(sheet.low for sheet in sheets))
    return range(coldest, max(cloth.temperature_max, *(sheet.high for sheet in sheets)) + 1)


def unlike(group: Group, cloth: ClothLimits) -> Collection[int]:
    """Return one of `degrees` for each thing that the limits say: at the others they say it too."""
    sheets = {p.sheet for p in group.active}
    return {_reading(sheets, cloth, degree): degree for degree in degrees(group, cloth)}.values()


def temperature_limits(group: Group, cloth: ClothLimits, degree: int) -> list[Judged]:
    """Return the limits of temperature, judged at `degree`."""
    judged = [(FABRIC, "temperature_max", degree > cloth.temperature_max)]
    judged.append((FABRIC, "dye_cap", cloth.dye_cap is not None and degree > cloth.dye_cap))
    for p in group.active:
        judged.append((p.name, "temperature.low", degree < p.sheet.low))
        judged.append((p.name, "temperature.high", degree > p.sheet.high))
    return judged


def _reading(sheets: Iterable[SheetLimits], cloth: ClothLimits, degree: int) -> tuple[int, ...]:
    """Return all that the limits say at `degree`: degrees with equal readings are alike."""
    dye = cloth.dye_cap is not None and degree > cloth.dye_cap
    read = [cloth.most_at(degree), degree > cloth.temperature_max, dye]
    for sheet in sheets:
        read += (degree < sheet.low, degree > sheet.high, sheet.alike_at(degree))
    return tuple(read)


def _at(degree: int, group: Group, cloth: ClothLimits, book: Rulebook) -> list[int]:
    """Return what points of one temperature break, but for what is equal at all of them."""
    carried = group.final().carried
    peels = _peel(carried, {p.name: p.sheet.peel_at(degree) for p in carried}, "peel", book)
    seconds = heat_points(group, cloth, degree, book)
    return either([book.broken(temperature_limits(group, cloth, degree))], either(seconds, peels))


def _anywhere(group: Group, cloth: ClothLimits, book: Rulebook) -> list[list[int]]:
    """Return what points break at any temperature, kind by kind."""
    pressures = [book.broken(_pressure_limits(group, cloth, pressure)) for pressure in Pressure]
    tacks = [
        _peel(tack.laid, {p.name: p.tack_peel for p in tack.laid}, "tack.peel", book)
        for tack in group.tacks()
    ]
    return [least_broken(pressures), sheet_points(group.final(), book), *tacks]


def _pressure_limits(group: Group, cloth: ClothLimits, pressure: Pressure) -> list[Judged]:
    judged = [(FABRIC, "pressure_max", pressure > cloth.fabric.pressure_max)]
    for p in group.active:
        judged.append((p.name, "pressure.low", pressure < p.material.pressure_low))
        judged.append((p.name, "pressure.high", pressure > p.material.pressure_high))
    return judged


def _peel(
    pieces: Sequence[PieceLimits], allowed: Mapping[str, frozenset[Peel]], key: str, book: Rulebook
) -> list[int]:
    """Return what the times to peel break: all at once, or each carrier at its own."""
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
    closings, most = seconds_asked(group, degree), cloth.most_at(degree)
    choices = [_by_seconds(each, most, book, each is closings[-1]) for each in closings]
    points: list[int] = []
    for seconds in product(*choices):
        heat = book.broken(totals(list(zip(closings, seconds, strict=True)), cloth))
        broken = [choice[each] for choice, each in zip(choices, seconds, strict=True)]
        points += reduce(either, broken, [heat])
    return least_broken(points)


def _by_seconds(asked: Asked, most: int, book: Rulebook, final: bool) -> dict[int, list[int]]:
    """Return what one closing breaks by its seconds, its sheet included unless it is the final."""
    found = {}
    for seconds in {0, *asked.fewest()}:
        found[seconds] = [book.broken(window_limits(asked, seconds, most))]
        if not final:
            sheets = sheet_points(asked.layout, book, short=seconds <= SHORT_TACK_SECONDS)
            found[seconds] = either(found[seconds], sheets)
    return found


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


@dataclass(frozen=True, slots=True)
class Broken:
    """A limit that a setting breaks; `margin`: only where the press wanders by its tolerance."""

    limit: Limit
    margin: bool = False


class Trial:
    """One final of all pieces of a panel, to be judged at settings that somebody names."""

    def __init__(
        self,
        panel: Panel,
        fabric: Fabric,
        press: Press,
        policy: Policy,
        materials: Mapping[str, Material],
    ) -> None:
        unit = press.unit
        names = {layer.material for e in panel.elements for layer in e.layers}
        sheets = {name: read_sheet(materials[name], unit) for name in names}
        self._group = Group(pieces_of(panel.elements, sheets))
        self._cloth = read_cloth(fabric, unit)
        self._policy = policy
        self._tolerance = press.tolerance.whole_in(unit)
        book = Rulebook(self._group.active, self._cloth, policy)
        self._written = {(p.limit.owner, p.limit.key): p.limit for p in book.placed}

    def broken(self, temperature: int, seconds: int) -> tuple[Broken, ...]:
        """Return what that final breaks, true limits first, then those kept by the margin.

        Degrees and seconds are whole, in the press's unit; tacks are taken at their fewest
        seconds.
        """
        true = self._found(self._judged(temperature, seconds))
        margin = self._found(self._with_margin(temperature, seconds))
        kept = (limit for limit in margin if limit not in true)
        return (*map(Broken, true), *(Broken(limit, margin=True) for limit in kept))

    def _found(self, judged: Iterable[Judged]) -> list[Limit]:
        named = ((owner, key) for owner, key, broken in judged if broken)
        return [self._written[each] for each in named if each in self._written]

    def _judged(self, degree: int, seconds: int) -> Iterator[Judged]:
        group, cloth = self._group, self._cloth
        yield from temperature_limits(group, cloth, degree)
        closings = seconds_asked(group, degree)
        yield from window_limits(closings[-1], seconds, cloth.most_at(degree))
        fewest = [max(tack.fewest(), default=0) for tack in closings[:-1]]
        yield from totals(list(zip(closings, (*fewest, seconds), strict=True)), cloth)
        carried = group.final().carried
        allowed = {p.name: p.sheet.peel_at(degree) for p in carried}
        nothing = peel(carried, allowed, staged=self._policy.staged_peel) is None
        yield from ((p.name, "peel", nothing) for p in carried)

    def _with_margin(self, degree: int, seconds: int) -> Iterator[Judged]:
        """The cloth's limits where the press is as hot as its tolerance lets it be."""
        if not self._policy.guard_fabric:
            return
        hottest = degree + self._tolerance
        judged = temperature_limits(self._group, self._cloth, hottest)
        yield from (each for each in judged if each[1] in ("temperature_max", "dye_cap"))
        yield FABRIC, "dwell_max", seconds > self._cloth.most_at(hottest)
