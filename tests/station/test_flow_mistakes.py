"""People's mistakes at the press, made at the real station by touches."""

from __future__ import annotations

import re
from pathlib import Path

from station_driver import PIN, Person, lay_out, shorten, small
from station_harness import Bench

from kiosk.log.facts.shifts import rows_of_jobs
from kiosk.log.store.store import Store
from kiosk.log.verify import verify
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state.event import Event
from kiosk.run.state.events import (
    AskedClosed,
    Closed,
    Finished,
    NotClosed,
    Stopped,
    TakenBack,
    TicketCalled,
    TimeUp,
    WasClosed,
)
from kiosk.run.state.events_shift import Ruled
from kiosk.run.state.model import ENDED, TicketStage
from kiosk.station.desk.sheet import PageKind

PLAIN = "swim-school"  # one layer, peeled hot at the press


def at_inspection(bench: Bench, place: Path, job: str = PLAIN) -> Person:
    """Return a person whose first garment is to be inspected."""
    person = small(bench, place, job)
    while not person.view.inspecting:
        person.move_on()
    bench.pass_time(1.0)
    return person


def last(person: Person, kind: type[Event]) -> Event:
    return next(e for e in reversed(person.events()) if isinstance(e, kind))


def kinds(person: Person, since: int = 0) -> list[str]:
    return [type(event).__name__ for event in person.events()[since:]]


def shows(person: Person) -> ScreenKind:
    return person.view.kind


def page(person: Person) -> PageKind:
    return person.station.desk.page


def judge(person: Person, result: str) -> None:
    """Give a result, with the first class and cause of each list."""
    person.choose(result)
    for _ in ("class", "cause"):
        person.stage.pass_time(0.7)
        person.choose(next(iter(person.buttons())).label)


# -- opened too soon -------------------------------------------------------


def test_a_heat_answered_as_not_closed_does_not_count(bench: Bench, tmp_path: Path) -> None:
    person = small(bench, tmp_path, PLAIN)
    person.to_heat(closings=2)
    ticket, before = person.view.ticket, len(person.events())
    person.side()
    assert shows(person) is ScreenKind.ASK_CLOSED
    person.choose("Not closed")
    assert kinds(person, before) == [AskedClosed.__name__, NotClosed.__name__]
    assert shows(person) is ScreenKind.HANDS
    assert person.view.ticket == ticket
    person.press_all()
    finals = [e for e in person.events() if isinstance(e, Closed) and e.again]
    assert finals == []  # a heat that never happened does not count


def test_a_garment_opened_too_soon_is_inspected_and_never_topped_up(
    bench: Bench, tmp_path: Path
) -> None:
    person = small(bench, tmp_path, PLAIN)
    person.to_heat(closings=2)
    bench.pass_time(3.0)
    ticket = person.view.ticket
    person.side()
    person.choose("Closed")
    was = last(person, WasClosed)
    assert isinstance(was, WasClosed)
    assert 3.0 < was.heat_seconds < 7.0
    assert person.view.ticket == ticket
    assert "it had less time than planned" in person.texts()
    before = len(person.events())
    while person.view.ticket == ticket:
        person.move_on()
    assert Closed.__name__ not in kinds(person, before)


def test_the_clock_keeps_running_while_nobody_answers(bench: Bench, tmp_path: Path) -> None:
    person = small(bench, tmp_path, PLAIN)
    person.to_heat(closings=2)
    person.side()
    person.until(lambda view: view.kind is not ScreenKind.ASK_CLOSED)
    assert isinstance(last(person, TimeUp), TimeUp)


# -- back one, results -----------------------------------------------------


def test_a_mistaken_good_can_be_taken_back(bench: Bench, tmp_path: Path) -> None:
    person = at_inspection(bench, tmp_path)
    ticket = person.view.ticket
    person.forward()
    person.answer()
    assert person.view.ticket != ticket
    person.side(right=False)
    assert isinstance(last(person, TakenBack), TakenBack)
    assert person.view.ticket == ticket
    assert person.view.inspecting


def test_back_one_is_not_offered_while_the_press_is_closed(bench: Bench, tmp_path: Path) -> None:
    person = small(bench, tmp_path, PLAIN)
    person.to_heat(closings=2)
    assert person._foot().back is None


def test_a_garment_within_the_grade_is_accepted(bench: Bench, tmp_path: Path) -> None:
    person = at_inspection(bench, tmp_path)
    ticket = person.view.ticket
    judge(person, "Accept")
    found = last(person, Finished)
    assert isinstance(found, Finished)
    assert (found.ticket, found.stage) == (ticket, TicketStage.ACCEPTED)
    assert found.defect
    assert found.cause


