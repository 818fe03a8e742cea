"""The proof at the station: looked over, approved by initials, asked again for what changed."""

import json
from pathlib import Path

import pytest
from ruled_shop import signed_on
from station_driver import PIN, Person, lay_out, pin_file
from station_harness import Bench

from kiosk.catalog.read import read_catalog, read_job
from kiosk.catalog.roster.forget import PROOF, forget_names
from kiosk.catalog.rules import read_face
from kiosk.plan.procedure import proofs
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state.events_shift import ProofApproved
from kiosk.station.desk.jobs.proofing import garments_on_a_page
from kiosk.station.desk.sheet import PageKind, ProofPicture
from kiosk.station.glass.lay import panel_lay

TITLE, JOB = "Orsavel ice crew", "ice-crew"


def shop(place: Path, demand: str) -> Path:
    """Lay out a shop with one whole job and this rule for its proof; return the job's roster."""
    lay_out(place, JOB)
    path = place / "recipes" / "shop.yaml"
    text = path.read_text("utf-8")
    path.write_text(text.replace("proof: asked", f"proof: {demand}"), "utf-8")
    (place / "supervisor-pin").write_bytes(pin_file())
    return place / "jobs" / JOB / "roster.csv"


def card(person: Person) -> str:
    """Return the line on the job's card."""
    sheet = person.station.sheet
    assert sheet is not None
    return next(b.line for b in sheet.sheet.choices if b.label.startswith(TITLE))


def headline(person: Person) -> str:
    """Return the page's headline."""
    sheet = person.station.sheet
    assert sheet is not None
    return sheet.sheet.headline


def drawn(person: Person) -> list[str]:
    """Return the roster lines of the garments that are drawn."""
    sheet = person.station.sheet
    assert sheet is not None
    assert isinstance(sheet.sheet.picture, ProofPicture)
    return [garment.line.line for garment in sheet.sheet.picture.garments]


def keys(person: Person) -> list[str]:
    """Return the labels of the main key and the one at the right."""
    sheet = person.station.sheet
    assert sheet is not None
    return [b.label for b in (sheet.sheet.main, sheet.sheet.right) if b]


def test_a_proof_is_approved_and_asked_again_for_a_changed_row(
    bench: Bench, tmp_path: Path
) -> None:
    roster = shop(tmp_path, "asked")
    person = signed_on(bench, tmp_path)
    assert card(person) == "approve proof"
    person.choose(TITLE)
    assert keys(person) == ["Look over the proof", "Read the cautions, start"]
    person.choose("Look over the proof")
    assert drawn(person) == ["1", "2", "3", "4", "5", "6"]
    job, _ = read_job(roster.parent, read_catalog(tmp_path / "recipes")[0])
    assert job is not None
    names = [row.name for row in job.roster]
    assert all(name in person.texts() for name in names[:6])
    person.choose("1 to 6 of 11", "back")
    assert drawn(person)[0] == "1"
    person.choose("1 to 6 of 11")
    assert drawn(person) == ["7", "8", "9", "10", "11"]
    person.choose("All 11", "Approve")
    assert person.station.desk.page is PageKind.PROOF  # without initials nothing is approved
    assert not (roster.parent / PROOF).exists()
    # the signed-on operator takes one touch, and no letter is on another page
    assert {person.station.shell.state.operator, "Z"} <= {b.label for b in person.buttons()}
    person.choose(*"MV", "Approve", "back")
    assert card(person).startswith("proof: MV 20")
    person.close()
    (told,) = [event for event in person.events() if isinstance(event, ProofApproved)]
    assert (told.job, told.by, told.count) == (JOB, "MV", 11)
    kept = (roster.parent / PROOF).read_text("utf-8")
    assert len(json.loads(kept)["rows"]) == 11
    assert not [name for name in names if name in kept or name in repr(person.events())]

    text = roster.read_text("utf-8")
    roster.write_text(text.replace(names[2], "OTHER", 1), "utf-8")
    person = Person(bench, tmp_path)  # started again
    assert card(person) == "proof: 1 row changed"
    person.choose(TITLE, "Look over the proof")
    assert drawn(person) == ["3"]
    person.choose("It is right", *"KO", "Approve", "back")
    assert "proof: " in card(person)
    assert "changed" not in card(person)
    rows = json.loads((roster.parent / PROOF).read_text("utf-8"))["rows"]
    assert {row: each["by"] for row, each in rows.items() if each["by"] != "MV"} == {"3": "KO"}
    person.begin(TITLE)
    as_laid(person)
    roster.write_text(roster.read_text("utf-8").replace("OTHER", "ANOTHER", 1), "utf-8")
    bench.pass_time(1.0)
    person.side()
    person.choose("Supervisor", *PIN, "Enter", "Put the job back")
    assert "proof: 1 row changed" in card(person)  # also for a job that has begun
    person.choose(TITLE, "proof")
    assert drawn(person) == ["3"]
    person.close()


