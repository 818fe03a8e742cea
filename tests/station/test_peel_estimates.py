"""The estimates of a station: from each garment's own heat, and what its peel teaches."""

from __future__ import annotations

import threading
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from functools import partial
from pathlib import Path

import pytest
from cooling_shop import Presser, cooling_shop
from run_samples import Bench as Pressing
from run_samples import on_shift
from station_harness import Bench

from kiosk.catalog.base.notes import Celsius
from kiosk.catalog.read import read_catalog, read_job
from kiosk.catalog.rules.faces import read_face
from kiosk.log.store import codec
from kiosk.peel.estimate import anew, as_kept, beta_of
from kiosk.peel.lessons import read_again
from kiosk.peel.worker import Advice, Estimates, lessons, to_solve
from kiosk.plan.model import PeelWait, Plan
from kiosk.plan.procedure import plan_job
from kiosk.run.facts.peels import Ready, peel_time
from kiosk.run.facts.questions import Kind
from kiosk.run.show.view import view
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state.cooling import Estimate, Feels, Lies, Taught
from kiosk.run.state.events_station import PeelLearned, Touched
from kiosk.run.state.model import Stage, Ticket
from kiosk.station.desk.jobs.library import garment


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return cooling_shop(tmp_path_factory.mktemp("shop"))


@pytest.fixture
def setting(shop: Path) -> Pressing:
    """The warm-up tops, the press to be set for them."""
    catalog, faults = read_catalog(shop / "recipes")
    assert not faults
    job, _ = read_job(shop / "jobs" / "ice-crew", catalog)
    assert job is not None
    plan = plan_job(job, catalog, read_face())
    assert isinstance(plan, Plan)
    bench = on_shift()
    bench.do(c.StartJob(job.key, plan, "hash", tuple(garment(line) for line in job.roster)))
    return bench


@pytest.fixture
def pressing(setting: Pressing) -> Pressing:
    """The first one loaded."""
    return setting.answer()


def do(bench: Pressing, command: c.Command) -> None:
    """Do it as the shell does: with what the heat room has to say to it."""
    before = bench.state
    events = bench.do(command)
    for learn in lessons(before, events):
        bench.do(learn)
    for changed in anew(bench.state):
        bench.do(changed)
    work = to_solve(bench.state)
    solved = None if work is None else work()
    if solved is not None:
        bench.do(solved)


def press(bench: Pressing, idle: float = 10.0) -> Ticket:
    """Press the garment at hand to the end of its final; return it."""
    name = bench.job.slot
    while not bench.job.tickets[name].finals:
        bench.wait(idle)
        bench.answer().wait(1.0)
        do(bench, bench.forward())
        assert bench.state.heat is not None
        assert bench.state.heat.deadline is not None
        bench.until(bench.state.heat.deadline)
        do(bench, c.Tick())
    bench.answer()
    return bench.job.tickets[name]


def own(ticket: Ticket) -> Estimate:
    assert ticket.estimate is not None
    return ticket.estimate


def last(waits: tuple[PeelWait | None, ...]) -> PeelWait:
    assert waits
    assert waits[-1] is not None
    return waits[-1]


def test_each_garment_finds_the_pad_warmer_than_the_one_before(pressing: Pressing) -> None:
    found = [own(press(pressing)) for _ in range(4)]
    on_pad = [last(e.on_pad).from_seconds for e in found]
    assert on_pad == sorted(on_pad)
    assert on_pad[3] > on_pad[0] + 20
    lifted = [last(e.lifted).from_seconds for e in found]
    assert max(lifted) - min(lifted) < 10  # heat.md: on the pad, the pad's temperature governs


def test_a_pad_that_was_left_alone_is_cold_again(pressing: Pressing) -> None:
    first, second = (last(own(press(pressing)).on_pad).from_seconds for _ in range(2))
    pressing.wait(4 * 3600.0)
    pressing.do(c.Tick())
    assert last(own(press(pressing)).on_pad).from_seconds == pytest.approx(first, abs=3)
    assert second > first + 10


def test_before_anything_is_said_the_times_are_those_of_a_lifted_garment_and_say_so(
    pressing: Pressing,
) -> None:
    ticket = press(pressing)
    time = peel_time(pressing.job, ticket, pressing.now)
    assert time is not None
    assert time.assumed
    press(pressing)  # the next closing declares that it was taken to the rack
    ticket = pressing.job.tickets[ticket.id]
    assert ticket.lies is Lies.LIFTED
    time = peel_time(pressing.job, ticket, pressing.now)
    assert time is not None
    assert not time.assumed


