"""Each slip that ruins a garment, made at the station: impossible, or stopped before heat.

Slips that only eyes can find are in test_failure_modes_shown.py: "shown, not sensed".
"""

from __future__ import annotations

from pathlib import Path

from mistakes import PLAIN, ROWS, STACK, asked, at, closings, hands, judge, no_heat_by_the_bar, said
from mistakes import wrong_reads as wrong
from station_driver import PIN
from station_harness import Bench

from kiosk.plan.model import Phase
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state.events import (
    AskedQuick,
    Closed,
    Finished,
    JobStarted,
    SetAside,
    SettingRead,
    Skipped,
)
from kiosk.run.state.events_shift import RepressAllowed
from kiosk.run.state.model import ENDED, TicketStage
from kiosk.run.state.rules import QuestionKind
from kiosk.station.desk.sheet import PageKind
from kiosk.station.glass.devices import PRESS_CLOSED, PRESS_OPENED

TWINS = "1,AS,QUILLON,6\n2,AS,FENN,45\n3,AS,MARROWAY,9\n"


def test_the_wrong_number_on_the_bag_is_stopped_before_heat(bench: Bench, tmp_path: Path) -> None:
    person = asked(at(bench, tmp_path, TWINS), QuestionKind.NUMBER)
    person.read_off("45")  # the next bag of the pile
    assert person.view.kind is ScreenKind.ASK
    assert "read it again" in said(person)
    assert no_heat_by_the_bar(person)
    assert wrong(person) == ["45"]
    person.close()


def test_the_wrong_size_is_stopped_before_heat(bench: Bench, tmp_path: Path) -> None:
    person = asked(at(bench, tmp_path), QuestionKind.SIZE)
    person.read_off("AM")
    assert person.view.kind is ScreenKind.ASK
    assert no_heat_by_the_bar(person)
    assert wrong(person) == ["AM"]
    person.close()


def test_a_6_read_as_a_9_is_stopped_before_heat(bench: Bench, tmp_path: Path) -> None:
    person = asked(at(bench, tmp_path, TWINS), QuestionKind.NUMBER)
    assert "Look-alike number" in said(person)
    person.read_off("9")
    assert person.view.kind is ScreenKind.ASK
    assert no_heat_by_the_bar(person)
    assert wrong(person) == ["9"]
    person.close()


def test_a_6_and_a_9_never_follow_each_other(bench: Bench, tmp_path: Path) -> None:
    rows = "1,AS,QUILLON,6\n2,AS,MARROWAY,9\n3,AS,FENN,45\n"
    person = at(bench, tmp_path, rows)
    job = person.station.shell.state.job
    assert job is not None
    numbers = [t.garment.number for t in job.tickets.values()]
    assert sorted(numbers) == ["45", "6", "9"]
    assert numbers[1] == "45"
    person.close()


def test_13_entered_for_31_is_stopped_before_heat(bench: Bench, tmp_path: Path) -> None:
    """After a break the number is read again."""
    person = at(bench, tmp_path)
    person.answer()
    person.slept += 700.0
    person.stage.pass_time(1.5)
    asked(person, QuestionKind.NUMBER)
    person.read_off("13")
    assert person.view.kind is ScreenKind.ASK
    assert no_heat_by_the_bar(person)
    assert wrong(person) == ["13"]
    person.close()


def test_a_duplicate_number_needs_the_supervisor_before_the_job_starts(
    bench: Bench, tmp_path: Path
) -> None:
    """One set cannot use a number twice without a question."""
    person = at(bench, tmp_path)  # a job without questions, to set a PIN
    person.side()
    person.choose("Put the job back")
    roster = tmp_path / "jobs" / STACK[0] / "roster.csv"
    (tmp_path / "jobs" / "twice").mkdir()
    job = roster.with_name("job.yaml").read_text("utf-8").replace("league shirts", "twice")
    (tmp_path / "jobs" / "twice" / "job.yaml").write_text(job, "utf-8")
    twice = roster.read_text("utf-8").replace("FENN,45", "FENN,31")
    (tmp_path / "jobs" / "twice" / "roster.csv").write_text(twice, "utf-8")
    person.choose("Supervisor", *PIN, "Enter", "back")  # the list of jobs is read again
    person.choose("Orsavel raft polo, twice")
    before = len([e for e in person.events() if isinstance(e, JobStarted)])
    assert "question" in said(person)
    person.choose("Start with the supervisor's PIN")
    assert person.station.desk.page is PageKind.PIN
    assert len([e for e in person.events() if isinstance(e, JobStarted)]) == before
    person.close()


def test_a_garment_cannot_be_missed(bench: Bench, tmp_path: Path) -> None:
    """Put aside, it comes back by itself, and the job is not done without it."""
    person = at(bench, tmp_path, ROWS, PLAIN)
    person.answer()
    first = person.view.number
    person.side()
    person.choose("Put this garment aside", "not here")
    assert any(isinstance(e, SetAside) for e in person.events())
    person.press_all()
    job = person.station.shell.state.job
    assert job is not None
    order = [e.ticket for e in person.events() if isinstance(e, Finished)]
    assert len(order) == 3
    assert job.tickets[order[-1]].garment.number == first
    assert {ticket.stage for ticket in job.tickets.values()} <= ENDED
    person.close()


