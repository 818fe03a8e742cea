"""Recipes: panels, elements, layers and shared carriers."""

from __future__ import annotations

from pathlib import Path

import pytest
from catalog_folders import LAYERED, faults_with, ids, only, own_catalog, recipes_with

from kiosk.catalog.model.recipes import Layer
from kiosk.catalog.read import read_catalog

FIRST = "{element: name, layers: [{material: stack-film, colour: brown}, "


def test_a_recipe_is_read_as_written() -> None:
    recipe = own_catalog().recipes["two-layers"]
    (panel,) = recipe.panels
    assert panel.name == "back"
    assert [element.name for element in panel.elements] == ["name", "number"]
    assert panel.elements[1].layers == (Layer("stack-film", "brown"), Layer("stack-film", "tan"))
    assert not panel.elements[0].shared_carrier


def test_an_elements_own_height_is_read() -> None:
    front = own_catalog().recipes["two-sides"].panels[1]
    assert front.elements[0].height is not None
    assert front.elements[0].height.inches == 5


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("title:", "shared_carrier: yes\ntitle:"),
        ("  - panel: back\n", "  - panel: back\n    shared_carrier: yes\n"),
        (FIRST, FIRST.replace("name,", "name, shared_carrier: yes,")),
    ],
)
def test_elements_inherit_a_shared_carrier(tmp_path: Path, old: str, new: str) -> None:
    catalog, faults = read_catalog(recipes_with(tmp_path, LAYERED, (old, new)))
    assert not faults
    name, number = catalog.recipes["two-layers"].panels[0].elements
    assert name.shared_carrier
    assert number.shared_carrier is (old != FIRST)


def test_the_innermost_shared_carrier_setting_wins(tmp_path: Path) -> None:
    folder = recipes_with(
        tmp_path,
        LAYERED,
        ("title:", "shared_carrier: yes\ntitle:"),
        (FIRST, FIRST.replace("name,", "name, shared_carrier: no,")),
    )
    name, number = read_catalog(folder)[0].recipes["two-layers"].panels[0].elements
    assert (name.shared_carrier, number.shared_carrier) == (False, True)


def test_a_layer_without_a_colour_takes_its_materials(tmp_path: Path) -> None:
    recipes_with(
        tmp_path,
        "materials.yaml",
        ("title: Film that may be stacked", "colour: silver\n  title: P"),
    )
    folder = recipes_with(tmp_path, LAYERED, ("stack-film, colour: brown", "stack-film"))
    catalog, faults = read_catalog(folder)
    assert not faults
    first = catalog.recipes["two-layers"].panels[0].elements[0]
    assert [layer.colour for layer in first.layers] == ["silver", "tan"]


@pytest.mark.parametrize(
    ("old", "new", "key", "problem", "nearest"),
    [
        ("material: stack-film", "material: stak-film", "panels.1.elements.1.layers.1.material",
         "asked.known", "stack-film"),
        ("panel: back", "panel: bakc", "panels.1.panel", "recipe.slip", "back"),
        ("panel: back", "panel: bck", "panels.1.panel", "recipe.slip", "back"),
        ("element: number", "element: numbr", "panels.1.elements.2.element", "recipe.slip",
         "number"),
        ("element: number", "element: name", "panels.1.elements.2", "recipe.twin", ""),
        ("element: number", "element: number.1", "panels.1.elements.2.element", "recipe.name", ""),
        ("elements:", "elments:", "panels.1.elments", "key.unknown", "elements"),
    ],
)  # fmt: skip
def test_one_mistake_in_a_recipe_is_one_fault(
    tmp_path: Path, old: str, new: str, key: str, problem: str, nearest: str
) -> None:
    fault = only(faults_with(tmp_path, LAYERED, (old, new)))
    assert (fault.key, fault.problem.id) == (key, f"catalog.{problem}")
    assert fault.nearest == nearest


def test_a_repeated_panel_is_a_fault(tmp_path: Path) -> None:
    faults = faults_with(tmp_path, "two-sides.yaml", ("panel: front", "panel: back"))
    assert ids(faults) == ["panels.2: recipe.twin"]


def test_repeated_panels_are_reported_beside_other_faults(tmp_path: Path) -> None:
    faults = faults_with(
        tmp_path, "two-sides.yaml", ("panel: front", "panel: back"), ("height: 5 in", "height: 5 s")
    )
    assert ids(faults) == ["panels.2: recipe.twin", "panels.2.elements.1.height: amount.wrong_unit"]


def test_too_many_elements_are_refused(tmp_path: Path) -> None:
    one = "      - {{element: crest-{}, layers: [{{material: stack-film}}]}}\n"
    elements = "".join(one.format(n) for n in range(9))
    fault = only(faults_with(tmp_path, LAYERED, ("    elements:\n", f"    elements:\n{elements}")))
    assert fault.problem.id == "catalog.recipe.many"


def test_every_other_yaml_file_is_read_as_a_recipe(tmp_path: Path) -> None:
    folder = recipes_with(tmp_path, LAYERED)
    (folder / "notes.yaml").write_text("remember: the milk\n", "utf-8")
    assert ids(read_catalog(folder)[1]) == ["remember: key.unknown", "panels: key.missing"]


def test_a_recipe_file_ending_in_yml_is_reported(tmp_path: Path) -> None:
    folder = recipes_with(tmp_path, LAYERED)
    (folder / "patches.yaml").rename(folder / "patches.yml")
    fault = only(read_catalog(folder)[1])
    assert fault.problem.id == "catalog.file.ending"
    assert fault.nearest == "patches.yaml"


def test_a_file_name_that_cannot_be_a_key_is_refused(tmp_path: Path) -> None:
    folder = recipes_with(tmp_path, LAYERED)
    (folder / LAYERED).rename(folder / "ho\x07me.yaml")
    catalog, faults = read_catalog(folder)
    assert only(faults).problem.id == "catalog.word.characters"
    assert "ho\x07me" not in catalog.recipes


def test_a_recipe_name_may_look_like_a_message_id(tmp_path: Path) -> None:
    folder = recipes_with(tmp_path, LAYERED)
    (folder / LAYERED).rename(folder / "@peel.cold.yaml")
    catalog, faults = read_catalog(folder)
    assert faults == ()
    assert "@peel.cold" in catalog.recipes