def test_a_garment_left_on_the_pad_counts_as_that_and_from_when_it_is_lifted_as_this(
    pressing: Pressing,
) -> None:
    ticket = press(pressing)
    lifted, on_pad = last(own(ticket).lifted), last(own(ticket).on_pad)
    pressing.wait(2.0)
    do(pressing, s.SayPlace(ticket.id, Lies.ON_PAD))
    time = peel_time(pressing.job, pressing.job.tickets[ticket.id], pressing.now)
    assert time is not None
    assert time.from_seconds == pytest.approx(on_pad.from_seconds - time.waited)
    pressing.wait(78.0)
    do(pressing, s.SayPlace(ticket.id, Lies.LIFTED))
    moved = last(own(pressing.job.tickets[ticket.id]).lifted)
    assert lifted.from_seconds + 3 < moved.from_seconds < on_pad.from_seconds - 10


def test_the_sheets_own_wait_wins_over_the_estimate(shop: Path, pressing: Pressing) -> None:
    from dataclasses import replace

    ticket = press(pressing)
    passage = pressing.job.plan.passes[0]
    sheet = replace(
        passage, wait=PeelWait(last(own(ticket).lifted).peel, 60.0, 90.0, "plan.wait.sheet")
    )
    job = replace(pressing.job, plan=replace(pressing.job.plan, passes=(sheet,)))
    time = peel_time(job, ticket, pressing.now)
    assert time is not None
    assert time.from_seconds == pytest.approx(60.0 - time.waited)


def racked(bench: Pressing) -> Ticket:
    """A garment that lies on the rack for sure, the next one at the press."""
    ticket = press(bench)
    press(bench)
    return bench.job.tickets[ticket.id]


def taught(bench: Pressing) -> list[PeelLearned]:
    return [event for event in bench.events if isinstance(event, PeelLearned)]


def until(bench: Pressing, ticket: Ticket, seconds: float) -> None:
    assert ticket.opened is not None
    bench.until(ticket.opened.clock + seconds)


def test_a_good_peel_after_the_call_only_says_ready_by_then(pressing: Pressing) -> None:
    ticket = racked(pressing)
    called = last(own(ticket).lifted).from_seconds
    until(pressing, ticket, called + 60)
    do(pressing, c.Inspect(ticket.id, Stage.GOOD))
    (lesson,) = taught(pressing)
    assert (lesson.taught, lesson.lies) == (Taught.GOOD_PEEL, Lies.LIFTED)
    assert lesson.kept.mean == 0.0
    assert lesson.kept.ready_by is not None
    assert abs(lesson.factor - 1) < 0.03  # no drift toward its own call


def test_a_good_peel_before_the_call_is_the_moment(pressing: Pressing) -> None:
    ticket = racked(pressing)
    until(pressing, ticket, 0.75 * last(own(ticket).lifted).from_seconds)
    do(pressing, c.Inspect(ticket.id, Stage.GOOD))
    (lesson,) = taught(pressing)
    assert lesson.kept.ready_by is None
    assert beta_of(pressing.state, Lies.LIFTED).weight > 0.20**-2
    assert pressing.state.betas == {Lies.LIFTED.value: lesson.kept}


def test_a_lifted_edge_widens_and_shifts_the_times_of_what_still_cools(pressing: Pressing) -> None:
    first = racked(pressing)
    other = pressing.job.rack[-1]
    before = last(own(pressing.job.tickets[other]).lifted)
    until(pressing, first, last(own(first).lifted).from_seconds + 2)
    do(pressing, c.Inspect(first.id, Stage.REWORK, "lifted_edge", "peeled_early"))
    after = last(own(pressing.job.tickets[other]).lifted)
    assert before.ready is not None
    assert after.ready is not None
    assert after.from_seconds > before.from_seconds + 5
    assert after.ready.middle > before.ready.middle + 5
    assert after.ready.high - after.ready.low > before.ready.high - before.ready.low


