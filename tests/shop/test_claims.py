"""Claims at a real server: who has a job, how it is shared, who may claim it."""

from __future__ import annotations

import io
import json
import os
import sqlite3
import threading
from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing
from pathlib import Path

import psycopg
import pytest
from log_samples import garments
from log_station import Station
from shop_press import until
from shop_server import Postgres

from kiosk.log.store import Store
from kiosk.run.state import Garment
from kiosk.shop import Claims, JobWish, WishAnswer, connect, ship
from kiosk.shop.attendant import Attendant, Inbox
from kiosk.shop.wishes import Rows

JOB = "ferry-order"


def rows(*given: Garment) -> Rows:
    return tuple((g.line, g.number, g.size, g.digest, g.set) for g in given)


ORDER = tuple(rows(*garments(12)[n : n + 4]) for n in (0, 4, 8))
SHARED = JobWish(JOB, shared=True)
BEGINS = SHARED._replace(begins=True, wants=True, order=ORDER)


class At:
    """A station with its record, signed in to a database of its own test."""

    def __init__(
        self, stack: ExitStack, postgres: Postgres, path: Path, role: str, name: str = "claims"
    ) -> None:
        self.database = postgres.at(role, name)
        self.station = Station(path)
        stack.callback(self.station.recorder.close)
        self.server = stack.enter_context(connect(self.database))
        self._stack = stack
        self.read()

    def read(self) -> None:
        """Use the record as it is now, as a restarted process does."""
        store = self._stack.enter_context(Store.read_only(self.station.path))
        self.claims = Claims(self.server, store)

    def hold(self, wish: JobWish) -> WishAnswer:
        return self.claims.hold(wish)

    def ship(self) -> None:
        ship(self.station.path, self.database)


Open = Callable[[str], At]


@pytest.fixture(scope="module")
def database(postgres: Postgres) -> str:
    return postgres.shop("claims", "third")


@pytest.fixture
def at(postgres: Postgres, database: str, tmp_path: Path) -> Iterator[Open]:
    """Stations of a shop that knows no job yet."""
    with postgres.sql(name=database) as connection:
        connection.execute("DELETE FROM shop.batches; DELETE FROM shop.claims")
        connection.execute("DELETE FROM shop.garment; DELETE FROM shop.restorings")
    with ExitStack() as stack:
        yield lambda role: At(stack, postgres, tmp_path / f"{role}.sqlite3", role)


def names(answer: WishAnswer) -> list[str]:
    return [other.name for other in answer.others]


def taken(answer: WishAnswer) -> dict[int, str]:
    return {batch.batch: batch.name for batch in answer.batches}


def test_a_job_belongs_to_one_station_until_it_is_put_back(at: Open) -> None:
    north, south = at("north"), at("south")
    begins = JobWish(JOB, begins=True)
    assert north.hold(begins) == WishAnswer(JOB, ours=True)
    refused = south.hold(begins)
    assert (refused.ours, names(refused)) == (False, ["north"])
    assert north.hold(JobWish(JOB)) == WishAnswer(
        JOB, ours=True
    )  # the refusal changed nothing there
    north.read()
    assert north.hold(begins).ours  # taken up again after a stop
    north.station.begin(4)
    assert north.hold(JobWish()) == WishAnswer()
    assert south.hold(begins) == WishAnswer(JOB, ours=True)


def test_a_claim_ended_at_the_server_is_no_longer_active(at: Open, postgres: Postgres) -> None:
    """As docs/shop.md describes it for a press that will not come back; then it comes back."""
    north, south = at("north"), at("south")
    ends = "UPDATE shop.claims SET ended = now() WHERE role = 'north' AND ended IS NULL"
    alone = JobWish(JOB, begins=True)
    assert north.hold(alone).ours
    with postgres.sql(name="claims") as owner:
        owner.execute(ends)
        assert south.hold(alone) == WishAnswer(JOB, ours=True)
        back = north.hold(JobWish(JOB))
        assert (back.ours, names(back)) == (False, ["south"])
        south.hold(JobWish())
        north.hold(BEGINS)
        south.hold(BEGINS)
        owner.execute(ends)
    assert south.hold(SHARED).others == ()
    north.hold(SHARED._replace(held={1: ORDER[0]}))  # it has its own claim again
    north.claims.give_back(JOB, 2, [])
    assert taken(north.hold(SHARED))[4] == ""


