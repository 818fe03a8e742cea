"""Declared, measured and not seen are never one number."""

from __future__ import annotations

from report_samples import at

from kiosk.report.times import times_of
from kiosk.run import events as e
from kiosk.run.model import Seen

T = "1/1/1"


def closed(seen: Seen, ticket: str = T) -> e.Closed:
    return e.Closed(at(), ticket, 0, 4, 15.0, 1.0, seen)


def up(ticket: str = T) -> e.TimeUp:
    return e.TimeUp(at(), ticket, 4, 16.0)


def opened(seen: Seen, after: float | None, ticket: str = T) -> e.Opened:
    return e.Opened(at(), ticket, 4, seen, after)


def test_closings_are_kept_apart_by_how_they_are_known() -> None:
    times = times_of([closed(Seen.DECLARED), closed(Seen.DECLARED), closed(Seen.MEASURED)])
    assert times.closings == {Seen.DECLARED: 2, Seen.MEASURED: 1}


def test_a_declared_closing_that_a_switch_saw_is_measured() -> None:
    assert times_of([closed(Seen.DECLARED), e.ClosingSeen(at(), T)]).closings == {Seen.MEASURED: 1}


def test_a_closing_that_was_none_is_not_counted() -> None:
    assert times_of([closed(Seen.DECLARED), e.NotClosed(at(), T, 4)]).closings == {}


def test_an_opening_that_nobody_told_of_was_not_seen() -> None:
    assert times_of([closed(Seen.DECLARED), up()]).openings == {Seen.NOT_SEEN: 1}


def test_an_opening_told_after_the_tone_takes_the_place_of_the_unseen_one() -> None:
    times = times_of([up(), opened(Seen.DECLARED, 4.0), up("2/1/1")])
    assert times.openings == {Seen.DECLARED: 1, Seen.NOT_SEEN: 1}


def test_the_longest_over_run_is_kept_for_each_kind() -> None:
    times = times_of(
        [
            up(),
            opened(Seen.DECLARED, 4.0),
            up("2/1/1"),
            opened(Seen.DECLARED, 9.0, "2/1/1"),
            up("3/1/1"),
            opened(Seen.MEASURED, 2.0, "3/1/1"),
        ]
    )
    assert times.longest_over == {Seen.DECLARED: 9.0, Seen.MEASURED: 2.0}


def test_an_early_opening_that_a_switch_saw_is_one_opening() -> None:
    times = times_of([opened(Seen.MEASURED, -5.0), e.WasClosed(at(), T, 4, 10.0)])
    assert times.openings == {Seen.MEASURED: 1}


def test_an_early_opening_that_was_only_told_is_declared() -> None:
    times = times_of([e.AskedClosed(at(), T, 4), e.WasClosed(at(), T, 4, 10.0)])
    assert times.openings == {Seen.DECLARED: 1}
