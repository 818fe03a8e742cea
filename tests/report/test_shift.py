"""What a shift made."""

from __future__ import annotations

from collections.abc import Sequence

from report_samples import at, ticket

from kiosk.log.tickets import TicketRow
from kiosk.report.garments import garment_rows
from kiosk.report.shift import ShiftSummary, summarise
from kiosk.run import events as e
from kiosk.run.model import Ask, Stage


def summary(
    tickets: Sequence[TicketRow], events: Sequence[e.Event] = (), job_before: str = "lanterns"
) -> ShiftSummary:
    return summarise(1, ("QV",), job_before, events, garment_rows(tickets))


def test_what_was_ordered_is_good_accepted_rework_open_or_of_other_shifts() -> None:
    made = summary(
        [
            ticket("1"),
            ticket("2", Stage.ACCEPTED),
            ticket("3", Stage.REWORK),
            ticket("4", Stage.WAITING),
            ticket("5", shift=2),
            ticket("6", Stage.SCRAP),
            ticket("6", Stage.WAITING, copy=2),
            ticket("7", Stage.SCRAP),
            ticket("7", copy=2),
        ]
    )
    assert (made.good, made.accepted, made.rework, made.still_open) == (2, 1, 1, 2)
    assert (made.other_shifts, made.scrap) == (1, 2)
    parts = made.good + made.accepted + made.rework + made.still_open + made.other_shifts
    assert made.ordered == parts == 7


def test_jobs_that_were_not_at_the_press_are_left_out() -> None:
    made = summary([ticket("1"), ticket("1", shift=2, job="other")])
    assert made.jobs == ("lanterns",)
    assert made.ordered == 1


def test_a_job_taken_up_in_the_shift_counts_before_anything_is_finished() -> None:
    waiting = [ticket("1", Stage.WAITING)]
    made = summary(waiting, [e.JobTaken(at(), "lanterns")], job_before="")
    assert (made.jobs, made.ordered, made.still_open) == (("lanterns",), 1, 1)


def test_first_pass_counts_what_was_looked_over_in_this_shift() -> None:
    made = summary(
        [
            ticket("1"),
            ticket("2", defect="marks"),
            ticket("3", Stage.SCRAP),
            ticket("4", shift=2),
            ticket("5", Stage.WAITING),
        ]
    )
    assert (made.first_pass.part, made.first_pass.whole) == (1, 3)


def test_a_garment_with_a_pass_to_go_was_not_looked_over_yet() -> None:
    half = [ticket("1"), ticket("1", Stage.WAITING, passage=1)]
    assert summary([*half, ticket("2")]).first_pass.whole == 1


def test_a_wrong_read_is_an_exception_and_a_right_one_is_not() -> None:
    reads = [e.ReadBack(at(), "1/1/1", Ask.NUMBER, "13", right) for right in (True, False)]
    assert summary([ticket()], reads).exceptions == {"wrong_read": 1}


def test_exceptions_are_counted_by_what_happened() -> None:
    events = [e.UnaskedClosing(at(), ""), e.Held(at(), ""), e.Held(at(), "")]
    assert summary([ticket()], events).exceptions == {"unasked": 1, "held": 2}


def test_defects_stand_with_their_causes_most_frequent_first() -> None:
    marks = [ticket(str(n), Stage.ACCEPTED, defect="marks", cause="over_run") for n in range(2)]
    edge = ticket("9", Stage.SCRAP, defect="lifted_edge", cause="short_press")
    made = summary([edge, *marks])
    assert list(made.defects.items()) == [
        (("marks", "over_run"), 2),
        (("lifted_edge", "short_press"), 1),
    ]
