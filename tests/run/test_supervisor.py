"""Decisions that only a supervisor makes."""

from __future__ import annotations

from dataclasses import replace

import pytest
from run_samples import HOT, Bench, bench_with, named, on_shift, one_piece, plan_of, team

from kiosk.plan.model import PeelPlace
from kiosk.run.apply.fold import apply, replay
from kiosk.run.decide.decide import decide
from kiosk.run.show.parts import Ink
from kiosk.run.show.view import view
from kiosk.run.state import commands as c
from kiosk.run.state.events import Closed, JobStarted, JobTaken, Stopped
from kiosk.run.state.events_shift import Ruled
from kiosk.run.state.events_station import LogSalvaged, Refused
from kiosk.run.state.model import Garment, TicketStage
from kiosk.run.state.rules import QuestionCause, QuestionKind


def in_rework(place: PeelPlace = PeelPlace.PRESS) -> Bench:
    bench = bench_with(plan_of(one_piece(place, HOT if place is PeelPlace.PRESS else None)))
    bench.tap()
    bench.ring()
    bench.tap()
    bench.ring()
    bench.do(c.Inspect("1/1/1", TicketStage.REWORK, "lifted_edge", "short_press"))
    return bench


def allow(ticket: str = "1/1/1") -> c.AllowRepress:
    return c.AllowRepress(ticket, "SV", "edge lifts")


def test_a_re_press_is_queued_first_at_the_sheet_before_the_final() -> None:
    bench = in_rework()
    bench.do(allow())
    assert bench.job.queue == ("1/1/1", "3/1/1")
    ticket = bench.ticket("12")
    assert (ticket.stage, ticket.step, ticket.represses) == (TicketStage.WAITING, 3, 1)


def test_a_re_press_asks_for_the_number_on_the_shirt() -> None:
    bench = in_rework()
    bench.do(allow())
    bench.do(c.PutAside("the re-press first"))
    assert bench.slot.id == "1/1/1"
    assert [(q.ask, q.because) for q in bench.job.questions] == [
        (QuestionKind.NUMBER, QuestionCause.LATER_PASS)
    ]


@pytest.mark.parametrize("what", ["put aside", "row changed", "job left"])
def test_a_re_press_that_is_put_off_lays_nothing_again(what: str) -> None:
    """Its number is on the shirt: a second one on top would spoil it."""
    bench = in_rework()
    bench.do(allow())
    bench.do(c.PutAside("the re-press first"))
    bench.answer()
    if what == "put aside":
        for why in ("later", "the re-press first", "the re-press first"):
            bench.do(c.PutAside(why))
    elif what == "row changed":
        bench.do(c.RowChanged("1", "new"))
        bench.do(c.RuleOnTicket("1/1/1", TicketStage.WAITING, "SV", "only the name's spelling"))
        bench.do(c.PutAside("the re-press first"))
    else:
        job = bench.job
        bench.do(c.LeaveJob())
        bench.do(c.StartJob(job.job, job.plan, "hash", ()))
    assert (bench.slot.id, bench.slot.step) == ("1/1/1", 3)
    bench.answer()
    assert view(bench.state, bench.now).move.id == "move.load_sheet"
    (closed,) = bench.tap()
    assert isinstance(closed, Closed)
    assert closed.again


def test_a_re_press_is_logged_as_again_and_has_nothing_to_peel() -> None:
    bench = in_rework()
    bench.do(allow())
    bench.do(c.PutAside("the re-press first"))
    bench.answer()
    (closed,) = bench.tap()
    assert isinstance(closed, Closed)
    assert (closed.again, closed.first, closed.step) == (True, 3, 4)
    assert bench.slot.finals == 2
    bench.ring()
    assert (bench.slot.step, bench.verb) == (6, "finish 12")


def test_a_re_press_that_was_not_closed_leaves_the_first_final_and_one_re_press() -> None:
    bench = in_rework()
    bench.do(allow())
    bench.do(c.PutAside("the re-press first"))
    bench.answer()
    bench.tap()
    bench.wait(3.0)
    bench.do(c.SayOpened())
    bench.do(c.SayClosed(closed=False))
    assert (bench.slot.finals, bench.slot.represses) == (1, 1)
    (closed, *_) = bench.tap()
    assert isinstance(closed, Closed)
    assert closed.again
    assert bench.slot.used_up


