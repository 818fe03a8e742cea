"""A recipe is rewritten while the list of jobs, or a job's set-up, is on the screen.

A garment is pressed at what its sheet says now (common practice, no source).
"""

from __future__ import annotations

from pathlib import Path

from station_driver import Person, lay_out
from station_harness import Bench

from kiosk.station.desk.sheet import PageKind

JOB, TITLE = "raft-polo", "Orsavel raft polo"
BEGIN = "Read the cautions"


def at_the_jobs(bench: Bench, place: Path) -> Person:
    person = Person(bench, lay_out(place, JOB))
    person.first_start()
    return person


def holds_less(place: Path) -> None:
    """Write a newer sheet for the film: nothing above 308 °F."""
    sheets = place / "recipes" / "materials.yaml"
    first, entry, rest = sheets.read_text("utf-8").partition("\nsmooth-film:")
    film, blank, others = rest.partition("\n\n")
    sheets.write_text(first + entry + film.replace("318 F", "308 F") + blank + others, "utf-8")


def test_a_change_made_while_the_jobs_are_listed_applies_at_set_up(
    bench: Bench, tmp_path: Path
) -> None:
    person = at_the_jobs(bench, tmp_path)
    holds_less(tmp_path)
    person.choose(TITLE)
    assert "312 °F" not in person.texts()
    person.choose(BEGIN)
    assert person.setting() <= 308


def test_a_change_made_during_set_up_is_shown_before_the_job_begins(
    bench: Bench, tmp_path: Path
) -> None:
    person = at_the_jobs(bench, tmp_path)
    person.choose(TITLE)
    assert "312 °F" in person.texts()
    holds_less(tmp_path)
    person.choose(BEGIN)
    assert person.station.desk.page is PageKind.SET_UP
    assert person.station.shell.state.job is None
    assert "changed just now" in person.texts()
    assert "312 °F" not in person.texts()
    person.choose(BEGIN)
    assert person.setting() <= 308


def test_a_running_job_keeps_the_plan_it_began_with(bench: Bench, tmp_path: Path) -> None:
    person = at_the_jobs(bench, tmp_path)
    person.choose(TITLE, BEGIN)
    job = person.station.shell.state.job
    assert job is not None
    holds_less(tmp_path)
    person.to_heat()
    assert person.station.shell.state.job is not None
    assert person.station.shell.state.job.plan == job.plan
    assert person.setting() == 312