def as_laid(person: Person) -> None:
    """Check that what is laid on the platen, turned as worn, is exactly what was approved."""
    view, run = person.answer(), person.station.shell.state.job
    assert run is not None
    rosters = person.station.shell.rosters
    lines = tuple(rosters._lines.values())
    (garment,) = proofs(run.plan, lines, read_face(), {view.line})
    worn = panel_lay(run.plan, view, rosters.name(view.line), rosters.team()).worn
    (panel,) = [each for each in garment.panels if each.panel == view.panel]
    assert worn
    assert set(worn) <= set(panel.boxes)


def test_no_job_begins_without_a_required_proof(bench: Bench, tmp_path: Path) -> None:
    roster = shop(tmp_path, "required")
    person = signed_on(bench, tmp_path)
    person.begin(TITLE)
    assert person.station.desk.page is PageKind.PROOF
    assert person.station.shell.state.job is None
    person.choose("signed on paper", *"MV", "Approve", "Read the cautions")
    assert person.view.kind is ScreenKind.SETTING
    person.close()
    (roster.parent / PROOF).write_bytes(b"{")  # damaged: it approves nothing
    again = Person(bench, tmp_path)
    assert again.station.desk.page is PageKind.WORK  # a job that has begun goes on
    again.close()


def test_no_proof_is_asked_for_if_the_shop_wants_none(bench: Bench, tmp_path: Path) -> None:
    shop(tmp_path, "no")
    person = signed_on(bench, tmp_path)
    assert card(person) == ""
    person.close()


def test_the_approval_is_deleted_with_the_names(tmp_path: Path) -> None:
    """A short name could be guessed from its digest."""
    roster = shop(tmp_path, "asked")
    (roster.parent / PROOF).write_text('{"rows": {}}', "utf-8")
    forgotten = forget_names(roster.parent)
    assert forgotten.count > 0
    assert forgotten.warnings == ()
    assert not (roster.parent / PROOF).exists()


def test_a_begun_job_shows_the_plan_it_began_with(bench: Bench, tmp_path: Path) -> None:
    """Card, page, proof and press show one setting, whatever happened to the recipe since."""
    shop(tmp_path, "asked")
    person = signed_on(bench, tmp_path)
    person.choose(TITLE, "Look over", "1 to 6", "All 11", *"MV", "Approve")
    shown = headline(person)
    person.choose("Read the cautions")
    asked = person.setting()
    assert str(asked) in shown
    person.side()
    person.choose("Supervisor", *PIN, "Enter", "Put the job back")
    assert card(person).startswith("proof: MV")
    assert "changed" not in card(person)

    recipe = tmp_path / "recipes" / "plush-pair.yaml"
    recipe.write_text(recipe.read_text("utf-8").replace("plush-film", "smooth-film"), "utf-8")
    person.restart("a later boot")
    assert "recipe changed since" in card(person)
    assert "proof: MV" in card(person)  # the drawing that is pressed is the one approved
    person.choose(TITLE)
    assert headline(person) == shown
    assert "Recipe or list changed since" in person.texts()
    person.choose("Read the cautions")
    assert person.setting() == asked
    person.side()
    person.choose("Supervisor", *PIN, "Enter", "Put the job back")

    fabrics = tmp_path / "recipes" / "fabrics.yaml"
    text = fabrics.read_text("utf-8").replace("337 F", "200 F")
    fabrics.write_text(text, "utf-8")  # now its recipe could not be pressed at all
    person.restart("the last boot")
    person.choose(TITLE)
    assert headline(person) == shown
    person.close()


@pytest.mark.parametrize(("panels", "garments"), [(1, 6), (2, 3), (3, 2), (6, 1), (9, 1)])
def test_a_page_shows_fewer_garments_if_they_have_more_panels(panels: int, garments: int) -> None:
    """Twelve panels of six garments were too small to read a name on 7 inches."""
    assert garments_on_a_page(panels) == garments
