"""Guessed columns of a roster are shown once, before a garment is touched."""

from __future__ import annotations

import hashlib
from pathlib import Path

from mistakes import PLAIN, said
from station_driver import Person, lay_out
from station_harness import Bench

from kiosk.log.store import codec
from kiosk.log.store.store import Store
from kiosk.run.state.events import JobStarted
from kiosk.run.state.events_shift import ColumnsConfirmed
from kiosk.station.desk.sheet import PageKind

GUESSED = "line;shirt size;player;number\n1;Adult S;QUILLON;31\n2;Adult M;FENN;45\n"


def at_the_set_up(bench: Bench, place: Path, roster: str) -> Person:
    lay_out(place, PLAIN[0])
    (place / "jobs" / PLAIN[0] / "roster.csv").write_text(roster, "utf-8")
    person = Person(bench, place)
    person.first_start()
    person.choose(PLAIN[1])
    return person


def started(person: Person) -> int:
    return sum(isinstance(e, JobStarted) for e in person.events())


def test_guessed_columns_are_confirmed_once_and_the_job_begins(
    bench: Bench, tmp_path: Path
) -> None:
    person = at_the_set_up(bench, tmp_path, GUESSED)
    person.choose("Read the cautions")
    assert person.station.desk.page is PageKind.COLUMNS
    assert started(person) == 0
    shown = said(person)
    assert "shirt size: read as size" in shown
    assert "player: read as name" in shown
    assert "line 1: number 31, size AS, name QUILLON" in shown
    person.choose("The columns are right")
    assert started(person) == 1
    person.close()


def test_going_back_starts_nothing_and_the_columns_are_asked_again(
    bench: Bench, tmp_path: Path
) -> None:
    person = at_the_set_up(bench, tmp_path, GUESSED)
    person.choose("Read the cautions", "back")
    assert started(person) == 0
    person.choose("Read the cautions")
    assert person.station.desk.page is PageKind.COLUMNS
    person.close()


def test_standard_column_headings_need_no_confirmation(bench: Bench, tmp_path: Path) -> None:
    person = at_the_set_up(bench, tmp_path, "line,size,name,number\n1,AS,QUILLON,31\n")
    person.choose("Read the cautions")
    assert started(person) == 1
    person.close()


def test_columns_are_not_asked_again_for_a_resumed_job(bench: Bench, tmp_path: Path) -> None:
    person = at_the_set_up(bench, tmp_path, GUESSED)
    person.choose("Read the cautions", "The columns are right")
    person.side()
    person.choose("Put the job back", PLAIN[1], "Read the cautions")
    assert person.station.shell.state.job is not None
    person.close()


def test_the_confirmation_survives_a_restart_and_holds_no_name(
    bench: Bench, tmp_path: Path
) -> None:
    """The supervisor's PIN comes between the columns and the job: the station stops right there."""
    twice = "line;shirt size;player;number\n1;Adult S;QUILLON;31\n2;Adult M;FENN;31\n"
    person = at_the_set_up(bench, tmp_path, twice)
    person.choose("Start with the supervisor's PIN", "The columns are right")
    assert person.station.desk.page is PageKind.PIN
    (told,) = (e for e in person.events() if isinstance(e, ColumnsConfirmed))
    assert told.columns == (
        ("line", "line"), ("shirt size", "size"), ("player", "name"), ("number", "number")
    )  # fmt: skip
    assert told.job == PLAIN[0]
    roster = tmp_path / "jobs" / PLAIN[0] / "roster.csv"
    assert told.digest == hashlib.sha256(roster.read_bytes()).hexdigest()
    person.restart("boot-2")
    person.choose(PLAIN[1], "Start with the supervisor's PIN")
    assert person.station.desk.page is PageKind.PIN  # the columns are not asked again
    with Store.read_only(person.log) as store:
        rows = [codec.encode(event).payload for _, event in store.events()]
    assert not any(name in row for row in rows for name in ("QUILLON", "FENN"))
    person.close()


def test_other_headings_in_a_new_roster_are_asked_about_again(bench: Bench, tmp_path: Path) -> None:
    twice = "line;shirt size;player;number\n1;Adult S;QUILLON;31\n2;Adult M;FENN;31\n"
    person = at_the_set_up(bench, tmp_path, twice)
    person.choose("Start with the supervisor's PIN", "The columns are right", "back")
    roster = tmp_path / "jobs" / PLAIN[0] / "roster.csv"
    roster.write_text(twice.replace("shirt size", "talla"), "utf-8")
    person.choose("Start with the supervisor's PIN")
    assert "changed just now" in said(person)  # the set-up has the roster as it is now
    person.choose("Start with the supervisor's PIN")
    assert person.station.desk.page is PageKind.COLUMNS
    person.close()
