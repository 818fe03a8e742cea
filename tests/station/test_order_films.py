"""An order with a material, fabric or press that is new to the shop, entered by touch."""

from __future__ import annotations

import re
import sys
from pathlib import Path

import pytest
from station_driver import PIN
from station_harness import Bench

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "catalog"))

from customer_files import CSV_ANSWERS
from new_sheets import FILM, SAID, filled
from order_person import at, choices, doubts, key_names, line_of, ordering, orders_shop, to_doubts

from kiosk.catalog.base.quantities import Degrees
from kiosk.catalog.entries import save
from kiosk.catalog.read import read_catalog, read_job
from kiosk.run.state.events_shift import OrderTaken, RecipesRead
from kiosk.station.desk.jobs.order_reading import OrderStep


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return orders_shop(tmp_path_factory.mktemp("orders"))


def test_an_order_uses_a_fabric_and_a_press_just_entered(
    bench: Bench, shop: Path, tmp_path: Path
) -> None:
    person = at(bench, shop, tmp_path)
    for kind in ("fabric", "press"):
        save(tmp_path / "recipes", filled(kind, *SAID[kind], Degrees.C))  # all but written
    to_doubts(person, "divers.csv", "Name and number in two layers")
    person.choose("New fabric", *PIN, "Enter", "Net knit", "Write it into the file")
    assert ordering(person).step is OrderStep.PRESS
    person.choose("New press", *PIN, "Enter", "dipper", "Write it into the file")
    assert ordering(person).step is OrderStep.COLOURS
    assert ordering(person).draft is not None
    said = ordering(person).reading
    assert said is not None
    assert (said.order.fabric, said.order.press) == ("net-knit", "dipper")
    person.close()


def test_an_order_takes_a_new_film_in_a_recipe_of_its_own(
    bench: Bench, shop: Path, tmp_path: Path
) -> None:
    person = at(bench, shop, tmp_path)
    recipes = tmp_path / "recipes"
    save(recipes, filled("material", "Skerry", FILM, Degrees.C))  # all but written
    before = {path.name: path.read_bytes() for path in recipes.glob("*.yaml")}
    person.choose("New film, fabric or press", *PIN, "Enter")
    assert {"New material", "New fabric", "New press", "Skerry"} <= key_names(person)
    person.choose("back")  # to the jobs, where it came from
    to_doubts(person, "divers.csv", "Cool film")
    assert re.fullmatch(r"up to \d+ °F", line_of(person, "Piqué"))
    assert re.fullmatch(r"up to \d+ °F · dye moves easily", line_of(person, "Polyester printed"))
    person.choose("Piqué")
    assert re.fullmatch(r"\d+ in × \d+ in, set to \d+ °F", line_of(person, "heron"))
    person.choose("back", "back")  # press, fabric: to the recipes
    assert re.fullmatch(r"\d+ to \d+ °F · orange", line_of(person, "Cool film"))
    person.choose("Cool film", "Piqué", "heron")
    assert {"name: Cool film", "number: Cool film"} <= key_names(person)
    person.choose("New material", *PIN, "Enter", "Skerry", "Write it into the file")
    assert ordering(person).step is OrderStep.COLOURS
    person.choose("number: Cool film")
    offered = [choice.label for choice in choices(person)]
    assert offered[0] == "Skerry"
    assert any(each.startswith("Cool film") for each in offered)
    assert not any(each.startswith("Plush") for each in offered)  # too hot for this cloth
    person.choose("back", "Use Skerry for all")
    assert {"name: Skerry", "number: Skerry"} <= key_names(person)
    person.choose("number: Skerry", "Cool film")
    person.restart("a later boot")
    person.choose("New order", "divers")
    assert {"name: Skerry", "number: Cool film"} <= key_names(person)  # nothing is asked twice
    person.choose("number: Cool film", "Skerry", "Film and colours are right")
    assert len(list(doubts(person, CSV_ANSWERS))) > 1
    assert not (recipes / "cool-pair-skerry.yaml").exists()  # it comes with the job
    person.choose("All right: make the job")
    person.close()

    catalog, faults = read_catalog(recipes)
    assert faults == ()
    job, _ = read_job(tmp_path / "jobs" / "divers", catalog)
    assert job is not None
    assert job.recipe == "cool-pair-skerry"
    made = catalog.recipes[job.recipe]
    assert {x.material for p in made.panels for e in p.elements for x in e.layers} == {"skerry"}
    assert made.title.startswith("Skerry")
    now = {path.name: path.read_bytes() for path in recipes.glob("*.yaml")}
    assert {name for name in before if now[name] != before[name]} == {"materials.yaml"}
    read = [event for event in person.events() if isinstance(event, RecipesRead)]
    assert any("cool-pair-skerry" in repr(change) for event in read for change in event.changes)
    (taken,) = (e for e in person.events() if isinstance(e, OrderTaken))
    assert not any(name.startswith("film") for name, _ in taken.answers)


def test_a_colour_new_to_the_shop_is_typed(bench: Bench, shop: Path, tmp_path: Path) -> None:
    """The demo shop has no white; a shop with white enters it with its first order."""
    person = at(bench, shop, tmp_path)
    to_doubts(person, "divers.csv", "Cool film", "Piqué", "heron")
    person.choose("orange")
    assert "white" not in key_names(person)
    person.choose("Another colour", "back")  # leaves the page, not the order
    assert ordering(person).step is OrderStep.COLOURS
    person.choose("orange", "Another colour", *"BONE", "space", *"WHITE", "Enter it")
    assert "bone white" in key_names(person)
    person.choose("Film and colours are right")
    assert ordering(person).draft is not None
    assert ordering(person)._order().colours == {"orange": "bone white"}
    assert len(list(doubts(person, CSV_ANSWERS))) > 1
    person.choose("All right: make the job")
    person.close()
    catalog, _ = read_catalog(tmp_path / "recipes")
    job, faults = read_job(tmp_path / "jobs" / "divers", catalog)
    assert job is not None, faults
    assert job.colours == {"orange": "bone white"}
