"""A garment skips passes that have nothing for it, and is done without them.

That heat with nothing under it is waste, and that cloth is pre-pressed before its first print:
common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from run_samples import HOT, Bench, named, on_shift, one_piece, plan_of, stack, team

from kiosk.plan.model import PeelPlace, Plan
from kiosk.run.facts.tickets import outcomes, progress, share_of
from kiosk.run.show.view import view
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state.events import Closed
from kiosk.run.state.model import Garment, TicketStage
from kiosk.run.state.rules import QuestionCause

NUMBER = one_piece(PeelPlace.PRESS, HOT)  # on the back, after the pre-press
IN_LOTS = plan_of(NUMBER, named())
AT_ONCE = plan_of(NUMBER, named(), runs=((0, 1),))
WHOLE, NAMELESS, NUMBERLESS = (), ("name",), ("number",)
NOTHING = ("name", "number")


def garments(*lacks: tuple[str, ...]) -> tuple[Garment, ...]:
    numbers = ("" if "number" in own else str(n) for n, own in enumerate(lacks, 12))
    return tuple(replace(g, lacks=own) for g, own in zip(team(*numbers), lacks, strict=True))


def begun(plan: Plan, *lacks: tuple[str, ...]) -> Bench:
    bench = on_shift()
    bench.do(c.StartJob(plan.job, plan, "hash", garments(*lacks)))
    return bench.answer()


def press(bench: Bench, ticket: str = "") -> str:
    """Press the current garment to a good end; return its ticket."""
    name = bench.answer().job.slot
    assert ticket in ("", name)
    while bench.job.tickets[name].stage is not TicketStage.GOOD:
        bench.tap()
        if bench.state.heat is not None:
            bench.ring()
    bench.tick()
    return name


def press_all(bench: Bench) -> list[str]:
    found = []
    while bench.job.slot:
        found.append(press(bench))
    return found


def closings(bench: Bench) -> int:
    """The number of closings so far."""
    return sum(isinstance(event, Closed) for event in bench.events)


@pytest.mark.parametrize(
    ("plan", "order"),
    [
        (IN_LOTS, ["1/1/1", "2/1/1", "3/1/1", "1/2/1", "3/2/1"]),
        (AT_ONCE, ["1/1/1", "1/2/1", "2/1/1", "3/1/1", "3/2/1"]),
    ],
)
def test_a_garment_without_a_name_is_not_called_for_the_names(plan: Plan, order: list[str]) -> None:
    bench = begun(plan, WHOLE, NAMELESS, WHOLE)
    assert press_all(bench) == order
    assert bench.job.done
    assert outcomes(bench.job) == (TicketStage.GOOD,) * 3
    assert closings(bench) == 3 * 2 + 2


def test_places_count_only_garments_of_the_run() -> None:
    bench = begun(IN_LOTS, WHOLE, NAMELESS, WHOLE)
    seen = []
    while bench.job.slot:
        bench.answer()
        seen.append(progress(bench.job, bench.slot))
        assert (view(bench.state, bench.now).nth, view(bench.state, bench.now).count) == seen[-1]
        press(bench)
    assert seen == [(1, 3), (2, 3), (3, 3), (1, 2), (2, 2)]


def test_a_panel_with_nothing_on_it_is_not_pre_pressed_either() -> None:
    front = replace(NUMBER, panel="front")  # its number, after a pre-press of the front
    bench = begun(plan_of(named(panel="back"), front), NUMBERLESS, WHOLE)
    assert press_all(bench) == ["1/1/1", "2/1/1", "2/2/1"]


def test_a_pass_that_pre_presses_for_a_later_one_stays() -> None:
    """The name comes later on the same panel: without it damp cloth would be pressed."""
    bench = begun(plan_of(NUMBER, named(panel="back", group=1)), NUMBERLESS, WHOLE)
    assert press_all(bench) == ["1/1/1", "2/1/1", "1/2/1", "2/2/1"]


def test_without_the_second_of_three_passes_the_others_stay() -> None:
    middle = replace(stack(), group=1, steps=(stack().steps[0], *stack().steps[2:]))
    bench = begun(plan_of(NUMBER, middle, named(panel="back", group=2)), NUMBERLESS)
    assert press_all(bench) == ["1/1/1", "1/3/1"]


def test_a_garment_that_lacks_everything_is_looked_at_once_and_counted() -> None:
    bench = begun(IN_LOTS, WHOLE, NOTHING)
    assert press_all(bench) == ["1/1/1", "2/1/1", "1/2/1"]
    assert outcomes(bench.job) == (TicketStage.GOOD, TicketStage.GOOD)


def test_in_an_older_record_a_garment_goes_through_all_passes() -> None:
    bench = on_shift()
    bench.do(c.StartJob("ferry", IN_LOTS, "hash", team("", "13")))
    assert list(bench.job.tickets) == ["1/1/1", "2/1/1", "1/2/1", "2/2/1"]


def test_its_replacement_skips_the_same_passes() -> None:
    bench = begun(IN_LOTS, NAMELESS, WHOLE)
    bench.tap()
    bench.ring()
    bench.scrap("1/1/1")
    assert press_all(bench) == ["2/1/1", "1/1/2", "2/2/1"]
    assert outcomes(bench.job) == (TicketStage.SCRAP, TicketStage.GOOD, TicketStage.GOOD)


def test_a_scrap_that_is_taken_back_leaves_the_tickets_as_they_were() -> None:
    bench = begun(IN_LOTS, NAMELESS, WHOLE)
    bench.tap()
    bench.ring()
    before = bench.job.tickets.keys()
    bench.scrap("1/1/1")
    bench.wait(1.0)
    bench.do(c.Back())
    assert bench.job.tickets.keys() == before
    assert bench.slot.id == "1/1/1"


def test_a_garment_first_loaded_in_the_second_run_is_not_asked_as_in_a_later_pass() -> None:
    plan = plan_of(named(), replace(NUMBER, panel="back"))
    bench = begun(plan, WHOLE, NAMELESS)
    press(bench, "1/1/1")
    reasons = {}
    while bench.job.slot:
        reasons[bench.job.slot] = [question.because for question in bench.job.questions]
        press(bench)
    assert reasons == {"1/2/1": [QuestionCause.LATER_PASS], "2/2/1": []}


def test_a_batch_of_a_shared_order_is_done_without_them() -> None:
    bench = on_shift()
    one, two = garments(WHOLE, NAMELESS)
    bench.do(c.StartJob("ferry", IN_LOTS, "hash", (one,), batch=1, whole=2))
    bench.do(s.TakeBatch("ferry", 2, (two,)))
    assert press_all(bench.answer()) == ["1/1/1", "2/1/1", "1/2/1"]
    assert share_of(bench.job).done == (1, 2)


# -- the name comes after all ------------------------------------------------


def test_a_name_added_later_is_pressed_after_a_supervisors_decision() -> None:
    bench = begun(IN_LOTS, NAMELESS, WHOLE)
    press(bench, "1/1/1")
    assert bench.names(c.RowChanged("1", "new", WHOLE)) == ("Stopped",)
    assert bench.job.tickets["1/2/1"].stage is TicketStage.STOPPED
    assert bench.do(c.RowChanged("1", "new", WHOLE)) == ()
    bench.do(c.RuleOnTicket("1/2/1", TicketStage.WAITING, "SV", "the name is known now"))
    assert set(press_all(bench)) == {"2/1/1", "1/2/1", "2/2/1"}
    assert bench.job.done


def test_the_garments_other_passes_wait_with_the_added_name() -> None:
    bench = begun(IN_LOTS, WHOLE, NAMELESS)
    assert bench.names(c.RowChanged("2", "new", WHOLE)) == ("Stopped", "Stopped")
    assert bench.job.aside == ("2/1/1", "2/2/1")


@pytest.mark.parametrize(
    ("digest", "lacks"),
    [("new", NAMELESS), ("", WHOLE)],
    ids=["another size, still no name", "the line is gone"],
)
def test_a_row_that_adds_nothing_opens_no_ticket(digest: str, lacks: tuple[str, ...]) -> None:
    bench = begun(IN_LOTS, NAMELESS, WHOLE)
    press(bench, "1/1/1")
    assert bench.do(c.RowChanged("1", digest, lacks)) == ()


def test_a_name_for_a_void_garment_opens_no_ticket() -> None:
    bench = begun(IN_LOTS, WHOLE, NAMELESS)
    bench.do(c.RuleOnTicket("2/1/1", TicketStage.VOID, "SV", "not ordered after all"))
    assert bench.do(c.RowChanged("2", "new", WHOLE)) == ()


def test_a_name_that_comes_after_a_scrap_is_for_the_new_garment() -> None:
    """The scrap cannot be taken back any more: its garment would have a part of two."""
    bench = begun(IN_LOTS, NAMELESS, WHOLE)
    bench.tap()
    bench.ring()
    bench.scrap("1/1/1")
    bench.do(c.RowChanged("1", "new", WHOLE))
    assert bench.job.aside == ("1/1/2", "1/2/2")
    for name in bench.job.aside:
        bench.do(c.RuleOnTicket(name, TicketStage.WAITING, "SV", "the name is known now"))
    assert not bench.job.undo
    assert set(press_all(bench)) == {"1/1/2", "1/2/2", "2/1/1", "2/2/1"}