def test_an_edge_that_lifted_for_another_cause_teaches_nothing(pressing: Pressing) -> None:
    ticket = racked(pressing)
    until(pressing, ticket, 200.0)
    do(pressing, c.Inspect(ticket.id, Stage.REWORK, "lifted_edge", "short_press"))
    assert taught(pressing) == []


def test_a_peel_taken_back_is_unlearned(pressing: Pressing) -> None:
    ticket = racked(pressing)
    until(pressing, ticket, 0.7 * last(own(ticket).lifted).from_seconds)
    do(pressing, c.Inspect(ticket.id, Stage.GOOD))
    assert pressing.state.betas
    do(pressing, c.Back())
    assert pressing.state.betas == {}
    assert pressing.state.lessons == ()
    assert pressing.job.tickets[ticket.id].estimate is not None


def test_still_warm_and_then_cool_is_a_moment_between_the_two(pressing: Pressing) -> None:
    ticket = racked(pressing)
    until(pressing, ticket, 120.0)
    do(pressing, s.Touch(ticket.id, Feels.NOT_READY))
    until(pressing, ticket, 150.0)
    do(pressing, s.Touch(ticket.id, Feels.READY))
    warm, cool = taught(pressing)
    assert warm.seen_seconds == pytest.approx(120, abs=0.1)
    assert cool.seen_seconds == pytest.approx((120 * 150) ** 0.5, abs=0.1)
    assert cool.high - cool.low < warm.high - warm.low


def test_cool_when_it_was_called_already_is_no_moment(pressing: Pressing) -> None:
    ticket = racked(pressing)
    until(pressing, ticket, last(own(ticket).lifted).from_seconds + 100)
    do(pressing, s.Touch(ticket.id, Feels.READY))
    (lesson,) = taught(pressing)
    assert lesson.kept.mean == 0.0
    assert lesson.kept.ready_by is not None


def test_a_reading_narrows_more_than_a_tap_and_an_absurd_one_is_not_believed(
    pressing: Pressing,
) -> None:
    ticket = racked(pressing)
    until(pressing, ticket, 60.0)
    do(pressing, s.Touch(ticket.id, Feels.READING, 200.0))
    assert taught(pressing) == []
    do(pressing, s.Touch(ticket.id, Feels.READING, 50.0))
    (lesson,) = taught(pressing)
    assert beta_of(pressing.state, Lies.LIFTED).weight - 0.20**-2 > 0.22**-2
    assert lesson.kept.two_sided == 1


def test_a_lone_reading_far_off_teaches_nothing_until_a_second_one_confirms_it(
    pressing: Pressing,
) -> None:
    ticket = racked(pressing)
    until(pressing, ticket, 60.0)
    before = pressing.state
    far = s.Touch(ticket.id, Feels.READING, 78.0)
    do(pressing, far)
    assert taught(pressing) == []
    said = read_again(before, pressing.events[-1])
    assert said is not None
    read, low, high = (said.values[key] for key in ("read", "low", "high"))
    assert isinstance(read, Celsius)
    assert isinstance(low, Celsius)
    assert isinstance(high, Celsius)
    assert low.degrees < high.degrees < read.degrees == 78.0
    pressing.wait(3.0)
    before = pressing.state
    do(pressing, s.Touch(ticket.id, Feels.READING, 77.0))
    (lesson,) = taught(pressing)
    assert lesson.factor > 1.2
    assert lesson.kept.two_sided == 1
    again = [event for event in pressing.events if isinstance(event, Touched)][-1]
    assert read_again(before, again) is None


def test_a_second_reading_that_is_as_expected_drops_the_first(pressing: Pressing) -> None:
    ticket = racked(pressing)
    until(pressing, ticket, 60.0)
    do(pressing, s.Touch(ticket.id, Feels.READING, 90.0))
    pressing.wait(3.0)
    do(pressing, s.Touch(ticket.id, Feels.READING, 45.0))
    (lesson,) = taught(pressing)
    assert 0.75 < lesson.factor < 1.25


def test_what_was_learned_survives_as_it_is(pressing: Pressing) -> None:
    """The moments too: the state that the log gives back goes on learning as this one would."""
    ticket = racked(pressing)
    until(pressing, ticket, 60.0)
    do(pressing, s.Touch(ticket.id, Feels.READING, 45.0))
    (lesson,) = taught(pressing)
    back = codec.decode(codec.encode(lesson))
    assert back == lesson
    assert lesson.kept.moments
    assert as_kept(beta_of(pressing.state, Lies.LIFTED)) == lesson.kept