def test_a_copy_of_a_tablet_counts_as_another_station(at: Open, tmp_path: Path) -> None:
    north = at("north")
    north.station.begin(4)
    copy = tmp_path / "copy.sqlite3"
    with closing(sqlite3.connect(copy)) as file:
        north.station.recorder.store.copy_into(file, -1)
    north.station.press_to_rack()
    assert north.hold(JobWish(JOB, begins=True)).ours
    with Store.open(copy) as other:
        there = Claims(north.server, other).hold(JobWish(JOB, begins=True))
    assert (there.ours, [other.copy for other in there.others]) == (False, [True])
    assert north.hold(JobWish(JOB)).ours


def test_two_stations_that_began_offline_learn_of_each_other(at: Open) -> None:
    north, south = at("north"), at("south")
    for each, presses in ((north, 1), (south, 2)):
        each.station.begin(4)
        for _ in range(presses):
            each.station.press_to_rack()
        each.ship()
    assert north.hold(JobWish(JOB)).ours
    there = south.hold(JobWish(JOB))
    assert there.ours
    [other] = there.others
    assert (other.name, other.shared, other.lines) == ("north", False, ("1",))
    assert other.claim > 0
    assert other.sent is not None
    here = north.hold(JobWish(JOB))
    [other] = here.others
    assert (other.name, other.lines) == ("south", ("1", "2"))

    north.hold(JobWish(JOB, stopped=True))
    done = north.hold(JobWish(JOB, over=(other.claim,)))  # a supervisor decided at north
    assert done.ours
    assert [(each.claim, each.lines) for each in done.others] == [(0, ("1", "2"))]
    assert not south.hold(JobWish(JOB, stopped=True)).ours
    assert not south.hold(JobWish(JOB)).ours  # not by itself: only if a supervisor there decides so
    assert names(north.hold(JobWish(JOB, over=(other.claim,)))) == ["south"]
    against = there.others[0].claim
    assert south.hold(JobWish(JOB, over=(against,))).ours
    assert not north.hold(JobWish(JOB, over=(other.claim,))).ours
    assert south.hold(JobWish()) == WishAnswer()


def test_a_job_left_half_done_lists_its_pressed_garments(at: Open) -> None:
    north, south = at("north"), at("south")
    north.station.begin(4)
    north.station.press_to_rack()
    north.hold(JobWish(JOB, begins=True))
    north.ship()
    north.hold(JobWish())
    found = south.hold(JobWish(JOB, begins=True))
    assert found.ours
    [other] = found.others
    assert (other.name, other.claim, other.lines) == ("north", 0, ("1",))


def test_a_shared_order_is_divided_once_and_taken_batch_by_batch(at: Open) -> None:
    north, south = at("north"), at("south")
    assert taken(north.hold(BEGINS)) == {1: "north", 2: "", 3: ""}
    other = BEGINS._replace(order=(ORDER[0] + ORDER[1],))  # cut already
    assert taken(south.hold(other)) == {1: "north", 2: "south", 3: ""}
    held = SHARED._replace(held={2: ORDER[1]})
    assert taken(south.hold(held)) == {1: "north", 2: "south", 3: ""}
    more = held._replace(wants=True)
    assert taken(south.hold(more)) == {1: "north", 2: "south", 3: "south"}
    assert taken(south.hold(more)) == {1: "north", 2: "south", 3: "south"}  # not recorded yet
    ended = south.hold(SHARED._replace(held={3: ORDER[2]}, done=(2,), wants=True))
    assert [(b.batch, b.ours, b.done) for b in ended.batches] == [
        (1, False, False), (2, True, True), (3, True, False),
    ]  # fmt: skip
    assert ended.others[0].shared
    whole = JobWish(JOB, begins=True)
    alone = at("third").hold(whole)
    assert not alone.ours  # nobody begins alone what others share
    assert [(other.name, other.shared) for other in alone.others] == [
        ("north", True), ("south", True),
    ]  # fmt: skip


def test_a_batch_taken_but_not_recorded_is_offered_again(at: Open) -> None:
    """Killed between the server's answer and the record: nothing is lost or taken twice."""
    north = at("north")
    first = north.hold(BEGINS)
    north.read()
    again = north.hold(BEGINS)
    assert taken(first) == taken(again) == {1: "north", 2: "", 3: ""}


def test_an_unbegun_batch_is_given_back_only_by_its_own_station(at: Open) -> None:
    north, south = at("north"), at("south")
    north.hold(BEGINS)
    north.claims.let_go(JOB)
    assert taken(south.hold(BEGINS))[1] == "north"  # its claim is active
    north.hold(JobWish(unbegun=JOB))
    south.claims.let_go(JOB)
    assert taken(south.hold(SHARED)) == {1: "north", 2: "south", 3: ""}
    north.claims.let_go(JOB)
    assert taken(south.hold(SHARED)) == {1: "", 2: "south", 3: ""}


