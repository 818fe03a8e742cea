"""The list of jobs: the earliest due comes first, with its day."""

from __future__ import annotations

from pathlib import Path

from station_driver import Person, lay_out
from station_harness import Bench


def test_jobs_are_listed_by_due_date(bench: Bench, tmp_path: Path) -> None:
    place = lay_out(tmp_path)
    for job, day in (("swim-school", "2027-03-04"), ("raft-polo", "2027-03-02")):
        with (tmp_path / "jobs" / job / "job.yaml").open("a", encoding="utf-8") as file:
            file.write(f"\ndue: {day}\n")
    person = Person(bench, place)
    person.first_start()
    offers = person.station.desk.offers
    assert [each.folder.name for each in offers[:2]] == ["raft-polo", "swim-school"]
    assert [each.due for each in offers[2:]] == [""] * (len(offers) - 2)
    shown, *_ = (e for e in person.texts().splitlines() if e.startswith("due "))
    assert shown.startswith("due 2027-03-02")
    assert {"20 left", "0 done"} <= set(person.texts().splitlines())
    person.choose("Orsavel raft polo")
    assert "due 2027-03-02" in " ".join(person.texts().split())
    person.close()