def test_a_garment_is_not_pressed_twice_without_a_supervisors_reason(
    bench: Bench, tmp_path: Path
) -> None:
    person = hands(at(bench, tmp_path), Phase.INSPECT)
    ticket = person.view.ticket
    judge(person, "Rework")
    while person.view.kind is not ScreenKind.DONE:
        person.move_on()
    before = len(closings(person))
    assert not any(e.again for e in closings(person))  # nothing offered it again
    person.choose("Supervisor", *"1111", "Enter")
    assert "Wrong PIN" in said(person)
    person.choose(*PIN, "Enter", "1 garment", "Number", "Press once more")
    assert len(closings(person)) == before
    person.choose("pieces laid again")
    while not any(e.again for e in closings(person)):
        person.move_on()
    kinds = [e for e in person.events() if isinstance(e, RepressAllowed | Closed)]
    allowed = next(n for n, e in enumerate(kinds) if isinstance(e, RepressAllowed))
    again = next(n for n, e in enumerate(kinds) if isinstance(e, Closed) and e.again)
    assert allowed < again
    assert kinds[allowed].ticket == kinds[again].ticket == ticket
    assert getattr(kinds[allowed], "reason", "") == "relaid"
    person.close()


def test_the_last_jobs_setting_is_stopped_before_heat(bench: Bench, tmp_path: Path) -> None:
    person = at(bench, tmp_path)
    assert person.view.kind is ScreenKind.SETTING
    needed = person.setting()
    person.enter_setting(248)
    assert person.view.kind is ScreenKind.SETTING
    assert "248" in said(person)
    assert no_heat_by_the_bar(person)
    reads = [e for e in person.events() if isinstance(e, SettingRead)]
    assert [(e.temperature, e.required) for e in reads] == [(248, needed)]
    person.close()


def test_the_setting_is_typed_from_the_press_not_copied_from_the_screen(
    bench: Bench, tmp_path: Path
) -> None:
    """A reading two degrees off is kept as entered; the pad does not show the required value."""
    person = at(bench, tmp_path)
    needed = person.setting()
    assert str(needed) in said(person)
    person.bar()
    assert str(needed) not in said(person)
    person.side(right=False)
    assert str(needed) in said(person)
    person.enter_setting(needed + 2)
    assert person.view.kind is not ScreenKind.SETTING
    reads = [e for e in person.events() if isinstance(e, SettingRead)]
    assert [(e.temperature, e.required) for e in reads] == [(needed + 2, needed)]
    person.close()


def test_a_tack_that_ran_long_is_caught_at_inspection(bench: Bench, tmp_path: Path) -> None:
    """With a switch at the press: the garment keeps its mark until someone inspects it."""
    person = hands(at(bench, tmp_path), Phase.LAY)
    bench.key(PRESS_CLOSED)
    bench.key(PRESS_CLOSED, down=False)
    kinds = [person.view.kind]
    bench.pass_time(20.0)
    kinds.append(person.view.kind)
    assert kinds == [ScreenKind.HEAT, ScreenKind.OVER]
    assert "look for marks" in said(person)
    bench.key(PRESS_OPENED)
    bench.key(PRESS_OPENED, down=False)
    job = person.station.shell.state.job
    assert job is not None
    assert "over" in job.tickets[job.slot].marks
    while not person.view.inspecting:
        person.move_on()
        if person.view.kind is ScreenKind.OVER:
            person.move_on()
    person.stage.pass_time(0.6)
    assert "it had more time than allowed: look for marks" in said(person)
    person.close()


def test_the_pre_press_is_not_skipped_without_a_reason(bench: Bench, tmp_path: Path) -> None:
    person = at(bench, tmp_path)
    person.answer()
    person.forward()
    first = closings(person)[0]
    job = person.station.shell.state.job
    assert job is not None
    assert job.plan.passes[0].steps[first.step].phase is Phase.PRE_PRESS
    person.until_open()
    person.press_all()
    starts = [e for e in closings(person) if e.step == first.step]
    assert len(starts) == 3  # every garment had its own
    assert not any(isinstance(e, Skipped) for e in person.events())
    person.close()


def test_skipping_the_pre_press_asks_why_and_is_recorded(bench: Bench, tmp_path: Path) -> None:
    person = at(bench, tmp_path)
    person.answer()
    person.side()
    person.choose("Skip the pre-press")
    assert "Why no pre-press?" in said(person)
    assert closings(person) == []
    person.choose("already pressed dry")
    assert [e.reason for e in person.events() if isinstance(e, Skipped)] == ["dry"]
    person.close()


def test_pressing_the_bar_too_early_asks_once_whether_all_is_laid(
    bench: Bench, tmp_path: Path
) -> None:
    person = hands(at(bench, tmp_path), Phase.LAY)
    before = len(closings(person))
    person.bar(0.0)
    assert len(closings(person)) == before
    assert "Is it all laid?" in said(person)
    assert "too quick: press again when it is done" in said(person)
    person.bar(0.7)
    assert len(closings(person)) == before + 1
    assert sum(isinstance(e, AskedQuick) for e in person.events()) == 1
    person.close()


def test_a_scrapped_garment_is_made_again(bench: Bench, tmp_path: Path) -> None:
    """A scrapped garment is replaced, so none is missing at the end."""
    person = hands(at(bench, tmp_path, "1,AS,QUILLON,31\n"), Phase.INSPECT)
    judge(person, "Scrap")
    person.press_all()
    ends = [e.stage for e in person.events() if isinstance(e, Finished)]
    assert ends == [TicketStage.SCRAP, TicketStage.GOOD]
    person.close()
