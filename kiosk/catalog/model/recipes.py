"""Recipes: what is pressed on each panel, element by element, layer by layer."""

from collections.abc import Callable, Mapping
from dataclasses import replace

from kiosk.catalog.base import dataclass
from kiosk.catalog.base.quantities import Length
from kiosk.catalog.model.sheets import Material


@dataclass(frozen=True, slots=True)
class Layer:
    """One piece of an element: a material in a colour (a word)."""

    material: str
    colour: str


MOST_LAYERS = 6  # of an element: the search for settings grows with them


@dataclass(frozen=True, slots=True)
class Element:
    """A name or a number; its nth piece from the fabric up is `<name>.<n>`."""

    name: str
    layers: tuple[Layer, ...]
    shared_carrier: bool = False
    height: Length | None = None

    def pieces(self) -> tuple[str, ...]:
        """Return the names of its pieces from the fabric up."""
        return tuple(f"{self.name}.{n}" for n in range(1, len(self.layers) + 1))


@dataclass(frozen=True, slots=True)
class Panel:
    """One side of the garment, pressed by itself."""

    name: str
    elements: tuple[Element, ...]


@dataclass(frozen=True, slots=True)
class Recipe:
    """The panels to press on each garment of an order, in pressing order."""

    key: str
    title: str
    panels: tuple[Panel, ...]


def colours_of(recipe: Recipe) -> tuple[str, ...]:
    """Return the colours of a recipe's pieces, each once, in the order of the panels."""
    elements = (element for panel in recipe.panels for element in panel.elements)
    return tuple(dict.fromkeys(layer.colour for e in elements for layer in e.layers))


def materials_of(recipe: Recipe) -> tuple[str, ...]:
    """Return the keys of a recipe's materials, each once, in the order of the panels."""
    elements = (element for panel in recipe.panels for element in panel.elements)
    return tuple(dict.fromkeys(layer.material for e in elements for layer in e.layers))


def recoloured(recipe: Recipe, colours: Mapping[str, str]) -> Recipe:
    """Return the recipe in other colours; `colours` maps its own to the new ones."""

    def piece(_: Element, each: Layer) -> Layer:
        return replace(each, colour=colours.get(each.colour, each.colour))

    return _relaid(recipe, piece) if colours else recipe


def refilmed(recipe: Recipe, films: Mapping[str, Material]) -> Recipe:
    """Return the recipe with other films, by element name; a film's own colour wins."""

    def piece(element: Element, each: Layer) -> Layer:
        film = films.get(element.name)
        return each if film is None else Layer(film.key, film.colour or each.colour)

    return _relaid(recipe, piece) if films else recipe


def _relaid(recipe: Recipe, piece: Callable[[Element, Layer], Layer]) -> Recipe:
    """Return the recipe with each layer replaced by what `piece` returns for it."""

    def element(each: Element) -> Element:
        return replace(each, layers=tuple(piece(each, layer) for layer in each.layers))

    panels = (replace(p, elements=tuple(map(element, p.elements))) for p in recipe.panels)
    return replace(recipe, panels=tuple(panels))
