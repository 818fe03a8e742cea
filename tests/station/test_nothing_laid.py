"""A garment without a number is not called for a side that has only its number.

By real touches: a name and a number on the back, a number on the front.
"""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest
from mistakes import PLAIN, closings, said
from mistakes import at as begun
from station_driver import LONG_SECONDS, PIN, Foot, Person
from station_harness import Bench
from test_long_back import JOB, TITLE, short_platen

from kiosk.log.verify import verify
from kiosk.plan.model import Phase
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state.model import ENDED, JobRun, TicketStage
from kiosk.station.desk.sheet import PageKind

ROWS = "1,AS,QUILLON,31\n2,AS,MARROWAY,\n3,AS,FENN,45\n"


def job_of(person: Person) -> JobRun:
    job = person.station.shell.state.job
    assert job is not None
    return job


def test_a_garment_without_a_number_is_good_without_its_front(bench: Bench, tmp_path: Path) -> None:
    person = begun(bench, tmp_path, ROWS, PLAIN, recipe="both-sides")
    assert job_of(person).tickets.keys() == {"1/1/1", "2/1/1", "3/1/1", "1/2/1", "3/2/1"}
    asked = set()
    while person.view.kind is not ScreenKind.DONE:
        asked.add(job_of(person).slot)
        person.move_on()
    bench.pass_time(1.0)
    assert "3 good, 0 accepted, 0 scrap" in said(person)
    assert "2/2/1" not in asked | {each.ticket for each in closings(person)}
    assert {ticket.stage for ticket in job_of(person).tickets.values()} == {TicketStage.GOOD}
    person.choose("Put the job away")
    person.close()
    verdict = verify(person.log)
    assert (verdict.ok, verdict.pressed_twice) == (True, 0)


def heats(person: Person, line: str) -> list[Phase]:
    """Return the phases of a garment's closings in the first pass."""
    steps = job_of(person).plan.passes[0].steps
    return [steps[each.step].phase for each in closings(person) if each.ticket == f"{line}/1/1"]


@pytest.mark.parametrize("recipe", ["layered-number", "three-layer-number"])
def test_no_tack_is_pressed_with_nothing_laid(bench: Bench, tmp_path: Path, recipe: str) -> None:
    """The number has layers, the name has one: a garment without a number gets no tack."""
    person = begun(bench, tmp_path, ROWS, PLAIN, recipe=recipe)
    told = set()
    while person.view.kind is not ScreenKind.DONE:
        if person.view.line == "2":
            told.add(said(person))
        person.move_on()
    whole, short = heats(person, "1"), heats(person, "2")
    assert whole.count(Phase.TACK) == (2 if recipe == "layered-number" else 3)
    assert short == [phase for phase in whole if phase is not Phase.TACK]
    assert any("#2 has no number" in text for text in told)
    assert not any("on top" in text or "carriers off" in text.lower() for text in told)
    person.close()
    assert verify(person.log).ok


def test_a_garment_with_neither_name_nor_number_is_inspected_and_counted(
    bench: Bench, tmp_path: Path
) -> None:
    """The page for inspecting it once ended the program."""
    person = begun(bench, tmp_path, "1,AS,QUILLON,31\n2,AS,,\n", PLAIN, recipe="layered-number")
    while person.view.kind is not ScreenKind.DONE:
        person.move_on()
    assert Phase.FINAL not in heats(person, "2")
    assert job_of(person).tickets["2/1/1"].stage is TicketStage.GOOD
    person.close()
    assert verify(person.log).ok


def test_a_number_added_to_the_roster_later_goes_to_the_supervisor(
    bench: Bench, tmp_path: Path
) -> None:
    """Its back is done, so nothing would call the garment again."""
    person = begun(bench, tmp_path, ROWS, PLAIN, recipe="both-sides")
    while job_of(person).tickets["2/1/1"].stage not in ENDED:
        person.move_on()
    roster = tmp_path / "jobs" / PLAIN[0] / "roster.csv"
    roster.write_text(roster.read_text("utf-8").replace("MARROWAY,", "MARROWAY,52"), "utf-8")
    os.utime(roster, (2e9, 2e9))  # a file system may count in whole seconds
    while person.view.kind is not ScreenKind.DONE:
        person.move_on()
    assert job_of(person).tickets["2/2/1"].stage is TicketStage.STOPPED
    assert not job_of(person).done
    person.choose("Supervisor", *PIN, "Enter")
    bench.pass_time(1.0)
    assert "1 garment to decide #2" in said(person)  # its number then
    person.choose("1 garment to decide", "Number #2")
    assert "its row in the roster now says 52" in said(person)
    person.close()
    assert verify(person.log).ok


def test_a_garment_without_a_name_starts_with_its_lower_piece(bench: Bench, tmp_path: Path) -> None:
    """It had no heat yet, so it cannot be scrap. Its cloth asks for no pre-press."""
    short_platen(tmp_path)
    fabrics = tmp_path / "recipes" / "fabrics.yaml"
    text = re.sub("pre_press: .*", "pre_press: 0 s", fabrics.read_text("utf-8"))
    fabrics.write_text(text, "utf-8")
    roster = tmp_path / "jobs" / JOB / "roster.csv"
    roster.write_text("line,size,name,number\n1,AM,,27\n2,AM,FENN,45\n", "utf-8")
    person = Foot(bench, tmp_path)
    person.first_start()
    person.sign_off()
    person.choose(TITLE, "Start with the supervisor's PIN", *PIN, "Enter")
    person.answer()
    assert job_of(person).slot == "1/2/1"
    assert "Load, lay the lower piece" in said(person)
    person.press_pedal(LONG_SECONDS)
    assert person.station.desk.page is PageKind.CHOICES
    assert not any("crap" in button.label for button in person.buttons())
    person.close()
