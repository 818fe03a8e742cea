"""Which limits a single final of all pieces breaks at given settings."""

from collections.abc import Iterable, Iterator, Mapping

from kiosk.catalog.base import dataclass
from kiosk.catalog.model import Fabric, Material, Panel, Policy, Press
from kiosk.plan.model import FABRIC, Limit
from kiosk.plan.settings.frames import peel
from kiosk.plan.settings.limits import GroupPieces, pieces_of, read_cloth, read_sheet
from kiosk.plan.settings.points import (
    heat_of,
    seconds_demands,
    temperature_limits,
    totals,
    window_limits,
)
from kiosk.plan.settings.rulebook import Judged, Rulebook


@dataclass(frozen=True, slots=True)
class BrokenLimit:
    """A limit that a setting breaks; `margin`: only if the press is off by its tolerance."""

    limit: Limit
    margin: bool = False


class TrialFinal:
    """One final of all pieces of a panel, to be judged at given settings."""

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
        self._group = GroupPieces(pieces_of(panel.elements, sheets))
        self._cloth = read_cloth(fabric, unit)
        self._policy = policy
        self._tolerance = press.tolerance.whole_in(unit)
        book = Rulebook(self._group.active, self._cloth, policy)
        self._limits = {(p.limit.owner, p.limit.key): p.limit for p in book.ranked}

    def broken(self, temperature: int, seconds: int) -> tuple[BrokenLimit, ...]:
        """Return the limits that such a final breaks, then those it breaks only with the margin.

        Degrees and seconds are whole, in the press's unit; tacks take their fewest seconds.
        """
        broken = self._broken_limits(self._judged(temperature, seconds))
        margin = self._broken_limits(self._with_margin(temperature, seconds))
        extra = (limit for limit in margin if limit not in broken)
        return (*map(BrokenLimit, broken), *(BrokenLimit(limit, margin=True) for limit in extra))

    def _broken_limits(self, judged: Iterable[Judged]) -> list[Limit]:
        broken_keys = ((owner, key) for owner, key, broken in judged if broken)
        return [self._limits[each] for each in broken_keys if each in self._limits]

    def _judged(self, degree: int, seconds: int) -> Iterator[Judged]:
        group, cloth = self._group, self._cloth
        yield from temperature_limits(group, cloth, degree)
        closings = seconds_demands(group, degree)
        yield from window_limits(closings[-1], seconds, cloth.most_at(degree))
        fewest = [max(tack.fewest(), default=0) for tack in closings[:-1]]
        timed = list(zip(closings, (*fewest, seconds), strict=True))
        yield from totals(heat_of(timed, group.active), group.active, cloth)
        carried = group.final().carried
        allowed = {p.name: p.sheet.peel_at(degree) for p in carried}
        impossible = peel(carried, allowed, staged=self._policy.staged_peel) is None
        yield from ((p.name, "peel", impossible) for p in carried)

    def _with_margin(self, degree: int, seconds: int) -> Iterator[Judged]:
        """The cloth's limits with the press as hot as its tolerance allows."""
        if not self._policy.guard_fabric:
            return
        hottest = degree + self._tolerance
        judged = temperature_limits(self._group, self._cloth, hottest)
        yield from (each for each in judged if each[1] in ("temperature_max", "dye_cap"))
        yield FABRIC, "dwell_max", seconds > self._cloth.most_at(hottest)
