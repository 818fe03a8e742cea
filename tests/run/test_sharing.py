"""A shared order comes in batches; conflicting claims hold the work before the next heat."""

from __future__ import annotations

import pytest
from run_samples import HOT, Bench, on_shift, one_piece, plan_of

from kiosk.catalog.base import say
from kiosk.plan.model import PeelPlace, Plan
from kiosk.run.facts import ScreenKind, share_of
from kiosk.run.state import Overruled
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state.events_station import ClaimsLeft, ClaimsMet
from kiosk.run.state.model import Garment, TicketStage

AT_PRESS = plan_of(one_piece(PeelPlace.PRESS, HOT))
TWO_RUNS = plan_of(one_piece(PeelPlace.PRESS, HOT), one_piece(PeelPlace.PRESS, HOT, degrees=280))
SOUTH = s.OtherStation("south", claim=7, blocks=True, lines=("2", "9"))
LET_PASS = s.LetPass(Overruled.CLAIMS, "SV", "agreed")


def lines(first: int, last: int) -> tuple[Garment, ...]:
    return tuple(Garment(str(n), str(n + 20), "L", f"digest-{n}") for n in range(first, last + 1))


def shared(plan: Plan = AT_PRESS) -> Bench:
    """A bench with lines 1 to 3 of an order of nine."""
    bench = on_shift()
    bench.do(c.StartJob(plan.job, plan, "hash", lines(1, 3), batch=1, whole=9))
    return bench.answer()


def press(bench: Bench, count: int = 1) -> Bench:
    """Take `count` garments to a good end."""
    for _ in range(count):
        ticket = bench.answer().job.slot
        while bench.job.tickets[ticket].stage is not TicketStage.GOOD:
            bench.tap()
            if bench.state.heat is not None:
                bench.ring()
    return bench.answer()


def test_the_next_batch_is_requested_when_this_one_is_nearly_done_and_queued_behind_it() -> None:
    bench = shared()
    assert share_of(bench.job) == ({1: lines(1, 3)}, (), False)
    press(bench)
    assert share_of(bench.job).wants  # two are left to load
    assert bench.names(s.TakeBatch("ferry", 4, lines(7, 9))) == ("BatchTaken",)
    assert bench.do(s.TakeBatch("ferry", 4, lines(7, 9))) == ()  # the same batch again
    assert bench.numbers((bench.job.slot, *bench.job.queue)) == ("22", "23", "27", "28", "29")
    assert not share_of(bench.job).wants
    press(bench, 2)
    assert share_of(bench.job) == ({4: lines(7, 9)}, (1,), False)
    assert bench.job.whole == 9


def test_the_job_ends_only_when_all_its_batches_are_done() -> None:
    bench = press(shared(), 3)
    assert bench.is_in(ScreenKind.DONE)
    assert not bench.job.done
    assert share_of(bench.job) == ({}, (1,), True)
    bench.do(s.TakeBatch("ferry", 2, lines(4, 4)))
    assert bench.job.slot == "4/1/1"
    assert bench.do(s.EndBatches("ferry")) == ()  # one of them is still open here
    press(bench)
    assert bench.names(s.EndBatches("ferry")) == ("BatchesEnded", "JobDone")
    assert bench.job.done
    assert bench.do(s.TakeBatch("ferry", 3, lines(5, 5))) == ()


def test_a_job_that_was_put_back_ends_beside_the_press() -> None:
    bench = press(shared(), 3)
    bench.do(c.LeaveJob())
    assert bench.names(s.EndBatches("ferry")) == ("BatchesEnded", "JobDone")
    assert bench.state.others["ferry"].done
    assert "ferry" in bench.state.closed


def test_a_batch_joins_each_run_of_one_setting() -> None:
    bench = shared(TWO_RUNS)
    press(bench, 2)
    bench.do(s.TakeBatch("ferry", 2, lines(4, 5)))
    assert bench.job.queue == ("4/1/1", "5/1/1", "1/2/1", "2/2/1", "3/2/1", "4/2/1", "5/2/1")


def test_an_unshared_order_works_as_before() -> None:
    bench = on_shift()
    bench.do(c.StartJob("ferry", AT_PRESS, "hash", lines(1, 1)))
    assert bench.do(s.TakeBatch("ferry", 2, lines(4, 5))) == ()
    assert (bench.job.batches, bench.job.whole, bench.job.more) == ((), 0, False)
    assert press(bench).job.done


@pytest.mark.parametrize("taps", [0, 1])
def test_claims_that_meet_hold_the_work_before_the_next_heat(taps: int) -> None:
    """Before any heat, or between a pre-press and its final."""
    bench = on_shift()
    bench.do(c.StartJob("ferry", AT_PRESS, "hash", lines(1, 3)))
    bench.answer()
    for _ in range(taps):
        bench.tap()
        assert bench.refused(s.MeetClaims("ferry", (SOUTH,))) == "refuse.while.heat"
        bench.ring()
    (met,) = bench.do(s.MeetClaims("ferry", (SOUTH,)))
    assert met == ClaimsMet(bench.now, "ferry", (7,), ("south",), ("2",))
    assert bench.is_in(ScreenKind.LOT)
    assert bench.verb == "-"
    assert bench.do(c.Tick()) == ()
    assert bench.do(s.MeetClaims("ferry", (SOUTH,))) == ()  # already known
    bench.reboot()
    assert bench.is_in(ScreenKind.LOT)
    assert bench.refused(s.LetPass(Overruled.SCRAP_LIMIT, "SV", "x")) == "refuse.override.nothing"
    assert bench.names(LET_PASS)[0] == "Overridden"
    assert bench.ticket("22").stage is TicketStage.VOID
    assert bench.answer().verb == "close 21"
    assert bench.do(s.MeetClaims("ferry", (SOUTH,))) == ()  # already decided
    press(bench, 2)
    assert bench.job.done


