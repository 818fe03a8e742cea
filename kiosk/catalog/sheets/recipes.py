"""Reads one recipe: panels, their elements, and the layers of each."""

import re
from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from kiosk.catalog.base.fields import ITS_KEY, LEFT_OUT, Field, Table
from kiosk.catalog.base.notes import listed, nearest_word, say
from kiosk.catalog.base.spots import Spot, attempt
from kiosk.catalog.base.values import Keyed, OrNull, flag, length, reference, word
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

    def layer(material: str, colour: str = "") -> Layer:
        sheet = materials.sound.get(material)
        return Layer(material, colour or (sheet.colour if sheet is not None else None) or "")

    named, colour = Field("material", reference(materials.names)), Field("colour", word, LEFT_OUT)
    layers = Field("layers", _listed(MOST_LAYERS, Table(layer, (named, colour))))
    element = Table(
        _element,
        (Field("element", _name(ELEMENTS), into="name"), layers, SHARED,
         Field("height", OrNull(length), LEFT_OUT)),
    )  # fmt: skip
    elements = Field("elements", _listed(MOST_ELEMENTS, element, "element"))
    panel = Table(_panel, (Field("panel", _name(PANELS), into="name"), SHARED, elements))
    panels = Field("panels", _listed(MOST_PANELS, panel, "panel"))
    return Table(_recipe, (Field("title", word, ITS_KEY), SHARED, panels)).under(key, spot)


SHARED = Field("shared_carrier", flag, LEFT_OUT)
"""What stands nearest to an element holds: its own, its panel's, the recipe's, else no."""
Shared = bool | None


def _element(shared_carrier: Shared = None, **own: Any) -> Callable[[bool], Element]:
    def made(above: bool) -> Element:
        return Element(shared_carrier=above if shared_carrier is None else shared_carrier, **own)

    return made


def _panel(name: str, elements: Any, shared_carrier: Shared = None) -> Callable[[bool], Panel]:
    def made(above: bool) -> Panel:
        shared = above if shared_carrier is None else shared_carrier
        return Panel(name, tuple(element(shared) for element in elements))

    return made


def _recipe(key: str, title: str, panels: Any, shared_carrier: bool = False) -> Recipe:
    return Recipe(key, title, tuple(panel(shared_carrier) for panel in panels))


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
