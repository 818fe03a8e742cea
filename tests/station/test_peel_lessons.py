"""What a station learns from peels, touches and readings, and what it forgets."""

from __future__ import annotations

from pathlib import Path

import pytest
from cooling_shop import Presser, cooling_shop
from peel_press import do, last, own, press, set_for
from run_samples import Bench as Pressing
from station_harness import Bench

from kiosk.catalog.base.notes import Celsius
from kiosk.log.store import codec
from kiosk.peel.estimate import as_kept, beta_of
from kiosk.peel.lessons import read_again
from kiosk.run.facts.peels import PeelZone
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state.cooling import CoolingPlace, LessonSource, TouchFeel
from kiosk.run.state.events_station import PeelLearned, Touched
from kiosk.run.state.model import Ticket, TicketStage


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return cooling_shop(tmp_path_factory.mktemp("shop"))


@pytest.fixture
def pressing(shop: Path) -> Pressing:
    """The press with the first garment loaded."""
    return set_for(shop).answer()


def racked(bench: Pressing) -> Ticket:
    """Return a garment that is on the rack for sure, with the next one at the press."""
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
    do(pressing, c.Inspect(ticket.id, TicketStage.GOOD))
    (lesson,) = taught(pressing)
    assert (lesson.taught, lesson.lies) == (LessonSource.GOOD_PEEL, CoolingPlace.LIFTED)
    assert lesson.kept.mean == 0.0
    assert lesson.kept.ready_by is not None
    assert abs(lesson.factor - 1) < 0.03  # no drift toward its own call


def test_a_good_peel_before_the_call_marks_the_ready_moment(pressing: Pressing) -> None:
    ticket = racked(pressing)
    until(pressing, ticket, 0.75 * last(own(ticket).lifted).from_seconds)
    do(pressing, c.Inspect(ticket.id, TicketStage.GOOD))
    (lesson,) = taught(pressing)
    assert lesson.kept.ready_by is None
    assert beta_of(pressing.state, CoolingPlace.LIFTED).weight > 0.20**-2
    assert pressing.state.betas == {CoolingPlace.LIFTED.value: lesson.kept}


def test_a_lifted_edge_widens_and_shifts_the_times_of_garments_still_cooling(
    pressing: Pressing,
) -> None:
    first = racked(pressing)
    other = pressing.job.rack[-1]
    before = last(own(pressing.job.tickets[other]).lifted)
    until(pressing, first, last(own(first).lifted).from_seconds + 2)
    do(pressing, c.Inspect(first.id, TicketStage.REWORK, "lifted_edge", "peeled_early"))
    after = last(own(pressing.job.tickets[other]).lifted)
    assert before.ready is not None
    assert after.ready is not None
    assert after.from_seconds > before.from_seconds + 5
    assert after.ready.middle > before.ready.middle + 5
    assert after.ready.high - after.ready.low > before.ready.high - before.ready.low


def test_an_edge_lifted_for_another_cause_teaches_nothing(pressing: Pressing) -> None:
    ticket = racked(pressing)
    until(pressing, ticket, 200.0)
    do(pressing, c.Inspect(ticket.id, TicketStage.REWORK, "lifted_edge", "short_press"))
    assert taught(pressing) == []


@pytest.mark.parametrize(
    ("stage", "defect"),
    [
        (TicketStage.ACCEPTED, "marks"),
        (TicketStage.SCRAP, "scorch"),
        (TicketStage.REWORK, "off_centre"),
    ],
)
def test_a_result_other_than_good_teaches_nothing_about_peeling(
    pressing: Pressing, stage: TicketStage, defect: str
) -> None:
    """heat.md: a good-peel tap, a touch or a reading counts; a scorch says nothing of adhesion."""
    ticket = racked(pressing)
    until(pressing, ticket, 0.75 * last(own(ticket).lifted).from_seconds)
    do(pressing, c.Inspect(ticket.id, stage, defect, "over_run"))
    assert pressing.job.tickets[ticket.id].stage is stage
    assert taught(pressing) == []


