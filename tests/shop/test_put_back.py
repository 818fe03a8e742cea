"""A press puts an order back before pressing any of it: stations it held up go on."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest
from log_station import Station
from shop_plans import COOLER, Open, changed, decide, holds, join_apart, notices, overrides
from shop_press import Press
from shop_server import Postgres
from test_claims import BEGINS, JOB, ORDER, SHARED, At
from test_ship import copied, hold

from kiosk.log.store import Store
from kiosk.run.facts import ScreenKind
from kiosk.run.state import commands as c
from kiosk.run.state.events_station import ClaimsLeft
from kiosk.shop import Claims, JobWish, RecordsDiffer, connect, orders_apart, ship
from kiosk.station.desk.jobs.at_server import AtServer
from kiosk.station.desk.jobs.begin import leave_job
from kiosk.station.desk.jobs.claims import NAME

SHOP = "put_back"


def joined_by_mistake(at: Open) -> tuple[Press, Press]:
    """Return north, at work and held up, and south, which joined with another plan."""
    north, south = at("north"), at("south")
    changed(south, COOLER)
    north.begin(shares=True)
    north.press(1)
    join_apart(south)
    north.until(lambda: north.kind is ScreenKind.LOT)
    return north, south


def put_back(press: Press, postgres: Postgres) -> None:
    """Leave the job, and wait until the server knows."""
    leave_job(press.desk)
    press.until(lambda: holds(postgres, press.role, SHOP) == [])


def told_of_it(press: Press) -> list[tuple[str, ...]]:
    """Return the stations whose leaving ended a hold there, according to its record."""
    with Store.read_only(press.log) as store:
        events = [each.event for each in store.entries()]
    return [event.stations for event in events if isinstance(event, ClaimsLeft)]


def test_a_press_that_joined_by_mistake_and_left_stops_nobody(at: Open, postgres: Postgres) -> None:
    north, south = joined_by_mistake(at)
    assert "If the job is put back at south before anything of it is pressed" in north.said()
    put_back(south, postgres)
    north.until(lambda: north.kind is not ScreenKind.LOT)
    assert "Put back at south with nothing pressed" in notices(north)
    assert told_of_it(north) == [("south",)]
    assert overrides(north) == []
    north.press(1)
    with connect(postgres.at("owner", SHOP)) as server:
        assert orders_apart(server) == []
    south.touch("Ferry order", "Read the cautions")  # it is still another plan
    assert "by another plan at north" in south.said()


def test_a_press_switched_off_meanwhile_goes_on_when_it_learns_of_it(
    at: Open, postgres: Postgres
) -> None:
    north, south = joined_by_mistake(at)
    north.close()
    put_back(south, postgres)
    north.open()
    assert north.kind is ScreenKind.LOT
    north.until(lambda: north.kind is not ScreenKind.LOT)


def test_a_press_that_used_another_plan_still_stops_others_after_leaving(
    at: Open, postgres: Postgres
) -> None:
    north, south = joined_by_mistake(at)
    decide(south)
    south.press(1)
    put_back(south, postgres)
    north.until(lambda: lines_there(north) == ["5"])
    assert north.kind is ScreenKind.LOT
    assert told_of_it(north) == []


def lines_there(press: Press) -> list[str]:
    answer = press.desk.of(AtServer).answer
    others = [] if answer is None else answer["others"]
    return [line for other in others for line in other["lines"]]


def test_one_press_goes_on_once_the_other_puts_the_job_back_unpressed(
    at: Open, postgres: Postgres, tmp_path: Path
) -> None:
    """The one that has pressed nothing puts the job back: the other goes on."""
    north, south = at("north"), at("south")
    postgres.kill()
    north.begin()
    (tmp_path / "jobs" / "ferry" / NAME).unlink()  # the folder is only synced
    south.begin()
    north.press(1)
    postgres.start()
    for press in (north, south):
        press.until(lambda press=press: press.kind is ScreenKind.LOT)  # type: ignore[misc]
    assert "If the job is put back at south before anything of it is pressed" in north.said()
    south.until(lambda: lines_there(south) != [])  # north's garments are at the server
    assert "If the job is put back at north" not in south.said()
    put_back(south, postgres)
    north.until(lambda: north.kind is not ScreenKind.LOT)
    assert told_of_it(north) == [("south",)]


@pytest.fixture
def south_left(postgres: Postgres, database: str, tmp_path: Path) -> Iterator[Callable[..., bool]]:
    """Whether north learns that south left with nothing pressed, after what south `did`."""
    with postgres.sql(name=database) as connection:
        connection.execute("DELETE FROM shop.batches; DELETE FROM shop.claims")
    with ExitStack() as stack:
        north, south = (
            At(stack, postgres, tmp_path / f"{role}.sqlite3", role, database)
            for role in ("north", "south")
        )

        def left(did: Callable[[At], None], sends: bool = True) -> bool:
            north.hold(BEGINS)
            south.station.begin(4)
            did(south)
            south.hold(BEGINS)
            south.station.do(c.LeaveJob())
            south.hold(JobWish())
            if sends:
                south.ship()
            return bool(north.hold(SHARED._replace(held={1: ORDER[0]})).left)

        yield left


def calls_one(south: At) -> None:
    assert south.station.recorder.state.job.slot  # type: ignore[union-attr]


def pre_presses(south: At) -> None:
    """Give a garment heat with that plan, but no final."""
    south.station.forward()
    south.station.time_up()
    assert south.station.recorder.state.heat is None


def closes_unasked(south: At) -> None:
    """Let a switch see the press close on the current garment while the station is on hold."""
    for command in (c.PutOnHold("phone"), c.PressClosed(), c.PressOpened()):
        south.station.do(command)
    south.station.forward()
    job = south.station.recorder.state.job
    assert job is not None
    assert job.tickets[job.slot].marks == ("unasked",)


def test_a_press_counts_as_unpressed_once_all_its_events_are_sent(
    south_left: Callable[..., bool],
) -> None:
    assert south_left(calls_one)


def test_a_press_with_unsent_events_may_have_pressed(south_left: Callable[..., bool]) -> None:
    assert not south_left(At.ship, sends=False)


@pytest.mark.parametrize("did", [pre_presses, closes_unasked])
def test_a_press_that_closed_on_anything_does_not_count_as_unpressed(
    south_left: Callable[..., bool], did: Callable[[At], None]
) -> None:
    assert not south_left(did)


def test_a_wrong_server_clock_does_not_make_unsent_events_count_as_sent(
    south_left: Callable[..., bool], postgres: Postgres
) -> None:
    """The server's clock was ahead when south last sent, and was corrected since."""

    def did(south: At) -> None:
        south.ship()
        with postgres.sql(name=SHOP) as owner:
            owner.execute("UPDATE shop.records SET sent = now() + '1 day'")
        pre_presses(south)

    assert not south_left(did, sends=False)


