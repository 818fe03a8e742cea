"""The rules (see `rulebook`) for one closing group at one temperature."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import inf

from kiosk.catalog.base import Pressure, dataclass
from kiosk.catalog.model import Peel, Policy, SheetRule
from kiosk.plan.model import Purpose
from kiosk.plan.settings.limits import (
    ClothLimits,
    GroupPieces,
    PieceLimits,
    SecondsWindow,
    StackLayout,
)


@dataclass(frozen=True, slots=True)
class ClosingFrame:
    """One closing before its seconds are chosen; `bare_tack`: film needs no sheet up to 3 s."""

    purpose: Purpose
    layout: StackLayout
    heated: tuple[str, ...]
    seconds: SecondsWindow
    peel: Mapping[str, Peel]
    bare_tack: bool

    def sheet_on(self, seconds: int) -> bool:
        """Return whether the cover sheet is on in a closing of `seconds`."""
        excused = self.bare_tack and seconds <= SHORT_TACK_SECONDS
        return bool(cover_sheet(self.layout, bare_excused=excused))


@dataclass(frozen=True, slots=True)
class GroupFrame:
    """A closing group at a temperature that its limits allow: its tacks, then its final."""

    group: GroupPieces
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
class GroupCloth:
    """The cloth and policy of a group; `margin` is the tolerance kept, whole degrees, or 0."""

    cloth: ClothLimits
    policy: Policy
    margin: int


@dataclass(frozen=True, slots=True)
class ClosingFaces:
    """One closing by its faces: the cover sheet can suit them all up to `most_seconds`."""

    purpose: Purpose
    layout: StackLayout
    heated: tuple[str, ...]
    bare_tack: bool
    most_seconds: float


def frames(group: GroupPieces, group_cloth: GroupCloth) -> dict[int, GroupFrame]:
    """Return a frame for each temperature at which `group` can be pressed, ignoring heat totals."""
    (low, high), pressure = _temperatures(group, group_cloth), _pressure(group, group_cloth.cloth)
    if low > high or pressure is None:
        return {}
    closings = _faces(group, group_cloth.policy)
    if not all(faces.most_seconds for faces in closings):
        return {}
    found, firsts = {}, [sheet.alike for sheet in {p.sheet for p in group.active}]
    alike: dict[tuple[int, ...], tuple[ClosingFrame, ...]] = {}  # by the limits at a degree
    for degree in range(low, high + 1):
        most = min(
            group_cloth.cloth.most_at(degree),
            group_cloth.cloth.most_at(degree + group_cloth.margin),
        )
        reading = (most, *[first[degree] for first in firsts])
        if reading not in alike:
            timed = [_closing(faces, group_cloth, most, degree) for faces in closings]
            usable = tuple(closing for closing in timed if closing is not None)
            alike[reading] = usable if len(usable) == len(timed) else ()
        if alike[reading]:
            found[degree] = GroupFrame(group, degree, pressure, alike[reading])
    return found


def _temperatures(group: GroupPieces, group_cloth: GroupCloth) -> tuple[int, int]:
    """Return the lowest and highest temperature that rules 1 to 3 allow."""
    cloth = group_cloth.cloth
    highs = [p.sheet.high for p in (*group.active, *group.passengers)]
    highs.append(cloth.temperature_max - group_cloth.margin)
    if cloth.dye_cap is not None and not all(p.material.blocks_dye for p in group.active):
        highs.append(cloth.dye_cap - group_cloth.margin)
    return max(p.sheet.low for p in group.active), min(highs)


def _pressure(group: GroupPieces, cloth: ClothLimits) -> tuple[Pressure, Pressure] | None:
    low = max(p.material.pressure_low for p in group.active)
    heated = (*group.active, *group.passengers)
    high = min(cloth.fabric.pressure_max, *(p.material.pressure_high for p in heated))
    return (low, high) if low <= high else None


def _faces(group: GroupPieces, policy: Policy) -> list[ClosingFaces]:
    tacks = [(Purpose.TACK, layout, policy.bare_tack) for layout in group.tacks()]
    return [
        ClosingFaces(purpose, layout, layout.heated, bare_tack, _most_seconds(layout, bare_tack))
        for purpose, layout, bare_tack in (*tacks, (Purpose.FINAL, group.final(), False))
    ]


def _most_seconds(layout: StackLayout, bare_tack: bool) -> float:
    """Return how long a cover sheet, on or off, suits all faces; 0 if it never does."""
    if cover_sheet(layout, bare_excused=False) is not None:
        return inf
    excused = bare_tack and cover_sheet(layout, bare_excused=True) is not None
    return SHORT_TACK_SECONDS if excused else 0


def _closing(
    faces: ClosingFaces, group_cloth: GroupCloth, most: int, degree: int
) -> ClosingFrame | None:
    layout, tack = faces.layout, faces.purpose is Purpose.TACK
    windows = [p.sheet.tack if tack else p.sheet.dwell_at(degree) for p in layout.laid]
    seconds = _common(windows, min(most, faces.most_seconds))
    if seconds is None:
        return None
    allowed = {p.name: p.tack_peel if tack else p.sheet.peel_at(degree) for p in layout.carried}
    peels = peel(layout.carried, allowed, staged=group_cloth.policy.staged_peel)
    if peels is None:
        return None
    return ClosingFrame(
        faces.purpose, layout, faces.heated, seconds, peels, bare_tack=faces.bare_tack
    )


def _common(windows: Sequence[SecondsWindow | None], most: float) -> SecondsWindow | None:
    known = [window for window in windows if window is not None]
    if len(known) < len(windows):
        return None
    low, high = max(w.low for w in known), min(most, *(w.high for w in known))
    return SecondsWindow(low, int(high), max(w.normal for w in known)) if low <= high else None


SHORT_TACK_SECONDS = 3


def cover_sheet(layout: StackLayout, *, bare_excused: bool) -> bool | None:
    """Return whether the sheet is on, None if neither suits; `bare_excused`: a short tack."""
    bare = {p.material.sheet_carrier_off for p in layout.bare}
    if bare_excused:
        bare -= {SheetRule.REQUIRED}
    rules = bare | {p.material.sheet_carrier_on for p in layout.carried}
    if SheetRule.NO_PRESS in rules or rules >= {SheetRule.REQUIRED, SheetRule.FORBIDDEN}:
        return None
    return SheetRule.REQUIRED in rules


def by_carrier(pieces: Sequence[PieceLimits]) -> list[list[PieceLimits]]:
    """Return the pieces grouped by the carrier that they come off with."""
    units: dict[str, list[PieceLimits]] = {}
    for piece in pieces:
        units.setdefault(piece.carrier, []).append(piece)
    return list(units.values())


def peel(
    pieces: Sequence[PieceLimits], allowed: Mapping[str, frozenset[Peel]], *, staged: bool
) -> dict[str, Peel] | None:
    """Return when each of `pieces`, carrier on, is peeled (`staged`: one by one); None if never."""
    if not pieces:
        return {}
    for units in [[list(pieces)]] + ([by_carrier(pieces)] if staged else []):
        common = [frozenset.intersection(*(allowed[p.name] for p in unit)) for unit in units]
        if all(common):
            return {
                p.name: min(choice)
                for unit, choice in zip(units, common, strict=True)
                for p in unit
            }
    return None


@dataclass(frozen=True, slots=True)
class HeatRemaining:
    """The seconds of heat that each piece (by name) and the cloth can still take."""

    pieces: Mapping[str, int]
    cloth: int

    def most(self, closing: ClosingFrame) -> int:
        """Return the most seconds that `closing` may last."""
        return min(self.cloth, *(self.pieces[name] for name in closing.heated))

    def after(self, closings: Sequence[ClosingFrame], seconds: Sequence[int]) -> HeatRemaining:
        """Return what is left after each of `closings` has lasted its `seconds`."""
        pieces, cloth = dict(self.pieces), self.cloth
        for closing, spent in zip(closings, seconds, strict=True):
            cloth -= spent
            for name in closing.heated:
                pieces[name] -= spent
        return HeatRemaining(pieces, cloth)

    def at_fewest(self, closings: Sequence[ClosingFrame]) -> HeatRemaining:
        """Return the most that can be left after `closings`."""
        return self.after(closings, [closing.seconds.low for closing in closings])

    def bears(self, closings: Sequence[ClosingFrame]) -> bool:
        """Return whether `closings` can all be done, each in its fewest seconds."""
        remaining = self.at_fewest(closings)
        return min((remaining.cloth, *remaining.pieces.values())) >= 0


def all_remaining(pieces: Sequence[PieceLimits], cloth: ClothLimits) -> HeatRemaining:
    """Return what is left before a panel's first closing: only the cloth has had its pre-press."""
    return HeatRemaining(
        {p.name: p.sheet.total_seconds for p in pieces},
        cloth.total_seconds - cloth.pre_press_seconds,
    )


def seconds_choices(
    closings: Sequence[ClosingFrame], remaining: HeatRemaining
) -> Iterator[tuple[int, ...]]:
    """Yield the seconds of each of `closings`, best first.

    Each takes its normal, moved into its window and what is left. If a later one then has no
    seconds left, the closing before it gives way second by second, then the one before that.
    """
    if not remaining.bears(closings):
        return
    if not closings:
        yield ()
        return
    first, rest = closings[0], closings[1:]
    for seconds in range(_own_seconds(first, remaining), first.seconds.low - 1, -1):
        for later in seconds_choices(rest, remaining.after([first], [seconds])):
            yield (seconds, *later)


def _own_seconds(closing: ClosingFrame, remaining: HeatRemaining) -> int:
    window = closing.seconds
    return max(window.low, min(window.normal, window.high, remaining.most(closing)))
