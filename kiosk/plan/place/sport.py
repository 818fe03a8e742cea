"""The rooms of a job's panels where its sport has places of its own."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from kiosk.catalog.base import Length
from kiosk.catalog.model import ANY, Place, SizeClass, Sport
from kiosk.plan.sizes import PlanRoom, Room, room


def rooms_of(
    sports: Mapping[str, Sport], sport: str, panels: Iterable[str]
) -> tuple[PlanRoom, ...]:
    """Return the rooms of `panels` that are not as usual: those for any sport, then `sport`'s."""
    own: dict[tuple[str, SizeClass], Room] = {}
    wanted = set(panels)
    for key in (ANY, sport):
        for place in sports[key].places if key in sports else ():
            if place.panel in wanted:
                at = place.panel, place.size_class
                own[at] = _placed(own.get(at) or room(*at), place)
    return tuple(PlanRoom(panel, size_class, each) for (panel, size_class), each in own.items())


def _placed(usual: Room, place: Place) -> Room:
    heights = {"name": place.name, "number": place.number}
    given = {"top": place.top, "gap": place.gap, "widest": place.widest, "across": place.across}
    given["least_name"] = place.least_name
    return replace(usual, heights={**usual.heights, **_inches(heights)}, **_inches(given))


def _inches(lengths: Mapping[str, Length | None]) -> dict[str, float]:
    return {key: float(each.inches) for key, each in lengths.items() if each is not None}