def test_a_station_does_not_give_back_a_batch_it_has_begun(at: Open) -> None:
    """Its record has the garments: without the server it could press them."""
    north, south = at("north"), at("south")
    north.station.begin(4)
    north.ship()
    north.hold(BEGINS)
    north.hold(JobWish())
    north.claims.let_go(JOB)
    assert taken(south.hold(BEGINS))[1] == "north"


def test_a_restored_server_learns_again_which_batches_are_held(
    at: Open, postgres: Postgres
) -> None:
    north, south = at("north"), at("south")
    north.hold(BEGINS)
    south.hold(BEGINS)
    with postgres.sql(name="claims") as connection:
        connection.execute("UPDATE shop.batches SET claim = NULL, taken = NULL")
        connection.execute("DELETE FROM shop.batches WHERE batch = 1")
    here = north.hold(SHARED._replace(held={1: ORDER[0]}))
    assert taken(here) == {1: "north", 2: "", 3: ""}
    north.hold(SHARED._replace(held={1: ORDER[0]}, wants=True))  # before south comes back
    there = south.hold(SHARED._replace(held={2: ORDER[1]}))
    lost = [(other.name, other.lines) for other in there.others if other.lines]
    assert lost == [("north", ("5", "6", "7", "8"))]


def test_a_restored_server_gives_out_nothing_until_all_stations_have_reported(
    at: Open, postgres: Postgres
) -> None:
    north, south = at("north"), at("south")
    north.hold(BEGINS)
    south.hold(BEGINS)
    more = SHARED._replace(held={1: ORDER[0]}, wants=True)
    with postgres.sql(name="claims") as connection:
        connection.execute("UPDATE shop.batches SET claim = NULL, taken = NULL")
        connection.execute("UPDATE shop.claims SET seen = now() - '1h'::interval")
        connection.execute("SELECT shop.restored()")
    assert taken(north.hold(more)) == {1: "north", 2: "", 3: ""}  # where is south?
    south.hold(SHARED._replace(held={2: ORDER[1]}))
    assert taken(north.hold(more)) == {1: "north", 2: "south", 3: "north"}
    with postgres.sql("north", "claims") as other, pytest.raises(psycopg.Error):
        other.execute("SELECT shop.restored()")


def test_unpressed_garments_of_a_press_out_of_order_are_given_back(
    at: Open, postgres: Postgres
) -> None:
    north, south = at("north"), at("south")
    south.hold(BEGINS)
    north.hold(BEGINS)
    north.claims.give_back(JOB, 1, ["1", "3"])
    back = north.hold(SHARED._replace(held={2: ORDER[1]}, wants=True))
    assert taken(back) == {1: "south", 2: "north", 3: "north", 4: ""}
    assert [garment[0] for garment in back.batches[3].garments] == ["2", "4"]
    north.claims.give_back(JOB, 1, [])  # somebody touched it twice
    assert len(north.hold(SHARED).batches) == 4

    there = south.hold(SHARED._replace(held={1: ORDER[0]}))  # it was only switched off
    lost = [(other.name, other.lines) for other in there.others if other.lines]
    assert lost == [("north", ("2", "4"))]
    with postgres.sql("south", "claims") as other, pytest.raises(psycopg.Error):
        other.execute("SELECT shop.give_back('another-job', 1, '{}')")


def test_a_batch_with_a_garment_to_press_again_is_open_again(at: Open) -> None:
    """A result was taken back after the batch was reported done; then the tablet breaks."""
    north, south = at("north"), at("south")
    north.hold(BEGINS)
    south.hold(BEGINS)
    done = north.hold(SHARED._replace(done=(1,)))
    assert [b.done for b in done.batches] == [True, False, False]
    south.server.execute("SELECT shop.again(%s, 1)", [JOB])  # another's is not its to open
    assert [b.done for b in north.hold(SHARED._replace(done=(1,))).batches] == [True, False, False]
    again = north.hold(SHARED._replace(held={1: ORDER[0]}))
    assert (again.batches[0].name, again.batches[0].done) == ("north", False)
    south.claims.give_back(JOB, 1, ["1", "2", "3"])
    offered = south.hold(SHARED._replace(held={2: ORDER[1]}))
    assert [garment[0] for garment in offered.batches[3].garments] == ["4"]
    there = north.hold(SHARED._replace(held={1: ORDER[0]}))  # it was only switched off
    assert there.batches[0].done
    assert [(o.name, o.lines) for o in there.others if o.lines] == [("south", ("4",))]


