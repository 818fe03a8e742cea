"""Reads one recipe: panels, their elements, and the layers of each."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from functools import partial
from typing import TypeVar

from kiosk.catalog.base.message import say
from kiosk.catalog.base.notes import listed, nearest_word
from kiosk.catalog.base.quantities import Length
from kiosk.catalog.base.spots import Got, Spot, attempt
from kiosk.catalog.base.values import Keyed, flag, length, or_null, reference, word
from kiosk.catalog.model.sheets import Element, Layer, Material, Panel, Recipe

# Others may be named as well; one that is almost one of these is taken for a slip.
PANELS = ("back", "front", "left-sleeve", "right-sleeve", "left-chest", "right-chest")
ELEMENTS = ("name", "number")
ALMOST = 0.75  # `bakc` is that near to `back`, `sleeve` is not to `left-sleeve`
MOST_PANELS, MOST_ELEMENTS, MOST_LAYERS = 8, 8, 6  # the search of settings grows with them

_NAME = re.compile(r"\w[\w -]{0,29}")  # no dot: a piece is `<element>.<layer>`
T = TypeVar("T")


def recipe(key: str, materials: Keyed[Material], spot: Spot) -> Recipe:
    """Return the recipe of a file, `key` its stem; Unsound where anything is wrong, all noted.

    Layers are checked against `materials`; a layer without a colour has its material's.
    """
    f = spot.fields(("panels",), ("title", "shared_carrier"))
    title = f.get_or("title", word, key)
    shared = f.get_or("shared_carrier", flag, False)
    read_panel = partial(_panel, materials, shared)
    panels = f.get("panels", _listed(MOST_PANELS, read_panel, "panel"))
    return Recipe(key, title.value, panels.value)


def _panel(materials: Keyed[Material], shared_above: Got[bool], spot: Spot) -> Panel:
    f = spot.fields(("panel", "elements"), ("shared_carrier",))
    name = f.get("panel", _name(PANELS))
    shared = f.get("shared_carrier", flag) if "shared_carrier" in f.entries else shared_above
    read_element = partial(_element, materials, shared)
    elements = f.get("elements", _listed(MOST_ELEMENTS, read_element, "element"))
    return Panel(name.value, elements.value)


def _element(materials: Keyed[Material], shared_above: Got[bool], spot: Spot) -> Element:
    f = spot.fields(("element", "layers"), ("shared_carrier", "height"))
    no_height: Length | None = None
    name = f.get("element", _name(ELEMENTS))
    layers = f.get("layers", _listed(MOST_LAYERS, partial(_layer, materials)))
    shared = f.get("shared_carrier", flag) if "shared_carrier" in f.entries else shared_above
    height = f.get_or("height", or_null(length), no_height)
    return Element(name.value, layers.value, shared.value, height.value)


def _layer(materials: Keyed[Material], spot: Spot) -> Layer:
    f = spot.fields(("material",), ("colour",))
    key = f.get("material", reference(materials.names))
    colour = f.get_or("colour", word, "")
    sheet = materials.sound.get(key.value)
    own = sheet.colour if sheet is not None else None
    return Layer(key.value, colour.value or own or "")


def _name(usual: Sequence[str]) -> Callable[[Spot], str]:
    def read(spot: Spot) -> str:
        name = word(spot)
        if not _NAME.fullmatch(name):
            raise spot.wrong(say("catalog.recipe.name"))
        slip = "" if name in usual or not name.isalpha() else nearest_word(name, usual, ALMOST)
        if slip:
            raise spot.wrong(say("catalog.recipe.slip"), allowed=listed(usual), nearest=slip)
        return name

    return read


def _listed(
    most: int, read_one: Callable[[Spot], T], name_key: str = ""
) -> Callable[[Spot], tuple[T, ...]]:
    """Return a reader of 1 to `most` maps, no two with the same word under `name_key`."""

    def read(spot: Spot) -> tuple[T, ...]:
        items = spot.items()
        if len(items) > most:
            raise spot.wrong(say("catalog.recipe.many", most=most, count=len(items)))
        got = [attempt(read_one, item) for item in items]
        names = [item.word_under(name_key) for item in items]
        for n, (item, name) in enumerate(zip(items, names, strict=True)):
            if name and name in names[:n]:
                item.notes.add(say("catalog.recipe.twin"), line=item.line, key=item.key, found=name)
        return tuple(each.value for each in got)

    return read
