"""Two presses of one shop, each with its process beside it, on one job of one folder."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from shop_press import PLAYERS, Open, Press, at_one_server, until
from shop_server import Postgres, holds_all

from kiosk.run.facts import ScreenKind
from kiosk.run.state.model import TicketStage
from kiosk.station.desk.jobs import at_server
from kiosk.station.desk.jobs.at_server import AtServer
from kiosk.station.desk.jobs.begin import leave_job
from kiosk.station.desk.jobs.claims import NAME, holder
from kiosk.station.desk.sheet import PageKind
from kiosk.station.desk.shift.handover import hand_over_to

SHOP = "presses"


@pytest.fixture
def at(postgres: Postgres, database: str, tmp_path: Path) -> Iterator[Open]:
    with at_one_server(tmp_path, postgres, database) as made:
        yield made


def reached(*presses: Press) -> None:
    for press in presses:
        until(lambda press=press: press.beside.status.state == "sent")  # type: ignore[misc]


def all_sent(press: Press) -> None:
    last = press.desk.shell.recorder.last
    press.until(lambda: press.beside.status.last == last)


def synced_late(place: Path) -> None:
    """Remove the claim file, as if the folder were synced late to the other station."""
    (place / "jobs" / "ferry" / NAME).unlink()


def test_a_synced_folder_is_enough_while_the_server_is_reached(at: Open, tmp_path: Path) -> None:
    north, south = at("north"), at("south")
    reached(north, south)
    north.begin()
    assert north.desk.page is PageKind.WORK
    north.press(2)
    all_sent(north)
    synced_late(tmp_path)
    south.begin()
    assert "north is working on this job" in south.said()
    assert south.desk.shell.state.job is None
    assert holder(tmp_path / "jobs" / "ferry") is None

    south.touch("take over")
    south.supervisor()
    assert "This job is also at north" in south.said()
    assert "Pressed at north: 21, 22" in south.said()
    south.touch("Go on here")
    south.supervisor()
    south.touch("agreed")
    north.until(lambda: north.kind is ScreenKind.LOT)  # it was at work
    assert "This job is also at south" in north.said()
    assert "Pressed here: 21, 22" in north.said()
    assert "Pressed at south: none" in north.said()
    north.touch("Put the job back")
    south.press(10)
    assert south.job.done
    assert sorted(north.pressed + south.pressed, key=int) == [str(n) for n in range(1, 13)]


def test_taking_over_asks_a_supervisor_only_once_for_file_and_server(at: Open) -> None:
    """In a shared folder both the file and the server name the same station."""
    north, south = at("north"), at("south")
    reached(north, south)
    north.begin()
    north.press(1)
    all_sent(north)
    south.begin()
    south.touch("take over")
    south.supervisor()
    assert south.desk.page is PageKind.WORK
    assert "Pressed at north: 21" in south.said()


def test_taking_over_lists_garments_to_be_finished_at_the_other_press(at: Open) -> None:
    """A garment waits for its peel at north when south goes on: north has to finish it."""
    north, south = at("north"), at("south")
    reached(north, south)
    north.begin()
    north.press(1)
    north.step(lambda: len(north.pressed) == 2)
    all_sent(north)
    south.begin()
    south.touch("take over")
    south.supervisor()
    assert "Pressed at north: 21, 22" in south.said()
    south.until(lambda: "Not finished there: 22. Peel it" in south.said())


def test_the_pick_list_is_shown_for_one_press_before_sharing(at: Open) -> None:
    north = at("north")
    reached(north)
    north.look_at_job()
    assert "Fetch, if pressed only here: 12 garments" in north.said()


def test_two_presses_that_began_offline_both_stop_before_the_next_heat(
    at: Open, tmp_path: Path, postgres: Postgres
) -> None:
    north, south = at("north"), at("south")
    reached(north, south)
    postgres.kill()
    north.begin()
    synced_late(tmp_path)
    south.begin()
    assert north.desk.page is south.desk.page is PageKind.WORK  # the claim file holds
    north.press(1)
    south.press(2)
    south.step(lambda: south.desk.shell.state.heat is not None)
    postgres.start()
    north.until(lambda: north.kind is ScreenKind.LOT)
    north.until(lambda: "Pressed at south: 21, 22" in north.said())  # once south has sent them
    assert "Pressed here: 21" in north.said()
    south.until(lambda: south.beside.answer is not None and bool(south.beside.answer["others"]))
    assert south.kind is ScreenKind.HEAT  # a running closing goes on
    south.step(lambda: south.kind is ScreenKind.LOT)
    south.until(lambda: "Pressed at north: 21" in south.said())  # north claims, then sends
    assert not any(name in north.said() + south.said() for name in PLAYERS)
    south.touch("Put the job back")
    north.touch("Go on here")
    north.supervisor()
    north.touch("agreed")
    north.press(10)
    assert north.job.done
    assert sorted(north.pressed[1:] + south.pressed, key=int) == [str(n) for n in range(1, 13)]
    for press in (north, south):
        all_sent(press)
        holds_all(postgres, press.log, SHOP)


def test_a_job_begins_even_after_an_unnoticed_lost_connection(at: Open, postgres: Postgres) -> None:
    """The server restarted, or a router dropped the connection: the wish is sent once more."""
    north, south = at("north"), at("south")
    reached(north, south)
    with postgres.sql() as owner:
        owner.execute("SELECT pg_terminate_backend(pid) FROM pg_stat_activity "
                      "WHERE usename IN ('north', 'south')")  # fmt: skip
    north.begin(shares=True)
    assert len(north.job.tickets) == 4


def test_a_restarted_station_keeps_its_claim_throughout(at: Open, postgres: Postgres) -> None:
    """The process beside may reach the server before the station has sent its first wish."""
    north = at("north")
    reached(north)
    north.begin(shares=True)
    before = claims(postgres)
    north.close()
    north.open()
    reached(north)
    assert claims(postgres) == before
    north.until(lambda: north.desk.of(AtServer).answer is not None)
    assert claims(postgres) == before


def test_a_job_put_back_offline_is_released_later(at: Open, postgres: Postgres) -> None:
    """Even if the program was closed meanwhile: a station without a job reports that."""
    north = at("north")
    reached(north)
    north.begin()
    postgres.kill()
    leave_job(north.desk)
    north.close()
    postgres.start()
    assert len(claims(postgres)) == 1
    north.open()
    north.until(lambda: claims(postgres) == [])


def test_garments_given_too_late_are_free_for_any_press(
    at: Open, postgres: Postgres, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nobody waited for its answer: the job was not begun, and another one is pressed here."""
    north, south = at("north"), at("south")
    reached(north, south)
    monkeypatch.setattr(at_server, "ASK_SECONDS", 0.0)
    with postgres.sql(name=SHOP) as owner:
        owner.execute("SELECT pg_advisory_lock(hashtextextended('ferry', 0))")  # as a claim does
        north.begin(shares=True)
        waits = "SELECT count(*) FROM pg_locks WHERE locktype = 'advisory' AND NOT granted"
        until(lambda: owner.execute(waits).fetchone() == (1,))
    assert "server is away" in north.said()
    assert north.desk.shell.state.job is None
    monkeypatch.undo()
    north.until(lambda: bool(every_claim(postgres)) and claims(postgres) == [])
    south.begin(shares=True)
    for nth in range(3):
        south.until(lambda nth=nth: len(south.job.batches) > nth)  # type: ignore[misc]
        south.press(4)
    south.until(lambda: south.job.done)