def test_a_scrapped_garment_opens_a_new_ticket(bench: Bench, tmp_path: Path) -> None:
    person = at_inspection(bench, tmp_path)
    judge(person, "Scrap")
    job = person.station.shell.state.job
    assert job is not None
    assert len(job.tickets) == 4
    person.press_all()
    job = person.station.shell.state.job
    assert job is not None
    assert sorted(t.stage.value for t in job.tickets.values()) == ["good", "good", "good", "scrap"]


def test_a_garment_for_rework_stays_open_and_can_end_good(bench: Bench, tmp_path: Path) -> None:
    person = at_inspection(bench, tmp_path)
    judge(person, "Rework")
    person.press_all()
    bench.pass_time(1.0)
    assert "1 still open" in person.texts()
    person.choose("Number")
    assert person.view.inspecting
    person.choose("Good")
    job = person.station.shell.state.job
    assert job is not None
    assert {t.stage for t in job.tickets.values()} <= ENDED


def test_a_second_touch_on_a_chip_returns_to_the_move(bench: Bench, tmp_path: Path) -> None:
    person = small(bench, tmp_path)
    while not person.view.chips:
        person.move_on()
    person.answer()
    bench.pass_time(1.0)
    forward = person.view.bar.meaning
    chip = person.chips()[0]
    bench.tap(*chip.centre)
    assert person.view.bar.meaning is None
    bench.pass_time(1.0)
    bench.tap(*person.chips()[0].centre)
    assert person.view.bar.meaning == forward


# -- rosters and jobs ------------------------------------------------------


def another_number(person: Person, place: Path, ticket: str) -> None:
    """Write 88 into the garment's row of the roster."""
    job = person.station.shell.state.job
    assert job is not None
    line = job.tickets[ticket].garment.line
    roster = place / "jobs" / PLAIN / "roster.csv"
    rows = roster.read_text("utf-8").splitlines()
    changed = [row.rsplit(",", 1)[0] + ",88" if row.startswith(f"{line},") else row for row in rows]
    roster.write_text("\n".join(changed) + "\n", "utf-8")


def test_a_roster_row_changed_during_the_job_stops_that_garment(
    bench: Bench, tmp_path: Path
) -> None:
    person = small(bench, tmp_path, PLAIN)
    ticket = person.answer().ticket
    another_number(person, tmp_path, ticket)
    before = len(person.events())
    person.forward()
    assert Closed.__name__ not in kinds(person, before)  # no heat on it
    stopped = person.events()[before]
    assert isinstance(stopped, Stopped)
    assert stopped.ticket == ticket
    assert isinstance(person.events()[before + 1], TicketCalled)
    while not person.view.aside:
        person.move_on()
    assert person.view.ticket != ticket


def test_a_stopped_garments_chip_shows_why_and_nobody_can_call_it_good(
    bench: Bench, tmp_path: Path
) -> None:
    """Its chip showed nothing, and the bar was dead until the chip was touched again."""
    person = small(bench, tmp_path, PLAIN)
    first = person.answer()
    another_number(person, tmp_path, first.ticket)
    person.forward()
    while not (person.view.aside and person.view.kind is ScreenKind.HANDS):
        person.move_on()
    bench.pass_time(1.0)
    bench.tap(*person.chips()[0].centre)
    shown = " ".join(person.texts().split())
    assert "Stopped: a supervisor decides" in shown
    assert "its row in the roster now says 88" in shown
    assert f"Number {first.number} waits for the supervisor" in shown  # as on the shirt
    assert person.view.ticket == first.ticket
    assert not person.view.inspecting
    bench.pass_time(1.0)
    bench.tap(*person.chips()[0].centre)
    assert person.view.bar.meaning is not None
    bench.pass_time(1.0)
    person.side(right=True)
    person.choose("Supervisor", *PIN, "Enter", "1 garment to decide", "Number")
    assert f"Number {first.number}" in person.texts()
    assert "its row in the roster now says 88" in " ".join(person.texts().split())
    labels = {button.label for button in person.buttons()}
    # Good was among them, for a garment that never had its final
    assert labels == {"back", "Back in the queue", "Scrap: make it again"}


def test_a_corrected_number_is_the_one_asked_for_and_laid(bench: Bench, tmp_path: Path) -> None:
    """Back in the queue, the garment was called, drawn and asked for by its old number."""
    person = small(bench, tmp_path, PLAIN, lines="1")
    first = person.answer()
    another_number(person, tmp_path, first.ticket)
    person.forward()
    bench.pass_time(1.0)
    person.choose("Supervisor", *PIN, "Enter", "1 garment to decide", f"Number {first.number}")
    person.choose("Back in the queue", "the roster was corrected")
    shown = person.answer()
    assert (shown.ticket, shown.number) == (first.ticket, "88")
    person.press_all()
    job = person.station.shell.state.job
    assert job is not None
    assert [t.stage for t in job.tickets.values()] == [TicketStage.GOOD]
    person.close()
    assert verify(person.log).ok
    with Store.read_only(person.log) as store:
        assert [row.number for row in rows_of_jobs(store, [job.job])] == ["88"]