def test_a_supervisor_may_have_it_all_forgotten(pressing: Pressing) -> None:
    ticket = racked(pressing)
    until(pressing, ticket, 100.0)
    do(pressing, s.Touch(ticket.id, Feels.NOT_READY))
    assert pressing.refused(s.ResetLearning(Lies.ON_PAD, "WX")) == "refuse.learning.nothing"
    assert pressing.refused(s.ResetLearning(Lies.LIFTED, " ")) == "refuse.supervisor"
    do(pressing, s.ResetLearning(Lies.LIFTED, "WX"))
    assert pressing.state.betas == {}
    assert pressing.state.lessons[-1].taught is None
    assert pressing.state.lessons[-1].before == taught(pressing)[-1].kept


def test_looking_at_a_state_never_waits_for_the_solver(pressing: Pressing) -> None:
    gate = threading.Event()
    executor = ThreadPoolExecutor(1)
    executor.submit(gate.wait)  # the solver's thread is busy
    estimates = Estimates(executor)
    ticket = pressing.job.slot
    for _ in range(2):
        pressing.wait(10.0)
        pressing.answer()
        pressing.do(pressing.forward())
        pressing.ring()
    estimates.look(pressing.state)
    assert not estimates.ready
    assert estimates.take() is None
    gate.set()
    executor.shutdown()
    given = estimates.take()
    assert given is not None
    assert given.ticket == ticket


class Breaks(Executor):
    """A machine without the memory to work anything out."""

    def submit(self, fn, /, *args, **kwargs):  # type: ignore[no-untyped-def]  # as in Executor
        broken: Future[object] = Future()
        broken.set_exception(MemoryError())
        return broken


def test_advice_that_cannot_be_worked_out_is_told_once_and_the_press_is_set_without_it(
    setting: Pressing,
) -> None:
    shown = view(setting.state, setting.now, "")
    assert shown.kind is Kind.SETTING
    advice, executor = Advice(), Breaks()
    asked = partial(advice.on_setting, shown, setting.state, setting.now, lambda: executor)
    with pytest.raises(MemoryError):
        asked()
    assert [asked(), asked()] == [shown, shown]


def test_on_the_glass_a_bad_peel_moves_the_cards(bench: Bench, tmp_path: Path) -> None:
    person = Presser(bench, cooling_shop(tmp_path, "123"))
    person.begin_shift()
    person.rack(3)
    first, other = person.view.chips[0], person.view.chips[1]
    bench.pass_time(first.from_seconds + 1.0)
    assert person.view.chips[0].ready is Ready.NOW
    before, at = person.view.chips[1], bench.now
    assert person.view.kind is Kind.HANDS
    person.touch("Rework", "lifted edge", "peeled early")
    after = next(chip for chip in person.view.chips if chip.ticket == other.ticket)
    assert after.from_seconds > before.from_seconds - (bench.now - at) + 5
    assert person.station.shell.state.lessons[-1].taught is Taught.LIFTED_EDGE


def test_the_next_jobs_garment_of_the_same_name_is_another_one(pressing: Pressing) -> None:
    plan, garments = pressing.job.plan, tuple(t.garment for t in pressing.job.tickets.values())
    for _ in garments:
        ticket = press(pressing)
    for name in pressing.job.rack:
        pressing.wait(200.0)
        do(pressing, c.Inspect(name, Stage.GOOD))
    pressing.do(c.StartJob("another", plan, "hash", (ticket.garment,)))
    pressing.answer()
    again = press(pressing)
    assert again.id == ticket.id
    assert len(pressing.state.pressings) == 2
    assert last(own(again).lifted).from_seconds > 100


def test_one_left_on_the_pad_was_lifted_for_the_next_garment(pressing: Pressing) -> None:
    ticket = press(pressing)
    before = last(own(ticket).lifted).from_seconds
    do(pressing, s.SayPlace(ticket.id, Lies.ON_PAD))
    pressing.wait(60.0)
    press(pressing)
    after = pressing.job.tickets[ticket.id]
    assert after.lies is Lies.LIFTED
    assert after.lifted is not None
    assert own(after).lifted_after > 60
    assert last(own(after).lifted).from_seconds > before