def every_claim(postgres: Postgres) -> list[int]:
    with postgres.sql(name=SHOP) as owner:
        return [claim for (claim,) in owner.execute("SELECT claim FROM shop.claims")]


def claims(postgres: Postgres) -> list[int]:
    """Return the active claims at the server."""
    with postgres.sql(name=SHOP) as owner:
        asked = "SELECT claim FROM shop.claims WHERE ended IS NULL"
        return [claim for (claim,) in owner.execute(asked)]


def test_beginning_a_shared_job_alone_shows_how_to_join(at: Open, tmp_path: Path) -> None:
    """By the file in the job's folder, or by the server if the folder is only synced."""
    north, south = at("north"), at("south")
    reached(north, south)
    north.begin(shares=True)
    told = "north presses this job, shared with others. Begin it with other presses."
    south.begin()
    assert told in south.said()
    synced_late(tmp_path)
    south.touch("back")
    south.begin()
    assert told in south.said()
    south.touch("back")
    south.begin(shares=True)
    assert south.desk.page is PageKind.WORK


def test_a_hand_over_shows_that_the_order_is_shared(at: Open) -> None:
    north = at("north")
    reached(north)
    north.begin(shares=True)
    north.until(lambda: north.desk.of(AtServer).answer is not None)
    hand_over_to(north.desk)
    assert "Shared job: done 0 of 12, here 4, at other presses 0, not taken 8" in north.said()


