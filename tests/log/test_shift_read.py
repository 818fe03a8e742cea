"""What a report reads of a shift from a real log: by range, up to the last event."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from log_samples import BOOT, at, garments, plan
from log_station import Station

from kiosk.catalog.base.quantities import Degrees
from kiosk.log.facts import read_through, ready
from kiosk.log.facts.facts import Facts
from kiosk.log.facts.read import facts
from kiosk.log.facts.shifts import shifts
from kiosk.log.store.store import Store
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state.events_shift import PressVerified
from kiosk.run.state.model import TicketStage, TimeSource


@pytest.fixture
def station(tmp_path: Path) -> Iterator[Station]:
    made = Station(tmp_path / "north.sqlite3")
    yield made
    made.recorder.close()


def read(station: Station, *ids: int) -> Facts:
    with Store.read_only(station.path) as store, store.reading():
        ready(store)
        found = shifts(store)
        return read_through(
            facts(store, [shift for shift in found if shift.id in ids] if ids else found[-1:])
        )


def finals(found: Facts) -> dict[tuple[TimeSource, TimeSource], int]:
    return {(each.closing, each.opening): each.many for each in found.closings if each.step == 4}


def good(station: Station, ticket: str) -> None:
    """Peel a ticket on the rack when it is due."""
    station.clock += 30.0
    station.do(c.Inspect(ticket, TicketStage.GOOD))


def test_an_undeclared_opening_counts_as_not_seen(station: Station) -> None:
    station.begin()
    station.press_to_rack()
    assert finals(read(station)) == {(TimeSource.DECLARED, TimeSource.NOT_SEEN): 1}


def test_an_opening_declared_after_the_tone_has_its_delay(station: Station) -> None:
    station.begin()
    station.press_to_rack()
    station.do(c.SayOpened(), after=4.0)
    found = read(station)
    assert finals(found) == {(TimeSource.DECLARED, TimeSource.DECLARED): 1}
    (told,) = [each.openings for each in found.closings if each.step == 4]
    assert [(dwell, over) for _, dwell, over in told] == [(12.0, 4.0)]


def test_a_switch_makes_both_ends_measured(station: Station) -> None:
    station.begin()
    station.answer()
    station.forward()
    station.time_up()
    station.do(c.PressClosed(), after=5.0)
    station.time_up()
    station.do(c.PressOpened(), after=2.5)
    found = read(station)
    assert finals(found) == {(TimeSource.MEASURED, TimeSource.MEASURED): 1}
    (told,) = [each.openings for each in found.closings if each.step == 4]
    assert told[0][2] == 2.5


def test_a_closing_denied_by_the_operator_is_not_counted(station: Station) -> None:
    station.begin()
    station.answer()
    station.forward()
    station.do(c.SayOpened(), after=2.0)
    station.do(c.SayClosed(closed=False))
    assert read(station).closings == ()


def test_a_closing_taken_back_after_its_time_is_not_counted(station: Station) -> None:
    station.begin()
    station.press_to_rack()  # pre-press and final
    station.do(s.SayNeverClosed())
    found = read(station)
    assert [(each.step, each.many) for each in found.closings] == [(1, 1)]
    assert not found.cycles


def test_time_after_a_closing_taken_back_is_not_handling_time(station: Station) -> None:
    station.begin()
    station.press_to_rack()
    before = read(station).moves
    station.do(s.SayNeverClosed())
    station.forward()
    assert read(station).moves == before


def test_a_closing_entered_by_hand_is_on_no_chart(station: Station) -> None:
    station.begin()
    station.answer()
    station.forward()
    station.time_up()
    station.do(s.SayPressed(14.0))
    found = read(station)
    assert finals(found) == {(TimeSource.TOLD, TimeSource.TOLD): 1}
    (told,) = [each.openings for each in found.closings if each.step == 4]
    assert told == ()
    ticket = station.recorder.state.job.rack[0]  # type: ignore[union-attr]  # there is one
    good(station, ticket)
    assert [each.marks for each in read(station).marked] == [("told",)]
    (peels,) = read(station).peels
    assert peels.seconds == (31.0,)


def test_a_closing_opened_too_soon_counts_as_short(station: Station) -> None:
    station.begin()
    station.answer()
    station.forward()
    station.time_up()
    station.forward()
    station.do(c.SayOpened(), after=7.0)
    station.do(c.SayClosed(closed=True))
    found = read(station)
    (told,) = [each.openings for each in found.closings if each.step == 4]
    assert finals(found) == {(TimeSource.DECLARED, TimeSource.DECLARED): 1}
    assert told[0][2] == pytest.approx(6.0 - 12.0)


def test_a_peel_counts_from_the_tone_or_the_declared_opening(station: Station) -> None:
    station.begin()
    station.press_to_rack()
    ticket = station.recorder.state.job.rack[0]  # type: ignore[union-attr]  # there is one
    station.do(c.SayOpened(), after=4.0)
    good(station, ticket)
    (peels,) = read(station).peels
    assert peels.seconds == (31.0,)


def test_events_since_the_last_checkpoint_are_counted_too(station: Station) -> None:
    station.begin(3)
    station.recorder.checkpoint()
    station.press_to_rack()
    ticket = station.recorder.state.job.rack[0]  # type: ignore[union-attr]  # there is one
    good(station, ticket)
    found = read(station)
    counts = {(g.result, g.own): g.many for g in found.garments}
    assert counts == {("good", True): 1, ("open", False): 2}


def test_a_shift_is_divided_at_each_change_of_operator_or_job(station: Station) -> None:
    station.begin()
    station.do(c.SignOn("ZD", station.recorder.state.confirm))
    station.do(c.LeaveJob())
    station.do(c.HandOver())
    found = read(station)
    assert [(s.operator, s.job) for s in found.stints] == [
        ("QV", ""),
        ("QV", "ferry-order"),
        ("ZD", "ferry-order"),
        ("ZD", ""),
    ]
    assert found.stints[0].first == found.shifts[0].first
    assert found.stints[-1].last == found.shifts[0].last


def test_a_job_begun_in_an_earlier_shift_is_still_known(station: Station) -> None:
    station.begin()
    station.do(c.HandOver())
    station.do(c.SignOn("ZD", station.recorder.state.confirm))
    station.press_to_rack()
    found = read(station, 2)
    assert found.jobs["ferry-order"].plan == plan()
    assert [s.job for s in found.stints] == ["ferry-order"]


def test_breaks_and_holds_do_not_count_as_work(station: Station) -> None:
    station.begin()
    station.do(c.PutOnHold("phone"), after=5.0)
    station.forward(after=90.0)
    station.press_to_rack()
    tallies = {t.kind: t for t in read(station).tallies if t.stint == 1}
    assert (tallies["restarted"].seconds, tallies["restarted"].idle_seconds) == (90.0, 90.0)
    assert tallies["closed"].idle_seconds == 0.0


def test_a_hold_keeps_its_length_whatever_is_recorded_during_it(station: Station) -> None:
    """Ten minutes into a hold the garment is called again and has to be read once more."""
    station.begin()
    station.do(c.PutOnHold("phone"), after=5.0)
    assert station.do(c.Tick(), after=640.0).events  # the garment is called again
    station.forward(after=320.0)
    tallies = {t.kind: t for t in read(station).tallies if t.stint == 1}
    assert (tallies["restarted"].seconds, tallies["restarted"].idle_seconds) == (960.0, 960.0)
    assert tallies["restarted"].many == 1
    assert tallies["ticket-called"].idle_seconds == 0.0


def check(clock: float, offset: float, passed: bool) -> PressVerified:
    return PressVerified(
        at(clock),
        "press-one",
        300,
        Degrees.F,
        (300,) * 5,
        (True,) * 4,
        offset,
        2.0,
        5.0,
        8.0,
        passed,
    )


def test_a_failed_check_pulls_back_garments_pressed_since_the_last_good_one(
    station: Station,
) -> None:
    station.begin()
    station.press_to_rack()
    append(station, check(station.clock, 1.0, passed=True))
    station.press_to_rack()
    append(station, check(station.clock, 9.0, passed=False))
    found = read(station)
    assert [(p.press, p.job, p.number) for p in found.pulled] == [
        ("press-one", "ferry-order", "02")
    ]


def append(station: Station, event: PressVerified) -> None:
    """Write a check straight into the log: when checks are due is not tested here."""
    station.recorder.store.append([replace(event, at=station.now)])


def test_jobs_with_similar_names_are_not_confused(station: Station) -> None:
    station.do(c.Start("0.1.0"))
    station.do(c.SignOn("QV", station.recorder.state.confirm))
    for name, title in (("away-2", "Second"), ("away", "First"), ('aw"ay', "Third")):
        job = replace(plan(title=title), job=name)
        station.do(c.StartJob(name, job, "hash", garments(2)))
        station.do(c.LeaveJob())
    found = read(station)
    titles = {name: begun.plan.title for name, begun in found.jobs.items()}
    assert titles == {"away-2": "Second", "away": "First", 'aw"ay': "Third"}


def test_clocks_of_different_boots_are_never_compared(station: Station) -> None:
    station.begin()
    station.clock = 5.0
    station.recorder.do(c.Start("0.1.0"), at(5.0, f"{BOOT}-2"))
    found = read(station)
    assert all(t.seconds >= 0 for t in found.tallies)