def test_nobody_else_allows_a_second_final() -> None:
    bench = in_rework()
    bench.do(allow())
    bench.do(c.PutAside("the re-press first"))
    bench.answer()
    bench.tap()
    bench.ring()
    bench.do(c.Inspect("1/1/1", TicketStage.REWORK, "lifted_edge"))
    assert bench.ticket("12").finals == 2
    back = c.RuleOnTicket("1/1/1", TicketStage.WAITING, "SV", "again")
    assert bench.refused(back) == "refuse.rule.pressed"


def test_a_second_final_that_nobody_allowed_is_turned_away_and_recorded() -> None:
    bench = bench_with()
    bench.tap()
    bench.ring()
    used_up = replace(bench.slot, finals=1)
    job = replace(bench.job, tickets={**bench.job.tickets, used_up.id: used_up})
    state = replace(bench.state, job=job)
    bench.wait(1.0)
    answer = decide(state, bench.forward(), bench.now)
    assert answer == (Refused(bench.now, "refuse.second_final", "1/1/1"),)
    assert replay(answer, state).job == job


def test_a_re_press_names_supervisor_and_reason() -> None:
    bench = in_rework()
    assert bench.refused(c.AllowRepress("1/1/1", " ", "edge")) == "refuse.supervisor"
    assert bench.refused(c.AllowRepress("1/1/1", "SV", "")) == "refuse.reason"
    assert bench.refused(allow("9/9/9")) == "refuse.inspect.no_ticket"


def test_only_what_was_pressed_can_be_pressed_again() -> None:
    bench = in_rework()
    assert bench.refused(allow("2/1/1")) == "refuse.repress.not_pressed"


def test_a_final_of_unknown_outcome_can_be_allowed_again_with_its_carrier_on() -> None:
    bench = bench_with()
    bench.tap()
    bench.ring()
    bench.tap()
    bench.reboot()
    bench.tap()
    bench.do(allow())
    bench.answer()
    assert (bench.slot.id, bench.slot.step) == ("1/1/1", 3)
    bench.tap()
    bench.ring()
    assert bench.ticket("12").stage is TicketStage.COOLING


def test_a_changed_row_stops_a_garment_that_waits() -> None:
    bench = bench_with()
    assert bench.names(c.RowChanged("2", "new")) == ("Stopped",)
    assert bench.ticket("13").stage is TicketStage.STOPPED
    assert bench.job.queue == ("3/1/1",)


def test_a_changed_row_stops_the_garment_at_the_press_before_heat() -> None:
    bench = bench_with()
    assert bench.names(c.RowChanged("1", "new")) == ("Stopped", "TicketCalled")
    assert bench.slot.garment.number == "13"


def test_a_changed_row_stops_nothing_that_was_pressed() -> None:
    bench = bench_with()
    bench.tap()
    bench.ring()
    bench.tap()
    assert bench.do(c.RowChanged("1", "new")) == ()
    bench.ring()
    assert bench.do(c.RowChanged("1", "new")) == ()


def test_a_row_that_changes_during_a_pre_press_is_stopped_after_it() -> None:
    bench = bench_with()
    bench.tap()
    assert bench.refused(c.RowChanged("1", "new")) == "refuse.row.hot"
    bench.ring()
    bench.do(c.RowChanged("1", "new"))
    assert (bench.ticket("12").stage, bench.ticket("12").step) == (TicketStage.STOPPED, 2)


def test_a_change_that_was_ruled_on_stops_nothing_again() -> None:
    bench = bench_with()
    bench.do(c.RowChanged("2", "new"))
    bench.do(c.RuleOnTicket("2/1/1", TicketStage.WAITING, "SV", "only the name's spelling"))
    assert bench.ticket("13").stage is TicketStage.WAITING
    assert bench.do(c.RowChanged("2", "new")) == ()
    assert bench.names(c.RowChanged("2", "newer")) == ("Stopped",)


@pytest.mark.parametrize("stage", [TicketStage.GOOD, TicketStage.ACCEPTED, TicketStage.VOID])
def test_a_supervisor_ends_a_ticket_that_waits_for_a_decision(stage: TicketStage) -> None:
    bench = in_rework()
    bench.do(c.RuleOnTicket("1/1/1", stage, "SV", "looked at it"))
    assert bench.ticket("12").stage is stage
    assert bench.job.aside == ()