def test_a_claim_ended_at_the_server_does_not_count_as_left(
    south_left: Callable[..., bool], postgres: Postgres
) -> None:
    """This last resort (docs/shop.md) does not show that the press has pressed nothing."""

    ended = []

    def thrown_out(south: At) -> None:
        south.hold(BEGINS)
        with postgres.sql(name=SHOP) as owner:
            ended.extend(owner.execute(ENDS).fetchall())

    assert south_left(thrown_out)  # it came back, claimed the job again and put it back
    with postgres.sql(name=SHOP) as owner:
        left = owner.execute("SELECT claim FROM shop.unpressed").fetchall()
    assert len(ended) == len(left) == 1
    assert ended != left


ENDS = "UPDATE shop.claims SET ended = now() WHERE role = 'south' RETURNING claim"


def test_a_copy_that_left_is_not_judged_by_the_first_tablets_events(
    postgres: Postgres, database: str, tmp_path: Path
) -> None:
    """Its actions are unknown before it joins; its events have the same numbers as the first's."""
    with postgres.sql(name=database) as connection:
        connection.execute("DELETE FROM shop.batches; DELETE FROM shop.claims")
    with ExitStack() as stack:
        north = At(stack, postgres, tmp_path / "north.sqlite3", "north", database)
        north.station.begin(4)
        north.ship()
        path = tmp_path / "copy.sqlite3"
        copied(north.station, path)
        other = Station(path, clock=9_000.0)
        stack.callback(other.recorder.close)
        hold(other)
        hold(north.station, 20)
        north.ship()
        with pytest.raises(RecordsDiffer) as parted:
            ship(path, north.database)
        store = stack.enter_context(Store.read_only(path))
        there = Claims(north.server, store, parted.value.alone)
        assert north.hold(JobWish(JOB)).others == ()
        assert there.hold(JobWish(JOB)).ours
        [claim] = [each.claim for each in north.hold(JobWish(JOB)).others]
        there.hold(JobWish())
        north.ship()
        assert store.last < north.station.recorder.last
        assert claim not in north.hold(JobWish(JOB)).left