def test_two_presses_press_each_garment_once_even_if_one_dies(at: Open, postgres: Postgres) -> None:
    north, south = at("north"), at("south")
    reached(north, south)
    share_until_one_dies(north, south, postgres)
    give_back(north)
    come_back(south)
    assert sorted(north.pressed + south.pressed, key=int) == [str(n) for n in range(1, 13)]
    for press in (north, south):
        all_sent(press)
        holds_all(postgres, press.log, SHOP)


def share_until_one_dies(north: Press, south: Press, postgres: Postgres) -> None:
    """Press two batches at north while the server is away; south dies during its only one."""
    postgres.kill()
    north.begin(shares=True)
    assert "A job can be shared only while it is reached" in north.said()
    assert north.desk.shell.state.job is None
    postgres.start()
    north.until(lambda: north.beside.status.state == "sent")
    north.go_on(shares=True)
    south.begin(shares=True)
    assert [len(press.job.tickets) for press in (north, south)] == [4, 4]
    assert north.job.whole == 12

    north.press(1)
    north.press(1)  # two are left: the next batch is asked for
    north.until(lambda: len(north.job.batches) == 2)
    assert [batch.lines for batch in north.job.batches] == [
        ("1", "2", "3", "4"), ("9", "10", "11", "12"),
    ]  # fmt: skip

    postgres.kill()
    north.press(6)  # it finishes what it has
    assert north.kind is ScreenKind.DONE
    assert "the next garments come when the shop's server is reached" in north.said()
    assert not north.job.done
    south.press(1)
    south.close()  # switched off in the middle of it
    postgres.start()
    north.until(lambda: north.desk.of(AtServer).answer is not None)
    all_sent(north)
    north.until(lambda: "done 8 of 12, here 0, at other presses 4" in north.said())


def give_back(north: Press) -> None:
    """Look at south's batch as north's supervisor, and give back what is not pressed."""
    north.touch("Supervisor")
    north.supervisor()
    north.touch("The shop's server", "4 garments at south")
    assert "None is known to be pressed" in north.said()
    assert "It may have pressed more since" in north.said()
    north.touch("Number 25")  # the supervisor sees that it is pressed
    north.touch("Give 3 garments back")
    north.until(lambda: len(north.job.batches) == 3)
    north.touch("back", "back")
    north.press(3)
    north.until(lambda: north.job.done)
    assert north.kind is ScreenKind.DONE


def come_back(south: Press) -> None:
    """Start south again: it stops, then leaves out what was given back."""
    south.open()
    south.until(lambda: south.kind is ScreenKind.LOT)
    assert "Pressed, given back or taken at north: 26, 27, 28" in south.said()
    south.touch("Go on here")
    south.supervisor()
    south.touch("agreed")
    south.until(lambda: south.job.done)
    voided = [t.garment.line for t in south.job.tickets.values() if t.stage is TicketStage.VOID]
    assert voided == ["6", "7", "8"]