@pytest.mark.parametrize("stage", [TicketStage.GOOD, TicketStage.ACCEPTED, TicketStage.REWORK])
@pytest.mark.parametrize("how", ["stopped", "unknown"])
def test_nobody_can_call_a_garment_good_that_had_no_final(how: str, stage: TicketStage) -> None:
    bench = bench_with()
    bench.tap()
    if how == "stopped":
        bench.ring()
        bench.do(c.RowChanged("1", "new"))
    else:  # the machine went down during its pre-press
        bench.reboot()
        bench.tap()
        bench.do(c.PutAside("the others first"))
    assert bench.ticket("12").id in bench.job.aside
    ruling = c.RuleOnTicket("1/1/1", stage, "SV", "looked at it")
    assert bench.refused(ruling) == "refuse.rule.not_pressed"
    bench.do(c.RuleOnTicket("1/1/1", TicketStage.WAITING, "SV", "it goes on"))
    assert bench.ticket("12").stage is TicketStage.WAITING


def test_a_supervisor_decides_on_garments_hidden_by_a_hole_in_the_record() -> None:
    """It may have been pressed in that time: only the cloth shows it."""
    bench = bench_with()
    bench.events.append(LogSalvaged(bench.now, "aside", 5, 0))
    bench.state = apply(bench.state, bench.events[-1])
    bench.tap()
    bench.do(c.RuleOnTicket("2/1/1", TicketStage.GOOD, "SV", "it lies there, pressed"))
    assert bench.ticket("13").stage is TicketStage.GOOD
    bench.do(c.RuleOnTicket("3/1/1", TicketStage.WAITING, "SV", "blank shirt"))
    bench.do(c.RowChanged("3", "new"))
    ruling = c.RuleOnTicket("3/1/1", TicketStage.GOOD, "SV", "looked at it")
    assert bench.refused(ruling) == "refuse.rule.not_pressed"


def test_a_supervisors_scrap_opens_a_new_ticket() -> None:
    bench = in_rework()
    bench.do(c.RuleOnTicket("1/1/1", TicketStage.SCRAP, "SV", "burnt"))
    assert bench.ticket("12", copy=2).stage is TicketStage.WAITING


def test_a_garment_that_need_not_be_made_is_void() -> None:
    bench = bench_with()
    bench.do(c.RuleOnTicket("3/1/1", TicketStage.VOID, "SV", "left the team"))
    assert bench.job.queue == ("2/1/1",)


def test_a_supervisor_does_not_overrule_what_is_at_the_press() -> None:
    bench = bench_with()
    assert (
        bench.refused(c.RuleOnTicket("1/1/1", TicketStage.GOOD, "SV", "x"))
        == "refuse.rule.not_waiting"
    )
    assert (
        bench.refused(c.RuleOnTicket("2/1/1", TicketStage.COOLING, "SV", "x"))
        == "refuse.rule.stage"
    )


def test_after_a_damaged_log_every_open_ticket_waits_for_a_supervisor() -> None:
    bench = bench_with()
    bench.tap()
    bench.events.append(LogSalvaged(bench.now, "aside", 5, 0))
    bench.state = apply(bench.state, bench.events[-1])
    assert set(bench.job.aside) == {"1/1/1", "2/1/1", "3/1/1"}
    bench.tap()
    assert bench.job.slot == ""
    assert bench.refused(c.Inspect("2/1/1", TicketStage.GOOD)) == "refuse.inspect.not_pressed"
    bench.do(c.RuleOnTicket("2/1/1", TicketStage.WAITING, "SV", "blank shirt"))
    assert bench.slot.id == "2/1/1"


def test_behind_a_hole_nothing_counts_until_a_job_is_named() -> None:
    """The hole swallowed the start of another job whose tickets have the same numbers."""
    bench, other = bench_with(), in_rework()
    first = next(n for n, e in enumerate(other.events, 1) if isinstance(e, JobStarted))
    behind = other.events[first:]
    good = [*behind, Ruled(other.now, "1/1/1", TicketStage.GOOD, "SV", "looked at")]
    hole = LogSalvaged(bench.now, "aside", len(bench.events), len(good), hole=True)
    state = replay([*bench.events, hole, *good])
    assert state.job is None
    (job,) = state.jobs.values()
    assert {each.stage for each in job.tickets.values()} == {TicketStage.UNKNOWN}
    for taken, there in ((job.job, job.job), ("one whose start is lost", None)):
        state = apply(state, JobTaken(other.now, taken))
        assert (None if state.job is None else state.job.job) == there
    without = replay([*bench.events, replace(hole, hole=False), *good])
    assert (
        without.jobs[job.job].tickets["1/1/1"].stage is TicketStage.GOOD
    )  # as it was before the hole


# -- a corrected row: work that continues follows it ---------------------