REFUSED = (
    "INSERT INTO shop.claims (job, role, station, seq, digest, shared) "
    "VALUES ('other', 'north', 'x', 0, '', false)",
    "INSERT INTO shop.claims (job, station, seq, digest, shared) "
    "VALUES ('other', '{station}', 0, '', false)",
    "UPDATE shop.claims SET job = 'other'",
    "UPDATE shop.claims SET ended = now(), ended_by = 'north' WHERE role = 'south'",
    "DELETE FROM shop.claims",
    "DELETE FROM shop.batches",
    "UPDATE shop.batches SET garments = '[]'",
    "INSERT INTO shop.batches (job, batch, garments) VALUES ('other', 1, '[]')",
    "INSERT INTO shop.batches (job, batch, garments, claim) SELECT job, 9, '[]', claim "
    "FROM shop.claims WHERE role = 'north'",
    "UPDATE shop.batches SET claim = (SELECT claim FROM shop.claims WHERE role = 'north') "
    "WHERE claim IS NULL",
    "SELECT shop.give_back('ferry-order', 1, '{{}}') FROM (SELECT set_config('role', 'north', "
    "true)) AS t",
    "SELECT lines FROM office.batches",
)
WITHOUT_EFFECT = (
    "UPDATE shop.claims SET ended = now(), ended_by = current_user WHERE role = 'north'",
    "UPDATE shop.batches SET done = now() WHERE batch = 1",
    "SELECT shop.end_claim(0)",
)


def test_a_station_may_not_speak_for_another(at: Open, postgres: Postgres) -> None:
    north, south = at("north"), at("south")
    north.ship()
    north.hold(BEGINS)
    south.hold(BEGINS._replace(wants=False))
    its = north.station.recorder.store.station
    every = "SELECT claim, role::text, ended FROM shop.claims ORDER BY claim"
    batches = "SELECT * FROM shop.batches ORDER BY batch"
    refusals = (psycopg.errors.InsufficientPrivilege, psycopg.errors.IntegrityError)
    with postgres.sql(name="claims") as owner, postgres.sql("south", "claims") as connection:
        before = [owner.execute(each).fetchall() for each in (every, batches)]
        for statement in REFUSED:
            with pytest.raises(refusals):
                connection.execute(statement.format(station=its))
        for statement in WITHOUT_EFFECT:
            connection.execute(statement)
        assert [owner.execute(each).fetchall() for each in (every, batches)] == before
        seen = "SELECT count(*) FROM shop.records WHERE station = %s"
        assert connection.execute(seen, [its]).fetchone() == (0,)


def test_the_office_sees_who_works_on_what(at: Open, postgres: Postgres) -> None:
    at("north").hold(BEGINS)
    with postgres.sql(name="claims") as owner:
        owner.execute("CREATE ROLE reader_of_claims LOGIN IN ROLE shop_reader")
    try:
        with postgres.sql("reader_of_claims", "claims") as reader:
            assert reader.execute("SELECT job, name, shared FROM office.claims").fetchall() == [
                (JOB, "north", True)
            ]
            found = reader.execute("SELECT batch, garments, name FROM office.batches ORDER BY 1")
            assert found.fetchall() == [(1, 4, "north"), (2, 4, None), (3, 4, None)]
            with pytest.raises(psycopg.errors.InsufficientPrivilege):
                reader.execute("SELECT * FROM shop.claims")
    finally:
        with postgres.sql(name="claims") as owner:
            owner.execute("DROP ROLE reader_of_claims")


def test_a_batch_is_given_back_only_for_its_own_job(at: Open) -> None:
    """The operator got no answer in time, and has turned to the next order."""
    north, south = at("north"), at("south")
    following = BEGINS._replace(job="next-order")
    for begins in (BEGINS, following):
        south.hold(begins)
    reads, writes = os.pipe()
    said, inbox = io.StringIO(), Inbox()
    with os.fdopen(writes, "w") as station, os.fdopen(reads) as lines:
        wishes = ({"job": JOB, "shared": True}, {"job": "next-order", "shared": True})
        for number, wish in enumerate(wishes, 1):
            back = {"give_back": [1, []]} if number == 1 else {}
            print(json.dumps({"number": number, "wish": wish, **back}), file=station, flush=True)
        threading.Thread(target=inbox.listen, args=(lines,)).start()
        until(lambda: inbox.latest.number == 2)
        attends = Attendant(north.station.path, north.database, said, inbox)
        working = threading.Thread(target=attends.run)
        working.start()
        until(lambda: '"answer"' in said.getvalue())
        station.close()
        working.join()
    assert taken(south.hold(SHARED._replace(job="next-order"))) == {1: "south", 2: "", 3: ""}
