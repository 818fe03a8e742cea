"""Cover sheet and peel: what the faces under the platen ask for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from kiosk.catalog.model import Peel, SheetRule
from kiosk.plan.settings.group import Layout, PieceLimits

SHORT_TACK_SECONDS = 3


def cover_sheet(layout: Layout, *, bare_excused: bool) -> bool | None:
    """Return whether the cover sheet goes on; None where the faces forbid the closing.

    `bare_excused`: bare film needs no sheet in this closing, a short tack.
    """
    bare = {p.material.sheet_carrier_off for p in layout.bare}
    if bare_excused:
        bare -= {SheetRule.REQUIRED}
    asked = bare | {p.material.sheet_carrier_on for p in layout.carried}
    if SheetRule.NO_PRESS in asked or asked >= {SheetRule.REQUIRED, SheetRule.FORBIDDEN}:
        return None
    return SheetRule.REQUIRED in asked


def by_carrier(pieces: Sequence[PieceLimits]) -> list[list[PieceLimits]]:
    """Return the pieces by the carrier that they come off with."""
    units: dict[str, list[PieceLimits]] = {}
    for piece in pieces:
        units.setdefault(piece.carrier, []).append(piece)
    return list(units.values())


def peel(
    pieces: Sequence[PieceLimits], allowed: Mapping[str, frozenset[Peel]], *, staged: bool
) -> dict[str, Peel] | None:
    """Return when each of `pieces`, all with a carrier on, is peeled; None if nothing suits.

    `allowed` by piece name; `staged`: carriers may come off at different times.
    """
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
