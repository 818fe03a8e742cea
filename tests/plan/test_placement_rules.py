"""Heights against league rules, and the questions that a job's placement asks a person.

Rules: US school football back >= 10 in, front >= 8 in, border counted; US school ice hockey back >=
10 in, sleeves >= 4 in; UEFA equipment regulations 2024, article 10: 25-35 cm men, 20-35 cm women,
outline not counted, name letters <= 7.5 cm; FIVB 4.3.3: chest >= 15 cm, back >= 20 cm (all read);
FIBA: back >= 20 cm, front >= 10 cm (quoted).
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from place_samples import FACE, bed

from kiosk.catalog.base.notes import say
from kiosk.catalog.model.catalog import Catalog
from kiosk.catalog.model.orders import Job, RosterLine
from kiosk.catalog.read import read_catalog, read_job
from kiosk.plan.place.questions import part_lines, place_questions, size_faults
from kiosk.plan.procedure import job_bed, placement_faults
from kiosk.words import Words, fault_text

ROOT = Path(__file__).resolve().parents[2]
WORDS = Words("en")
CATALOG, FAULTS = read_catalog(ROOT / "recipes")


def broken(
    key: str, panel: str, height: float, layers: int = 1, elements: tuple[str, ...] = ("number",)
) -> list[str]:
    at = bed(panel, elements, layers, height=height)
    return [WORDS.say(each) for each in size_faults(at, ("AL",), CATALOG.size_rules[key])]


@pytest.mark.parametrize(
    ("key", "panel", "least"),
    [
        ("football-school", "back", 10.0),  # US school football, read
        ("football-school", "front", 8.0),  # likewise
        ("ice-hockey-school", "back", 10.0),  # US school ice hockey, read
        ("ice-hockey-school", "left-sleeve", 4.0),  # likewise
        ("ice-hockey-school", "right-sleeve", 4.0),  # likewise
        ("football-european-men", "back", 25 / 2.54),  # UEFA 2024, article 10, read
        ("football-european-women", "back", 20 / 2.54),  # likewise
        ("volleyball-international", "back", 20 / 2.54),  # FIVB 4.3.3, read
        ("volleyball-international", "front", 15 / 2.54),  # likewise
        ("basketball-international", "back", 20 / 2.54),  # FIBA, quoted by others
        ("basketball-international", "front", 10 / 2.54),  # likewise
    ],
)
def test_a_number_below_its_rule_is_flagged_and_one_at_it_is_not(
    key: str, panel: str, least: float
) -> None:
    assert broken(key, panel, least) == []
    (line,) = broken(key, panel, least - 0.1)
    assert CATALOG.size_rules[key].title in line


@pytest.mark.parametrize("key", ["football-european-men", "football-european-women"])
def test_a_number_above_its_rule_is_flagged(key: str) -> None:
    assert broken(key, "back", 35 / 2.54) == []
    (line,) = broken(key, "back", 36 / 2.54)
    assert "at most 13.78 in (350 mm)" in line


def test_a_name_above_its_rule_is_flagged() -> None:
    assert broken("football-european-men", "back", 7.5 / 2.54, elements=("name",)) == []
    assert len(broken("football-european-men", "back", 7.6 / 2.54, elements=("name",))) == 1


def test_an_outline_counts_only_if_the_rule_says_so() -> None:
    """Two layers of 10 in: the top one is 9.5 in, 24.1 cm."""
    assert broken("football-school", "back", 10.0, layers=2) == []
    (line,) = broken("football-school", "back", 9.5, layers=2)
    assert "9.5 in (241 mm) high with its border" in line
    (line,) = broken("football-european-men", "back", 10.0, layers=2)
    assert "9.5 in (241 mm) high without its border" in line


def test_a_size_class_that_breaks_the_rule_is_reported_once() -> None:
    rule = CATALOG.size_rules["football-school"]
    found = size_faults(bed(), ("YM", "YL", "AL", "AS", "odd"), rule)
    assert [each.values["size"] for each in found] == [say("size_class.youth")]


def test_the_shipped_rules_have_no_faults() -> None:
    assert FAULTS == ()


def test_a_limit_needs_a_low_or_a_high_in_the_right_order(tmp_path: Path) -> None:
    for end in ("", "low: 9 in, high: 8 in, "):
        (tmp_path / "number-sizes.yaml").write_text(
            f"a: {{sizes: [{{panel: back, element: number, {end}border: counted, source: x}}]}}\n"
        )
        _, faults = read_catalog(tmp_path)
        ids = {fault.problem.id for fault in faults if fault.file.endswith("number-sizes.yaml")}
        assert ids == {"catalog.sizes.order" if end else "catalog.sizes.open"}


# -- a job's own questions ----------------------------------------------------


def away() -> Job:
    job, faults = read_job(ROOT / "shared" / "jobs" / "raft-polo", CATALOG)
    assert job is not None, faults
    return job


def questions(job: Job, catalog: Catalog = CATALOG) -> list[str]:
    return [fault_text(fault, WORDS) for fault in placement_faults(job, catalog, FACE)]


def test_the_shipped_jobs_raise_no_questions() -> None:
    for folder in sorted((ROOT / "shared" / "jobs").iterdir()):
        job, _ = read_job(folder, CATALOG)
        assert job is not None
        assert questions(job) == []


def test_a_job_that_breaks_its_size_rule_raises_a_question_naming_the_rule() -> None:
    (question,) = questions(replace(away(), size_rule="football-european-men"))
    assert "European association football, men" in question
    assert questions(replace(away(), size_rule="football-school")) == []


def test_a_name_that_does_not_fit_is_reported_by_row_without_the_name() -> None:
    line = RosterLine("19", "AL", "VANDERWOUDE-MONTGOMERY-HOLM", "12")
    (question,) = questions(replace(away(), roster=(*away().roster, line)))
    assert "row 19, back: the name stays" in question
    assert "VANDERWOUDE" not in question


def test_a_short_platen_raises_no_question_and_each_part_gives_its_seam() -> None:
    press = CATALOG.presses["heron"]
    short = replace(press, platen_height=replace(press.platen_height, inches=Fraction(15)))
    catalog = replace(CATALOG, presses={"heron": short})
    job = replace(away(), roster=(RosterLine("1", "AL", "QUORRIDGE", "27"),))
    assert questions(job, catalog) == []
    lines = part_lines(job_bed(job, catalog), job.roster, FACE)
    whole, first, second = (WORDS.say(each) for each in lines)
    assert "pressed in 2 parts" in whole
    assert "part 1 of 2: name, the seam at 1 in" in first
    # A Q hangs lowest: the name ends 6.75 in below the seam, a quarter inch off the platen.
    assert "part 2 of 2: number, the seam 7 in (178 mm) past" in second


def test_a_crest_can_be_too_tall_but_never_too_wide() -> None:
    """Its width is not written (design.md, section 5); 15 in do not fit a platen of 12 in."""
    line = RosterLine("1", "AL", "ODD", "8")
    tall = replace(bed("back", ("crest",), 1, height=15.0), height=12.0)
    (question,) = place_questions(tall, (line, replace(line, line="2")), FACE)
    assert WORDS.say(question).startswith("back: crest takes 15 in (381 mm), the platen has 11 in")
    assert place_questions(bed("shorts", ("badge",), 1), (line,), FACE) == ()


def test_a_platen_too_small_for_two_size_classes_raises_one_question() -> None:
    tall = replace(bed("back", ("crest",), 1, height=15.0), height=12.0)
    sizes = [RosterLine(str(n), size, "ODD", "8") for n, size in enumerate(("AL", "YL", "YM"))]
    assert len(place_questions(tall, sizes, FACE)) == 1


def test_a_line_with_an_unknown_size_raises_no_placement_question() -> None:
    assert place_questions(bed(), (RosterLine("1", "odd", "W" * 40, "8"),), FACE) == ()


def test_the_job_file_names_the_size_rule(tmp_path: Path) -> None:
    shipped = ROOT / "shared" / "jobs" / "raft-polo"
    text = (shipped / "job.yaml").read_text(encoding="utf-8")
    (tmp_path / "roster.csv").write_bytes((shipped / "roster.csv").read_bytes())
    (tmp_path / "job.yaml").write_text(f"{text}size_rule: football-european-men\n")
    job, faults = read_job(tmp_path, CATALOG)
    assert job is not None, faults
    assert [fault.key for fault in placement_faults(job, CATALOG, FACE)] == ["size_rule"]
    (tmp_path / "job.yaml").write_text(f"{text}size_rule: football-scool\n")
    _, (fault,) = read_job(tmp_path, CATALOG)
    assert (fault.key, fault.nearest) == ("size_rule", "football-school")