def test_undoing_a_result_that_taught_nothing_keeps_what_a_touch_taught(pressing: Pressing) -> None:
    ticket = racked(pressing)
    until(pressing, ticket, 200.0)
    do(pressing, s.ReportTouch(ticket.id, TouchFeel.NOT_READY))
    before = pressing.state.betas
    assert before
    do(pressing, c.Inspect(ticket.id, TicketStage.REWORK, "lifted_edge", "short_press"))
    do(pressing, c.Back())
    assert pressing.state.betas == before


def test_a_peel_after_the_machine_was_off_teaches_nothing(pressing: Pressing) -> None:
    """design.md, after a stop: rack times after a reboot are uncertain."""
    ticket = racked(pressing)
    pressing.reboot(20.0)
    if pressing.is_in(ScreenKind.OPEN_FIRST):
        pressing.tap()
    do(pressing, c.Inspect(ticket.id, TicketStage.GOOD))
    assert pressing.job.tickets[ticket.id].stage is TicketStage.GOOD
    assert taught(pressing) == []


def test_a_peel_taken_back_is_unlearned(pressing: Pressing) -> None:
    ticket = racked(pressing)
    until(pressing, ticket, 0.7 * last(own(ticket).lifted).from_seconds)
    do(pressing, c.Inspect(ticket.id, TicketStage.GOOD))
    assert pressing.state.betas
    do(pressing, c.Back())
    assert pressing.state.betas == {}
    assert pressing.state.lessons == ()
    assert pressing.job.tickets[ticket.id].estimate is not None


def test_warm_then_cool_gives_a_moment_between_the_two(pressing: Pressing) -> None:
    ticket = racked(pressing)
    until(pressing, ticket, 120.0)
    do(pressing, s.ReportTouch(ticket.id, TouchFeel.NOT_READY))
    until(pressing, ticket, 150.0)
    do(pressing, s.ReportTouch(ticket.id, TouchFeel.READY))
    warm, cool = taught(pressing)
    assert warm.seen_seconds == pytest.approx(120, abs=0.1)
    assert cool.seen_seconds == pytest.approx((120 * 150) ** 0.5, abs=0.1)
    assert cool.high - cool.low < warm.high - warm.low


def test_cool_before_the_call_marks_the_ready_moment(pressing: Pressing) -> None:
    """heat.md, learning from the shop: a touch check is two-sided."""
    ticket = racked(pressing)
    until(pressing, ticket, 0.75 * last(own(ticket).lifted).from_seconds)
    do(pressing, s.ReportTouch(ticket.id, TouchFeel.READY))
    (lesson,) = taught(pressing)
    assert lesson.kept.ready_by is None
    assert beta_of(pressing.state, CoolingPlace.LIFTED).mean < 0


def test_still_warm_after_the_call_moves_the_next_call_later(pressing: Pressing) -> None:
    ticket = racked(pressing)
    called = last(own(ticket).lifted)
    until(pressing, ticket, called.from_seconds + 20)
    do(pressing, s.ReportTouch(ticket.id, TouchFeel.NOT_READY))
    (lesson,) = taught(pressing)
    assert lesson.kept.ready_by is None
    assert lesson.factor > 1
    assert last(own(pressing.job.tickets[ticket.id]).lifted).from_seconds > called.from_seconds


def test_cool_after_the_call_marks_no_moment(pressing: Pressing) -> None:
    ticket = racked(pressing)
    until(pressing, ticket, last(own(ticket).lifted).from_seconds + 100)
    do(pressing, s.ReportTouch(ticket.id, TouchFeel.READY))
    (lesson,) = taught(pressing)
    assert lesson.kept.mean == 0.0
    assert lesson.kept.ready_by is not None


