"""A copy of a recipe with other films, written beside the original."""

from collections.abc import Mapping
from itertools import chain, count
from pathlib import Path

from kiosk.catalog.base.files import write_whole
from kiosk.catalog.base.notes import Fault
from kiosk.catalog.base.tree import scalar, values_by_path, with_entry, with_value
from kiosk.catalog.entries import key_of
from kiosk.catalog.model import Catalog, Recipe, refilmed
from kiosk.catalog.read import new_faults


def add_recipe(
    recipes: Path, key: str, films: Mapping[str, str], title: str, catalog: Catalog
) -> tuple[str, tuple[Fault, ...]]:
    """Write a copy of recipe `key` with other films, by element; return its key and the faults.

    If the shop already has such a recipe, its key is returned. With a fault nothing is changed.
    Raises OSError.
    """
    materials = {element: catalog.materials[film] for element, film in films.items()}
    recipe = refilmed(catalog.recipes[key], materials)
    alike = (each.key for each in catalog.recipes.values() if each.panels == recipe.panels)
    found = next(alike, "")
    if found:
        return found, ()
    stem = key_of("-".join((key, *dict.fromkeys(films.values()))))
    names = chain((stem,), (f"{stem}-{nth}" for nth in count(2)))
    fresh = next(name for name in names if not (recipes / f"{name}.yaml").exists())
    text = (recipes / f"{key}.yaml").read_bytes().decode("utf-8-sig")
    text = _with_films(with_entry(text, (), "title", scalar(title)), recipe)
    faults = new_faults(recipes, f"{fresh}.yaml", text)
    if not faults:
        write_whole(recipes / f"{fresh}.yaml", text.encode())
    return fresh, faults


def _with_films(text: str, recipe: Recipe) -> str:
    """Return a recipe's text with the films and colours of `recipe`, which has its shape."""
    for p, panel in enumerate(recipe.panels, 1):
        for e, element in enumerate(panel.elements, 1):
            for n, layer in enumerate(element.layers, 1):
                place = ("panels", str(p), "elements", str(e), "layers", str(n))
                text = with_value(text, (*place, "material"), scalar(layer.material))
                if (*place, "colour") in values_by_path(text):
                    text = with_value(text, (*place, "colour"), scalar(layer.colour))
    return text
