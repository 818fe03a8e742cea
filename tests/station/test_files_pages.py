"""The shop's files at the station: changed by the supervisor, or by anyone with an editor."""

from __future__ import annotations

import errno
import os
import re
from pathlib import Path

from ruled_shop import shop, signed_on
from station_driver import PIN, Person
from station_harness import Bench
from test_stops_disk import full_disk

from kiosk.run.state.events import JobStarted
from kiosk.run.state.events_shift import Change, RecipesRead

SHOP = "Presses, policy, tablet"
SMOOTH = "Smooth film, takes another layer"


def at_the_files(person: Person) -> None:
    person.choose("Supervisor", *PIN, "Enter", "Recipes and policy")


def first_value(text: str, key: str) -> str:
    """Return the first value with this key in a file."""
    found = re.search(rf"^ *{key}: (.*)$", text, re.M)
    assert found is not None
    return found[1]


def changes(person: Person) -> list[RecipesRead]:
    return [e for e in person.events() if isinstance(e, RecipesRead)]


def test_changing_one_value_leaves_the_rest_of_the_file_unchanged(
    bench: Bench, tmp_path: Path
) -> None:
    shop(tmp_path)
    path = tmp_path / "recipes" / "shop.yaml"
    before = path.read_text("utf-8")
    person = signed_on(bench, tmp_path)
    at_the_files(person)
    person.choose(SHOP, "presses", "heron", "tolerance", "7", "Write it into the file")
    was = first_value(before, "tolerance")
    assert path.read_text("utf-8") == before.replace(f"tolerance: {was}", "tolerance: 7 F", 1)
    person.choose("back", "back", "policy", "check of the press", "asked for", "required")
    person.close()
    first, second, third = changes(person)
    assert (first.changes, first.on_screen) == ((), False)
    assert second.changes == (Change("shop.yaml", "presses.heron.tolerance", was, "7 F"),)
    assert second.on_screen
    assert third.changes == (Change("shop.yaml", "policy.verify.demand", "no", "required"),)
    assert person.station.desk.library.catalog.policy.verify.demand.value == "required"
    assert list((tmp_path / "recipes").glob(".*")) == []


def test_a_decimal_comma_typed_in_spanish_is_written_as_a_point(
    bench: Bench, tmp_path: Path
) -> None:
    """In a file's {a: 1, b: 2} a comma separates two values; a keyboard may have either sign."""
    shop(tmp_path)
    path = tmp_path / "recipes" / "shop.yaml"
    before = path.read_text("utf-8")
    person = signed_on(bench, tmp_path)
    person.choose("Español")
    at_the_files(person)
    person.choose("Planchas, normas, tableta", "planchas", "heron", "tolerancia", "7")
    assert person.station.sheet is not None
    assert person.station.sheet.typed(".")
    person.station.refresh()
    person.choose("5")
    assert "7,5 F" in person.texts()
    person.choose("Escribirlo en el archivo")
    was = first_value(before, "tolerance")
    assert path.read_text("utf-8") == before.replace(f"tolerance: {was}", "tolerance: 7.5 F", 1)
    person.close()


def test_a_value_may_use_the_other_scale_and_a_missing_key_is_reported(
    bench: Bench, tmp_path: Path
) -> None:
    shop(tmp_path)
    path = tmp_path / "recipes" / "shop.yaml"
    before = path.read_text("utf-8")
    person = signed_on(bench, tmp_path)
    at_the_files(person)
    person.choose(SHOP, "presses", "heron", "tolerance", "7", "C", "Write it into the file")
    was = first_value(before, "tolerance")
    after = before.replace(f"tolerance: {was}", "tolerance: 7 C", 1)
    assert path.read_text("utf-8") == after
    person.choose("tolerance", "9")
    other = after.replace("tolerance: 7 C", "tolerance_of_it: 7 C", 1)  # with an editor
    path.write_text(other, "utf-8")
    person.choose("Write it into the file")
    assert "The file changed meanwhile. Look again." in person.texts()
    assert path.read_text("utf-8") == other
    person.close()


