"""Reads placement.yaml: where the numbers and names of each sport stand."""

from __future__ import annotations

from kiosk.catalog.message import say
from kiosk.catalog.quantities import Length
from kiosk.catalog.sizes import SizeClass
from kiosk.catalog.sports import Place, Sport
from kiosk.catalog.spots import Spot
from kiosk.catalog.values import every, length, one_of, word

CLASSES = {each.value: each for each in SizeClass}
LENGTHS = ("top", "gap", "widest", "across", "name", "number", "least_name")
NO_LENGTH: Length | None = None


def sport(key: str, spot: Spot) -> Sport:
    """Return the sport under `key`; Unsound where anything in it is wrong, all noted."""
    f = spot.fields(("source", "places"), ("title",))
    title, source = f.get_or("title", word, key), f.get("source", word)
    places = f.get("places", every(_place))
    found = places.value
    _check_once(f.entries["places"], found)
    return Sport(key, title.value, source.value, found)


def _place(spot: Spot) -> Place:
    f = spot.fields(("panel", "size"), LENGTHS)
    panel, size_class = f.get("panel", word), f.get("size", one_of(CLASSES))
    got = {each: f.get_or(each, length, NO_LENGTH) for each in LENGTHS}
    return Place(
        panel.value, size_class.value, **{each: value.value for each, value in got.items()}
    )


def _check_once(spot: Spot, places: tuple[Place, ...]) -> None:
    """Note a panel that has two entries for one class of sizes."""
    seen = [(each.panel, each.size_class) for each in places]
    for n, (item, place) in enumerate(zip(spot.items(), seen, strict=True)):
        if place in seen[:n]:
            found = f"{place[0]}, {place[1].value}"
            raise item.wrong(say("catalog.recipe.twin"), allowed=found)
