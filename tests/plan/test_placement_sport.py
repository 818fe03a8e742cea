"""A sport has its own places and heights for names and numbers, all taken from the shop's data."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from place_samples import FACE, bed

from kiosk.catalog.model.catalog import Catalog
from kiosk.catalog.model.orders import Job, SizeClass
from kiosk.catalog.read import read_catalog, read_job
from kiosk.log.store import codec
from kiosk.plan.model import Plan
from kiosk.plan.place.placement import Bed, bed_of, lay_out
from kiosk.plan.place.questions import size_faults
from kiosk.plan.procedure import placement_faults, plan_job
from kiosk.plan.sizes import EDGE, ROOMS, room_of, rooms_of

ROOT = Path(__file__).resolve().parents[2]
CATALOG, FAULTS = read_catalog(ROOT / "recipes")
PANELS = tuple(ROOMS)
SIZES = {SizeClass.YOUTH: "YM", SizeClass.ADULT: "AL"}


def bed_for(sport: str, panel: str = "back", layers: int = 1) -> Bed:
    at = bed(panel, layers=layers)
    return replace(at, rooms=rooms_of(CATALOG.sports, sport, PANELS))


def away(sport: str = "", catalog: Catalog = CATALOG) -> tuple[Job, Plan]:
    job, faults = read_job(ROOT / "shared" / "jobs" / "raft-polo", catalog)
    assert job is not None, faults
    job = replace(job, sport=sport)
    plan = plan_job(job, catalog, FACE)
    assert isinstance(plan, Plan)
    return job, plan


def test_the_shipped_sports_have_no_faults_and_admit_they_have_no_source() -> None:
    assert FAULTS == ()
    assert len(CATALOG.sports) >= 6
    assert {each.source for each in CATALOG.sports.values()} == {"common practice, no source"}


def test_a_sport_changes_only_the_places_it_lists() -> None:
    usual = lay_out(bed_for(""), "back", "AL", {"name": "KOVA", "number": "31"}, FACE).boxes
    boxes = lay_out(
        bed_for("basketball"), "back", "AL", {"name": "KOVA", "number": "31"}, FACE
    ).boxes
    assert [(box.element, box.height) for box in usual] == [("name", 2.5), ("number", 10.0)]
    assert [(box.element, box.height) for box in boxes] == [("name", 2.5), ("number", 8.0)]
    assert [box.y - box.height / 2 for box in boxes] == [3.0, 6.5]
    own = rooms_of(CATALOG.sports, "basketball", PANELS)
    assert room_of("shorts", SizeClass.ADULT, own) == ROOMS["shorts"][SizeClass.ADULT]


def test_a_recipes_height_wins_over_the_sports() -> None:
    at = replace(bed("back", height=7.0), rooms=bed_for("basketball").rooms)
    (box,) = lay_out(at, "back", "AL", {"number": "8"}, FACE).boxes
    assert box.height == 7.0


@pytest.mark.parametrize("sport", sorted(CATALOG.sports))
@pytest.mark.parametrize("panel", PANELS)
@pytest.mark.parametrize("size", SIZES.values())
def test_every_place_of_every_sport_fits_a_usual_platen(sport: str, panel: str, size: str) -> None:
    laid = lay_out(bed_for(sport, panel), panel, size, {"name": "KOVA", "number": "88"}, FACE)
    assert laid.unfit == ()
    for box in laid.boxes:
        part = next(part for part in laid.parts if box.element in part.elements)
        left, top, right, low = box.ink
        assert max(-left, right) <= 8.0 - EDGE + 1e-6
        assert top + part.seam_ruler >= EDGE - 1e-6
        assert low + part.seam_ruler <= 20.0 - EDGE + 1e-6


@pytest.mark.parametrize(
    ("sport", "rule", "panels"),
    [
        ("american-football", "football-school", ("back", "front")),
        ("ice-hockey", "ice-hockey-school", ("back", "left-sleeve", "right-sleeve")),
        ("volleyball", "volleyball-international", ("back", "front")),
        ("basketball", "basketball-international", ("back", "front")),
        ("association-football", "football-european-men", ("back",)),
    ],
)
def test_a_sports_adult_heights_follow_its_leagues_rule(
    sport: str, rule: str, panels: tuple[str, ...]
) -> None:
    """Rules as in test_placement_rules.py; two layers, so that the border makes a difference."""
    for panel in panels:
        at = bed_for(sport, panel, layers=2)
        assert size_faults(at, ("AL",), CATALOG.size_rules[rule]) == ()


def test_the_default_heights_break_the_european_rule_that_the_sport_follows() -> None:
    rule = CATALOG.size_rules["football-european-men"]
    assert size_faults(bed_for("", layers=2), ("AL",), rule) != ()


def test_the_plan_keeps_its_places_so_a_replay_needs_no_files() -> None:
    _, plan = away("basketball")
    assert {(each.panel, each.size_class) for each in plan.rooms} == {
        ("back", SizeClass.ADULT), ("back", SizeClass.YOUTH)
    }  # fmt: skip
    assert codec.from_json(codec.to_json(plan), Plan) == plan
    (number,) = lay_out(bed_of(plan), "back", "AL", {"number": "8"}, FACE).boxes
    assert number.height == 8.0
    assert away()[1].rooms == ()


def test_a_jobs_sizes_are_checked_at_its_sports_heights() -> None:
    job, _ = away("basketball")
    narrow = tuple(line for line in job.roster if len(line.name) < 10)  # all fit in its width
    job = replace(job, roster=narrow)
    broken = placement_faults(replace(job, size_rule="football-school"), CATALOG, FACE)
    assert [fault.key for fault in broken] == ["size_rule"]
    assert placement_faults(replace(job, size_rule="basketball-international"), CATALOG, FACE) == ()


def test_an_unknown_sport_is_reported_with_the_nearest_known_one(tmp_path: Path) -> None:
    shipped = ROOT / "shared" / "jobs" / "raft-polo"
    (tmp_path / "roster.csv").write_bytes((shipped / "roster.csv").read_bytes())
    text = (shipped / "job.yaml").read_text("utf-8")
    (tmp_path / "job.yaml").write_text(f"{text}sport: basketbal\n", "utf-8")
    job, (fault,) = read_job(tmp_path, CATALOG)
    assert job is None
    assert (fault.key, fault.found, fault.nearest) == ("sport", "basketbal", "basketball")
    (tmp_path / "job.yaml").write_text(f"{text}sport: basketball\n", "utf-8")
    job, faults = read_job(tmp_path, CATALOG)
    assert faults == ()
    assert job is not None
    assert job.sport == "basketball"


def test_places_for_any_sport_apply_to_a_job_without_one(tmp_path: Path) -> None:
    """But a sport's own entry wins."""
    (tmp_path / "placement.yaml").write_text(
        "any: {source: shop, places: [{panel: back, size: adult, top: 5 in, number: 9 in}]}\n"
        "darts: {source: shop, places: [{panel: back, size: adult, number: 60 mm}]}\n"
    )
    sports = read_catalog(tmp_path)[0].sports
    (usual,) = rooms_of(sports, "", ["back"])
    (darts,) = rooms_of(sports, "darts", ["back"])
    assert (usual.room.top, usual.room.heights["number"]) == (5.0, 9.0)
    assert (darts.room.top, round(darts.room.heights["number"], 3)) == (5.0, 2.362)


@pytest.mark.parametrize(
    ("entry", "key"),
    [
        ("{panel: back, size: giant}", "a.places.1.size"),
        ("{panel: back, size: adult, numbr: 9 in}", "a.places.1.numbr"),
        ("{panel: back, size: adult, number: 9}", "a.places.1.number"),
        ("{panel: back, size: adult}, {panel: back, size: adult, top: 3 in}", "a.places.2"),
    ],
)
def test_a_faulty_place_is_named(tmp_path: Path, entry: str, key: str) -> None:
    (tmp_path / "placement.yaml").write_text(f"a: {{source: x, places: [{entry}]}}\n")
    _, faults = read_catalog(tmp_path)
    own = [fault for fault in faults if fault.file.endswith("placement.yaml")]
    assert [fault.key for fault in own] == [key]