def test_a_value_the_checker_refuses_is_not_written(bench: Bench, tmp_path: Path) -> None:
    shop(tmp_path)
    path = tmp_path / "recipes" / "materials.yaml"
    before = path.read_bytes()
    person = signed_on(bench, tmp_path)
    at_the_files(person)
    person.choose("Materials", SMOOTH, "temperature", "least", "3", "9", "9")
    person.choose("Write it into the file")
    assert "This value is not allowed" in person.texts()
    assert path.read_bytes() == before
    film = person.station.desk.library.catalog.materials["smooth-film"]
    above = str(film.temperature.normal.value + 1)
    person.choose("Another value", *above, "Write it into the file")
    assert "This value is not allowed" in person.texts()  # low may not be above normal
    assert f"{SMOOTH}, temperature, least: " in " ".join(person.texts().split())
    person.close()
    assert path.read_bytes() == before
    assert len(changes(person)) == 1


def test_the_checkers_faults_are_shown_above_the_files(bench: Bench, tmp_path: Path) -> None:
    shop(tmp_path)
    person = signed_on(bench, tmp_path)
    path = tmp_path / "recipes" / "shop.yaml"
    text = path.read_text("utf-8")
    path.write_text(text.replace(first_value(text, "tolerance"), "5 s", 1), "utf-8")
    at_the_files(person)
    shown = " ".join(person.texts().split())
    assert "1 fault in the files shop.yaml:" in shown
    assert "presses, heron, tolerance: " in shown
    assert '"s" is not a unit for this' in shown
    person.choose("To the files", SHOP)
    assert "presses" in person.texts()
    person.close()


def test_a_file_changed_with_an_editor_is_recorded_when_the_next_job_begins(
    bench: Bench, tmp_path: Path
) -> None:
    shop(tmp_path)
    path = tmp_path / "recipes" / "fabrics.yaml"
    person = signed_on(bench, tmp_path)
    text = path.read_text("utf-8")
    was = first_value(text, "total_heat")
    path.write_text(text.replace(f"total_heat: {was}", "total_heat: 61 s", 1), "utf-8")
    person.begin("Orsavel")
    person.close()
    kinds = [type(e) for e in person.events() if isinstance(e, RecipesRead | JobStarted)]
    assert kinds == [RecipesRead, RecipesRead, JobStarted]
    (change,) = changes(person)[1].changes
    assert (change.file, change.before, change.after) == ("fabrics.yaml", was, "61 s")
    assert change.key.endswith(".total_heat")


def test_a_change_is_recorded_even_without_the_earlier_values(bench: Bench, tmp_path: Path) -> None:
    shop(tmp_path)
    signed_on(bench, tmp_path).close()
    (tmp_path / "log.recipes.json").unlink()
    path = tmp_path / "recipes" / "shop.yaml"
    path.write_text(path.read_text("utf-8") + "# looked over\n", "utf-8")
    person = Person(bench, tmp_path)
    person.close()
    first, second = changes(person)
    assert first.digest != second.digest
    assert second.changes == ()
    again = Person(bench, tmp_path)  # nothing new to report
    again.close()
    assert len(changes(again)) == 2


def test_a_full_disk_leaves_the_file_unchanged_and_is_reported(
    bench: Bench, tmp_path: Path
) -> None:
    shop(tmp_path)
    path = tmp_path / "recipes" / "shop.yaml"
    before = path.read_bytes()
    person = signed_on(bench, tmp_path)
    at_the_files(person)
    person.choose(SHOP, "presses", "heron", "tolerance", "7")
    with full_disk():
        person.choose("Write it into the file")
    assert f"The file could not be written: {os.strerror(errno.EFBIG)}" in person.texts()
    assert path.read_bytes() == before
    assert list((tmp_path / "recipes").glob(".*")) == []
    person.choose("Write it into the file")
    assert b"tolerance: 7 F" in path.read_bytes()
    person.close()