def test_a_row_the_supervisor_ruled_on_does_not_stop_its_garment_again(
    bench: Bench, tmp_path: Path
) -> None:
    person = small(bench, tmp_path, PLAIN, lines="1")
    roster = tmp_path / "jobs" / PLAIN / "roster.csv"
    roster.write_text(roster.read_text("utf-8").replace("MINNOWICK", "MINOWICK"), "utf-8")
    person.answer()
    person.forward()
    person.stage.pass_time(1.0)
    person.choose("Supervisor", *PIN, "Enter", "1 garment to decide", "Number")
    person.choose("Back in the queue", "the roster was corrected")
    assert isinstance(last(person, Ruled), Ruled)
    person.press_all()
    job = person.station.shell.state.job
    assert job is not None
    assert [t.stage for t in job.tickets.values()] == [TicketStage.GOOD]


def test_a_faulty_job_shows_what_is_wrong(bench: Bench, tmp_path: Path) -> None:
    lay_out(tmp_path, PLAIN)
    job = tmp_path / "jobs" / PLAIN / "job.yaml"
    job.write_text(job.read_text("utf-8").replace("fabric: ", "fabric: un"), "utf-8")
    person = Person(bench, tmp_path)
    person.first_start()
    assert "1 fault: touch to read" in person.texts()
    person.choose(PLAIN)  # an unreadable job has no title
    shown = " ".join(person.texts().split())
    assert page(person) is PageKind.FAULTS
    assert "unallover-print" in shown  # the word found
    assert "allover-print" in shown.replace("unallover-print", "")  # the nearest known word
    assert "job.yaml" in shown
    person.choose("back")
    assert page(person) is PageKind.JOBS


def test_a_job_stopped_by_a_question_about_its_whole_file_shows_that_question(
    bench: Bench, tmp_path: Path
) -> None:
    """Other letters may bring the missing column, so it is not yet a fault; the page was empty."""
    lay_out(tmp_path, PLAIN)
    rows = b"line,tail,name,number\n1,AM,\xc3\x91UBARRO,48\n2,AM,MUEL\xb9\xba,07\n"
    (tmp_path / "jobs" / PLAIN / "roster.csv").write_bytes(rows)
    person = Person(bench, tmp_path)
    person.first_start()
    assert "1 fault: touch to read" in person.texts()
    person.choose(PLAIN)
    assert page(person) is PageKind.FAULTS
    shown = " ".join(person.texts().split())
    assert "roster.csv: the file does not say how its letters were saved: which ones" in shown


def test_faults_in_the_files_are_shown_in_everyday_words(bench: Bench, tmp_path: Path) -> None:
    lay_out(tmp_path, PLAIN)
    job = tmp_path / "jobs" / PLAIN / "job.yaml"
    job.write_text(job.read_text("utf-8") + "size_rule: none-such\n", "utf-8")
    sheets = tmp_path / "recipes" / "materials.yaml"
    sheets.write_text(sheets.read_text("utf-8").replace("carrier_off: r", "carrier_off: l", 1))
    person = Person(bench, tmp_path)
    person.first_start()
    person.choose(PLAIN)
    assert page(person) is PageKind.FAULTS
    shown = " ".join(person.texts().split())
    assert "cover sheet, second pressing, carrier off: unknown word" in shown
    assert "rule on heights: nothing by this name" in shown
    assert "no_press" in shown  # one of the allowed words
    assert not {"carrier_off", "cover_sheet", "size_rule"} & set(re.findall(r"\w+", shown))


def test_an_empty_jobs_folder_is_reported(bench: Bench, tmp_path: Path) -> None:
    lay_out(tmp_path, "none")
    person = Person(bench, tmp_path)
    person.first_start()
    assert "No jobs yet" in person.texts()


def test_a_roster_with_questions_needs_the_pin(bench: Bench, tmp_path: Path) -> None:
    lay_out(tmp_path, PLAIN)
    shorten(tmp_path, PLAIN, "12")
    roster = tmp_path / "jobs" / PLAIN / "roster.csv"
    roster.write_text(roster.read_text("utf-8") + "3,YM,DOUBLE,10\n", "utf-8")  # 10 twice
    person = Person(bench, tmp_path)
    person.first_start()
    person.choose("Orsavel")
    person.choose("1 question")
    assert page(person) is PageKind.QUESTIONS
    person.choose("back", "Start with the supervisor's PIN", *"0000", "Enter")
    assert page(person) is PageKind.PIN
    assert person.station.shell.state.job is None
    person.choose(*PIN, "Enter")
    assert page(person) is PageKind.WORK
