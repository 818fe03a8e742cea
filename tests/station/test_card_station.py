"""A garment's card at the station: behind the supervisor's PIN, by fingers and by pedal alone."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from station_driver import PIN, Foot, Person, lay_out, shorten
from station_harness import Bench

from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state.model import Ticket
from kiosk.station.desk.sheet import PageKind
from kiosk.station.desk.shift.card import AT_ONCE, Cards

JOB, TITLE = "ice-crew", "Orsavel ice crew"
PARTS = {"Heat", "Checks of the press before and after", "Materials", "Decided by a supervisor"}


def pressed(bench: Bench, place: Path, by: type[Person]) -> Person:
    """Return a person at the end of a job of two garments."""
    lay_out(place, JOB)
    shorten(place, JOB, ["1", "2"])
    person = by(bench, place)
    person.first_start()
    person.sign_off()
    person.begin(TITLE)
    person.press_all()
    assert person.view.kind is ScreenKind.DONE
    return person


def first_of(person: Person) -> Ticket:
    job = person.station.shell.state.job
    assert job is not None
    return next(iter(job.tickets.values()))


def headline(person: Person) -> str:
    assert person.station.sheet is not None
    return person.station.sheet.sheet.headline


@pytest.mark.parametrize("by", [Person, Foot])
def test_a_card_can_be_opened_and_left(bench: Bench, tmp_path: Path, by: type[Person]) -> None:
    """It answers a complaint: when, at which press, settings and how they are known, by whom."""
    person = pressed(bench, tmp_path, by)
    garment = first_of(person).garment
    person.choose("Supervisor", *PIN, "Enter", "A garment's card", TITLE, garment.number)
    assert page(person) is PageKind.CARD
    shown = " ".join(person.texts().split())
    assert f"number {garment.number} (line {garment.line}, size {garment.size})" in shown
    assert headline(person).startswith("Copy 1: good, IK, ")
    person.choose("Go on")
    shown = " ".join(person.texts().split())
    assert "+" not in shown  # no rows are hidden behind a count
    heat = re.search(r"final press.*", shown)
    assert heat is not None
    for told in ("heron", "IK", "°F", " s", "closed: declared, opened: not seen"):
        assert told in heat[0]
    seen = {headline(person)}
    for _ in range(len(PARTS) - 1):
        person.choose("Go on")
        seen.add(headline(person))
        if headline(person).startswith("Checks"):
            shown = " ".join(person.texts().split())
            assert "before: none in the record" in shown
            assert "after: none in the record" in shown
    assert seen == PARTS
    person.choose("Go on")
    assert headline(person).startswith("Copy 1")
    person.choose("back")
    assert garment.number in labels(person)
    person.choose("back", "back")
    assert page(person) is PageKind.SUPERVISOR


def page(person: Person) -> PageKind:
    return person.station.desk.page


def labels(person: Person) -> list[str]:
    assert person.station.sheet is not None
    return [button.label for button in person.station.sheet.sheet.choices]


def test_the_shift_report_opens_the_cards_too_and_back_returns_to_it(
    bench: Bench, tmp_path: Path
) -> None:
    person = pressed(bench, tmp_path, Person)
    person.choose("Supervisor", *PIN, "Enter", "This shift")
    sheet = person.station.sheet
    assert sheet is not None
    (way,) = [each for each in sheet.sheet.choices if each.label == "A garment's card"]
    way.act()
    person.station.refresh()
    person.choose("back")
    assert page(person) is PageKind.REPORT


def test_no_card_is_shown_without_the_pin(bench: Bench, tmp_path: Path) -> None:
    person = pressed(bench, tmp_path, Person)
    person.choose("Supervisor")
    assert page(person) is PageKind.PIN
    assert person.station.desk.of(Cards).card is None


def test_a_large_jobs_numbers_are_first_grouped_into_ranges(bench: Bench, tmp_path: Path) -> None:
    lay_out(tmp_path, JOB)
    rows = [f"{n},AM,{name_of(n)},{n}" for n in range(1, 2 * AT_ONCE + 6)]
    roster = tmp_path / "jobs" / JOB / "roster.csv"
    roster.write_text("line,size,name,number\n" + "\n".join(rows) + "\n", "utf-8")
    person = Person(bench, tmp_path)
    person.first_start()
    person.begin(TITLE)
    person.side()
    bench.pass_time(0.6)
    person.choose("Supervisor", *PIN, "Enter", "A garment's card", TITLE)
    assert [each for each in labels(person) if " to " in each] == [
        "1 to 24",
        "25 to 48",
        "49 to 53",
    ]
    person.choose("49 to 53", "53")
    assert "number 53" in person.texts()
    person.choose("back", "back", "back", "back")
    assert page(person) is PageKind.SUPERVISOR


def name_of(line: int) -> str:
    return "".join("ABCDEFGHIJ"[int(figure)] for figure in f"{line:03}")


def test_the_card_page_reports_when_there_is_no_job_yet(bench: Bench, tmp_path: Path) -> None:
    lay_out(tmp_path, JOB)
    person = Person(bench, tmp_path)
    person.first_start()
    person.choose("Supervisor", *PIN, "Enter", "A garment's card")
    assert "No job in this record yet." in person.texts()
    person.choose("back")
    assert page(person) is PageKind.SUPERVISOR