def corrected(number: str, size: str = "L", lacks: tuple[str, ...] = ()) -> c.RowChanged:
    """The row of the second garment, 13, as rewritten meanwhile."""
    return c.RowChanged("2", "new", lacks, Garment("2", number, size, "new", lacks=lacks))


def test_a_corrected_number_is_asked_laid_and_shown() -> None:
    """Regression: the old number was pressed, because the digest was already the new row's."""
    bench = bench_with()
    bench.do(corrected("41", "XL"))
    bench.do(c.RuleOnTicket("2/1/1", TicketStage.WAITING, "SV", "the roster was corrected"))
    bench.do(c.PutAside("the other first"))
    assert bench.slot.id == "2/1/1"
    asked = [(question.ask, question.right) for question in bench.job.questions]
    assert (QuestionKind.SIZE, "XL") in asked
    bench.answer()
    shown = view(bench.state, bench.now)
    assert (shown.number, shown.digits, shown.size) == ("41", "41", "XL")
    assert bench.do(corrected("41", "XL")) == ()


def test_a_replacement_is_made_by_the_corrected_row() -> None:
    bench = bench_with()
    bench.do(corrected("41"))
    bench.do(c.RuleOnTicket("2/1/1", TicketStage.SCRAP, "SV", "13 is tacked on it"))
    assert bench.ticket("41", copy=2).stage is TicketStage.WAITING


def test_a_number_added_to_the_row_is_laid() -> None:
    bench = on_shift()
    garments = tuple(replace(g, lacks=() if g.number else ("number",)) for g in team("12", ""))
    plan = plan_of(one_piece())
    bench.do(c.StartJob(plan.job, plan, "hash", garments))
    bench.answer()
    bench.do(corrected("41"))
    bench.do(c.RuleOnTicket("2/1/1", TicketStage.WAITING, "SV", "the number is known now"))
    bench.do(c.PutAside("the other first"))
    bench.answer()
    bench.tap()
    bench.ring()
    shown = view(bench.state, bench.now)
    assert [piece.ink for piece in shown.pieces] == [Ink.NEXT]


def test_a_row_that_still_gives_no_number_is_still_pressed_without_its_steps() -> None:
    bench = on_shift()
    garments = tuple(replace(g, lacks=() if g.number else ("number",)) for g in team("12", ""))
    plan = plan_of(one_piece())
    bench.do(c.StartJob(plan.job, plan, "hash", garments))
    before = bench.job.tickets["2/1/1"].without
    bench.do(corrected("", "XL", ("number",)))
    assert bench.job.tickets["2/1/1"].without == before != ()


def test_a_row_that_is_gone_and_an_older_record_leave_the_number_as_it_was() -> None:
    bench = bench_with()
    bench.do(c.RowChanged("2"))
    assert bench.job.tickets["2/1/1"].garment == team("12", "13")[1]
    other = apply(bench_with().state, Stopped(bench.now, "2/1/1", "row changed", "new"))
    assert other.job is not None
    assert other.job.tickets["2/1/1"].garment.number == "13"


def at_the_first_final_with_the_second_stopped() -> Bench:
    """A garment of two passes is under its first final; its row changed before the second."""
    bench = bench_with(plan_of(one_piece(), named()), ("12",))
    bench.tap()
    bench.ring()
    bench.tap()
    bench.do(c.RowChanged("1", "new"))
    assert bench.ticket("12", passage=1).stage is TicketStage.STOPPED
    return bench


def test_a_garment_under_heat_is_not_scrapped_by_its_other_pass() -> None:
    bench = at_the_first_final_with_the_second_stopped()
    scrap = c.RuleOnTicket("1/2/1", TicketStage.SCRAP, "SV", "wrong name")
    assert bench.refused(scrap) == "refuse.rule.hot"
    bench.ring()
    assert bench.names(scrap)[0] == "Ruled"


@pytest.mark.parametrize("first", [TicketStage.VOID, TicketStage.GOOD])
def test_back_brings_no_garment_back_that_a_supervisor_scrapped(first: TicketStage) -> None:
    """It is made again: two copies of one garment would both be open."""
    bench = at_the_first_final_with_the_second_stopped()
    if first is TicketStage.GOOD:  # after a power cut only a look shows how it is
        bench.reboot(600.0)
        bench.tap()
        bench.do(c.Inspect("1/1/1", first))
    else:
        bench.ring()
    bench.do(c.RuleOnTicket("1/2/1", TicketStage.SCRAP, "SV", "wrong name"))
    assert bench.ticket("12").stage is first
    assert bench.refused(c.Back()) == "refuse.back.nothing"
