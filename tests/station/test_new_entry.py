"""A new material, fabric and press entered by touch, with power cuts in between."""

from __future__ import annotations

from pathlib import Path

import pytest
from ruled_shop import shop, signed_on
from station_driver import PIN, Person
from station_harness import Bench

from kiosk.catalog.read import read_catalog
from kiosk.run.state.events_shift import RecipesRead
from kiosk.station.desk.shift.new_entry import Entering, ask_new_entry

UNSAID = "sheet does not say"
# What is touched on each page, in order; the sheet is made up for this test.
FILM: list[tuple[str, ...]] = [
    ("the supplier's sheet",),
    (*"FILM", "space", "7", "Enter it"),
    (*"202603", "Enter it"),
    (*"150", "C", "Enter it"),
    (*"165", "Enter it"),
    (UNSAID,),
    (*"12", "Enter it"),
    (*"16", "Enter it"),
    (*"15", "Enter it"),
    ("yes",),  # another time
    (*"158", "Enter it"),
    (*"9", "Enter it"),
    (*"12", "Enter it"),
    (UNSAID,),
    ("no",),
    ("medium-firm",),
    ("firm",),
    ("yes",),
    ("hot", "warm", "Enter it"),
    (*"8", "Enter it"),
    (*"20", "Enter it"),
    ("no",),
    ("with or without",),
    ("with cover sheet",),
    ("yes",),
    (UNSAID,),
    (*"5", "Enter it"),
    (*"3", "Enter it"),
    ("hot", "Enter it"),
    ("smooth",),
    ("cloth", "smooth", "Enter it"),
    ("yes",),
    (UNSAID,),
    ("no",),
]
NET: list[tuple[str, ...]] = [
    ("a guess",),
    (*"150", "C", "Enter it"),
    (*"20", "Enter it"),
    ("no",),
    (UNSAID,),
    ("medium-firm",),
    ("not at all",),
    (UNSAID,),
    ("light",),
]
DIPPER: list[tuple[str, ...]] = [
    ("a published work",),
    (*"MANUAL", "Enter it"),
    (UNSAID,),
    (*"300", "F", "Enter it"),
    (*"2", ".", "5", "Enter it"),
    ("by itself",),
    ("collar toward",),
    ("1", "5", "x", "1", "8", "Enter it"),
    (UNSAID,),
]


def at_the_sheets(person: Person) -> None:
    person.choose("Supervisor", *PIN, "Enter", "New by its sheet")


def killed(person: Person, bench: Bench, place: Path) -> Person:
    """Stop the station as a power cut does, and start it again."""
    person.close()
    return Person(bench, place)


def test_a_film_is_entered_by_touch_with_a_power_cut_every_eight_pages(
    bench: Bench, tmp_path: Path
) -> None:
    shop(tmp_path)
    recipes = tmp_path / "recipes"
    before = {path.name: path.read_bytes() for path in recipes.glob("*.yaml")}
    person = signed_on(bench, tmp_path)
    began = bench.now
    at_the_sheets(person)
    person.choose("New material", *"FILM", "space", "7", "Enter it")
    for nth, touched in enumerate(FILM):
        if nth and nth % 8 == 0:
            assert {p.name: p.read_bytes() for p in recipes.glob("*.yaml")} == before
            person = killed(person, bench, tmp_path)
            at_the_sheets(person)
            person.choose("Film 7")
        person.choose(*touched)
    shown = person.texts()
    assert "1 guess" in shown
    assert shown.count("middle of the sheet's range") == 2
    assert "158 C" in shown
    person.choose("Write it into the file")
    assert bench.now - began < 150.0  # of five minutes from a sheet and a roster to a countdown
    assert "Film 7 is saved" in person.texts()
    person.close()
    catalog, faults = read_catalog(recipes)
    assert faults == ()
    film = catalog.materials["film-7"]
    assert [(b.start.text, b.end.text, b.normal.text) for b in film.dwell] == [
        ("150 C", "157 C", "15 s"),
        ("158 C", "165 C", "10 s"),
    ]
    assert (film.source.owner.title, film.source.owner.date) == ("Film 7", "2026-03")
    assert set(film.source.keys) == {"temperature", "dwell", "total_heat"}
    assert list(recipes.glob(".*")) == []
    told = [event for event in person.events() if isinstance(event, RecipesRead)]
    assert any(change.key.startswith("film-7.") for change in told[-1].changes)
    assert {p.name for p in recipes.glob("*.yaml") if p.read_bytes() != before[p.name]} == {
        "materials.yaml"
    }


@pytest.mark.parametrize(
    ("kind", "name", "pages", "file"),
    [("New fabric", "NET", NET, "fabrics"), ("New press", "DIPPER", DIPPER, "shop")],
)
def test_a_fabric_or_press_can_be_entered_in_spanish_across_a_power_cut(
    kind: str, name: str, pages: list[tuple[str, ...]], file: str, bench: Bench, tmp_path: Path
) -> None:
    shop(tmp_path)
    person = signed_on(bench, tmp_path)
    person.choose("Español")
    at_the_sheets(person)
    person.choose(kind, *name, "Enter it")
    for nth, touched in enumerate(pages):
        if nth == len(pages) // 2:
            person = killed(person, bench, tmp_path)
            at_the_sheets(person)
            person.choose("dipper" if file == "shop" else "Net")
        person.choose(*touched)
    person.choose("Write it into the file")
    person.close()
    catalog, faults = read_catalog(tmp_path / "recipes")
    assert faults == ()
    if file == "shop":
        press = catalog.presses["dipper"]
        assert (press.platen_width.text, press.tolerance.text) == ("15 in", "2.5 F")
        assert press.source.owner.work == "Manual"
    else:
        assert catalog.fabrics["net"].temperature_max.text == "150 C"
        assert catalog.fabrics["net"].source.owner.is_guess


def test_the_checkers_fault_is_shown_beside_the_field(bench: Bench, tmp_path: Path) -> None:
    shop(tmp_path)
    person = signed_on(bench, tmp_path)
    at_the_sheets(person)
    person.choose("New material", *"FILM", "space", "7", "Enter it", "a guess")
    person.choose(*"300", "F", "Enter it", *"250", "Enter it")
    shown = person.texts()
    assert 'the low end may not be above the high end; found "300 F, 250 F"' in shown
    assert "250 F" in shown  # to be corrected, not typed again
    person.choose(*["erase"] * 3, *"310", "Enter it", "back")
    assert "may not be above" not in person.texts()
    assert "Temperature, to" in person.texts()
    person.choose("later", "New by its sheet")
    assert "half done, 3 of" in person.texts()
    person.choose("New material", *"SMOOTH", "-", *"FILM", "Enter it")
    assert "smooth-film is in materials.yaml already" in person.texts()
    person.close()


def test_a_page_that_asks_for_a_new_entry_receives_its_key(bench: Bench, tmp_path: Path) -> None:
    shop(tmp_path)
    person = signed_on(bench, tmp_path)
    got: list[str] = []

    def then(key: str) -> None:
        got.append(key)
        person.station.desk.go_on()

    ask_new_entry(person.station.desk, "fabric", then)
    person.station.refresh()
    person.choose(*PIN, "Enter", "back")
    assert got == [""]
    ask_new_entry(person.station.desk, "fabric", then)
    person.station.refresh()
    person.choose(*PIN, "Enter", *"NET", "Enter it")
    for touched in NET:
        person.choose(*touched)
    person.choose("Write it into the file")
    assert got == ["", "net"]
    assert person.station.desk.of(Entering).draft is None
    person.close()