def test_what_is_hot_runs_on_and_what_cools_is_peeled_while_claims_are_met() -> None:
    bench = on_shift()
    plan = plan_of(one_piece())
    bench.do(c.StartJob("ferry", plan, "hash", lines(1, 3)))
    bench.answer()
    for _ in range(2):
        bench.tap()
        bench.ring()
    bench.do(s.MeetClaims("ferry", (s.OtherStation("south", lines=("1", "2", "3")),)))
    assert bench.job.slot == ""
    assert bench.is_in(ScreenKind.HANDS)
    bench.wait(90.0)
    assert bench.verb == "peeled 21"
    bench.tap()
    assert bench.is_in(ScreenKind.LOT)
    bench.do(LET_PASS)
    assert bench.ticket("21").stage is TicketStage.GOOD  # pressed at both, as the page said
    assert bench.job.done


def test_more_pressed_elsewhere_is_reported_and_less_is_not() -> None:
    bench = shared()
    none = s.OtherStation("south", claim=9, blocks=False, lines=("8",))
    assert bench.do(s.MeetClaims("ferry", (none,))) == ()  # shares the order; other garments
    one = s.OtherStation("south", lines=("3",))
    assert bench.names(s.MeetClaims("ferry", (one,))) == ("ClaimsMet",)
    assert not share_of(bench.job).wants
    two = s.OtherStation("south", lines=("3", "2"))
    assert bench.names(s.MeetClaims("ferry", (two,))) == ("ClaimsMet",)
    assert bench.do(s.MeetClaims("ferry", (one,))) == ()
    bench.do(LET_PASS)
    assert bench.job.elsewhere == ("2", "3")
    assert bench.do(s.MeetClaims("ferry", (two,))) == ()
    again = s.OtherStation("south", claim=11, blocks=True)  # somebody there starts it again
    assert bench.names(s.MeetClaims("ferry", (again,))) == ("ClaimsMet",)


def test_another_plan_of_a_shared_order_holds_the_work_until_a_supervisor_decides() -> None:
    bench = shared()
    differs = (say("plan.apart.files", files=("materials.yaml",)),)
    there = s.OtherStation("south", claim=9, blocks=True, lines=("8",), differs=differs)
    (met,) = bench.do(s.MeetClaims("ferry", (there,)))
    assert met == ClaimsMet(bench.now, "ferry", (9,), ("south",), (), differs)
    bench.reboot()
    assert bench.is_in(ScreenKind.LOT)
    assert bench.job.met is not None
    assert bench.job.met.differs == differs
    assert bench.refused(LET_PASS) == "refuse.override.nothing"  # no garment is at both
    by_plan = s.LetPass(Overruled.PLAN, "SV", "agreed")
    assert bench.names(by_plan)[0] == "Overridden"
    assert bench.do(s.MeetClaims("ferry", (there,))) == ()  # already decided
    press(bench, 3)
    assert not any(ticket.stage is TicketStage.VOID for ticket in bench.job.tickets.values())


def test_a_station_that_gave_the_job_up_with_nothing_pressed_no_longer_holds_it() -> None:
    bench = shared()
    two = (
        s.OtherStation("south", claim=9, blocks=True),
        s.OtherStation("east", claim=10, blocks=True),
    )
    bench.do(s.MeetClaims("ferry", two))
    assert bench.do(s.MeetClaims("ferry", two[1:], left=(9,))) == ()
    assert (
        bench.do(s.MeetClaims("ferry", (), left=(9,))) == ()
    )  # east did not report: its claim stays
    bench.reboot()
    assert bench.is_in(ScreenKind.LOT)
    events = bench.do(s.MeetClaims("ferry", (), left=(7, 9, 10)))
    assert events[0] == ClaimsLeft(bench.now, "ferry", ("south", "east"))
    assert bench.do(s.MeetClaims("ferry", (), left=(7, 9, 10))) == ()
    press(bench, 3)
    again = s.OtherStation("south", claim=11, blocks=True)
    assert bench.job.settled == ()  # nobody decided on it
    bench.do(s.TakeBatch("ferry", 2, lines(4, 5)))
    assert bench.names(s.MeetClaims("ferry", (again,), left=(9,))) == ("ClaimsMet",)


def test_garments_pressed_at_both_need_a_supervisor_even_if_one_station_left() -> None:
    bench = shared()
    bench.do(s.MeetClaims("ferry", (s.OtherStation("south", claim=9, blocks=True, lines=("2",)),)))
    assert bench.do(s.MeetClaims("ferry", (), left=(9,))) == ()
    assert bench.is_in(ScreenKind.LOT)


@pytest.mark.parametrize("heat", ["none", "pre-press", "final"])
def test_a_job_that_was_put_back_is_begun_by_another_plan_only_with_nothing_pressed(
    heat: str,
) -> None:
    bench = on_shift()
    bench.do(c.StartJob("ferry", AT_PRESS, "hash", lines(1, 3)))
    bench.answer()
    if heat == "pre-press":
        bench.tap()
        bench.ring()
    elif heat == "final":
        press(bench)
    assert bench.refused(s.UnbeginJob("ferry")) == "refuse.while.hands"
    bench.do(c.LeaveJob())
    if heat != "none":
        assert bench.refused(s.UnbeginJob("ferry")) == "refuse.job.not_untouched"
        return
    assert bench.names(s.UnbeginJob("ferry")) == ("JobUnbegun",)
    assert "ferry" not in bench.state.jobs
    bench.do(c.StartJob("ferry", TWO_RUNS, "another", lines(1, 3)))
    assert bench.job.plan is TWO_RUNS