def test_a_reading_narrows_more_than_a_tap_and_an_absurd_one_is_ignored(pressing: Pressing) -> None:
    ticket = racked(pressing)
    until(pressing, ticket, 60.0)
    do(pressing, s.ReportTouch(ticket.id, TouchFeel.READING, 200.0))
    assert taught(pressing) == []
    do(pressing, s.ReportTouch(ticket.id, TouchFeel.READING, 50.0))
    (lesson,) = taught(pressing)
    assert beta_of(pressing.state, CoolingPlace.LIFTED).weight - 0.20**-2 > 0.22**-2
    assert lesson.kept.two_sided == 1


def test_a_reading_far_off_teaches_nothing_until_a_second_confirms_it(pressing: Pressing) -> None:
    ticket = racked(pressing)
    until(pressing, ticket, 60.0)
    before = pressing.state
    far = s.ReportTouch(ticket.id, TouchFeel.READING, 78.0)
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
    do(pressing, s.ReportTouch(ticket.id, TouchFeel.READING, 77.0))
    (lesson,) = taught(pressing)
    assert lesson.factor > 1.2
    assert lesson.kept.two_sided == 1
    again = [event for event in pressing.events if isinstance(event, Touched)][-1]
    assert read_again(before, again) is None


def test_an_expected_second_reading_drops_the_first(pressing: Pressing) -> None:
    ticket = racked(pressing)
    until(pressing, ticket, 60.0)
    do(pressing, s.ReportTouch(ticket.id, TouchFeel.READING, 90.0))
    pressing.wait(3.0)
    do(pressing, s.ReportTouch(ticket.id, TouchFeel.READING, 45.0))
    (lesson,) = taught(pressing)
    assert 0.75 < lesson.factor < 1.25


def test_a_lesson_survives_the_log_unchanged(pressing: Pressing) -> None:
    """The moments too: a state read back from the log goes on learning as this one would."""
    ticket = racked(pressing)
    until(pressing, ticket, 60.0)
    do(pressing, s.ReportTouch(ticket.id, TouchFeel.READING, 45.0))
    (lesson,) = taught(pressing)
    back = codec.decode(codec.encode(lesson))
    assert back == lesson
    assert lesson.kept.moments
    assert as_kept(beta_of(pressing.state, CoolingPlace.LIFTED)) == lesson.kept


def test_a_supervisor_can_reset_what_was_learned(pressing: Pressing) -> None:
    ticket = racked(pressing)
    until(pressing, ticket, 100.0)
    do(pressing, s.ReportTouch(ticket.id, TouchFeel.NOT_READY))
    assert pressing.refused(s.ResetLearning(CoolingPlace.ON_PAD, "WX")) == "refuse.learning.nothing"
    assert pressing.refused(s.ResetLearning(CoolingPlace.LIFTED, " ")) == "refuse.supervisor"
    do(pressing, s.ResetLearning(CoolingPlace.LIFTED, "WX"))
    assert pressing.state.betas == {}
    assert pressing.state.lessons[-1].taught is None
    assert pressing.state.lessons[-1].before == taught(pressing)[-1].kept


def test_on_the_screen_a_bad_peel_updates_the_chips(bench: Bench, tmp_path: Path) -> None:
    person = Presser(bench, cooling_shop(tmp_path, "123"))
    person.begin_shift()
    person.rack(3)
    first, other = person.view.chips[0], person.view.chips[1]
    bench.pass_time(first.from_seconds + 1.0)
    assert person.view.chips[0].zone is PeelZone.NOW
    before, at = person.view.chips[1], bench.now
    assert person.view.kind is ScreenKind.HANDS
    person.touch("Rework", "lifted edge", "peeled early")
    after = next(chip for chip in person.view.chips if chip.ticket == other.ticket)
    assert after.from_seconds > before.from_seconds - (bench.now - at) + 5
    assert person.station.shell.state.lessons[-1].taught is LessonSource.LIFTED_EDGE
