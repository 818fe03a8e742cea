"""A record sent to a real PostgreSQL: each event once, in order, whatever breaks on the way."""

from __future__ import annotations

import random
import sqlite3
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, closing
from pathlib import Path
from threading import Timer

import pytest
from log_station import Station, foreign, order, simulated, unguarded, unsynced
from shop_press import PATIENCE, until
from shop_server import (
    Line,
    Postgres,
    Rows,
    events_of,
    fresh_facts,
    holds_a_part,
    holds_all,
    sent_events,
    sent_facts,
)  # fmt: skip
from test_shop import asked

from kiosk.catalog.base import Message
from kiosk.catalog.model import Database
from kiosk.commands import FAULTS
from kiosk.log.record import Recorder
from kiosk.log.store import Damaged, Store, codec
from kiosk.run.state import TicketStage
from kiosk.run.state import commands as c
from kiosk.shop import Away, Sender, ShopFault, add, connect, follow, server, ship
from kiosk.shop.sending import FIRST_PAUSE, LOOK_SECONDS
from kiosk.train.made_up_operator import simulate


@pytest.fixture
def station(tmp_path: Path) -> Iterator[Station]:
    made = Station(tmp_path / "north.sqlite3")
    made.begin(12)
    yield made
    made.recorder.close()


def refused(log: Path, database: Database) -> str:
    with pytest.raises(ShopFault) as caught:
        ship(log, database)
    return caught.value.message.id


def hold(station: Station, times: int = 1) -> None:
    """Hold and go on, two events each time."""
    for _ in range(times):
        station.do(c.PutOnHold("phone"))
        station.forward()


def test_a_record_sent_in_pieces_arrives_with_the_facts_of_a_fresh_fold(
    tmp_path: Path, postgres: Postgres
) -> None:
    """Slips, scraps, copies, taps taken back: rows come, change and go between two sendings."""
    log, north = tmp_path / "shift.sqlite3", postgres.at("north")
    for seed in (4, 5):
        recorder = Recorder(unsynced(Store.open(log, simulated=True)))
        every = random.Random(seed)

        def look(_: int, every: random.Random = every) -> None:
            if every.random() < 0.08:
                ship(log, north)
                if every.random() < 0.3:
                    holds_a_part(postgres, log)

        simulate(recorder, order(15), seed, None, look)
        recorder.close()
    assert ship(log, north).last == len(events_of(log))
    assert ship(log, north).events == 0
    holds_all(postgres, log)
    told = fresh_facts(log)
    assert all(told[name] for name in ("garment", "closing", "peel", "hands", "noted"))


def test_deleted_facts_are_deleted_at_the_shop_too(station: Station, postgres: Postgres) -> None:
    def sent() -> None:
        ship(station.path, postgres.at("north"))
        holds_all(postgres, station.path)

    station.press_to_rack()
    station.do(c.Inspect("1/1/1", TicketStage.SCRAP, "scorch", "over_run"), after=30.0)
    sent()
    assert (
        station.do(c.Back()).refusal is None
    )  # no scrap: its peel and the copy it opened are gone too
    sent()
    while station.recorder.state.heat is None:
        station.forward()
    station.time_up()
    sent()
    assert station.do(c.Back()).refusal is None  # no closing
    sent()
    gone = {fact for _, fact, *_ in fresh_facts(station.path)["gone"]}
    assert gone == {"closing", "peel", "garment"}


def test_lagging_facts_and_those_of_another_version_are_sent_whole(
    station: Station, postgres: Postgres
) -> None:
    north = postgres.at("north")
    station.press_to_rack()
    ship(station.path, north)
    hold(station)
    foreign(station.path, "UPDATE mark SET version = 0")  # as an older program left them
    ship(station.path, north)
    holds_all(postgres, station.path)
    with postgres.sql() as connection:
        connection.execute("UPDATE shop.mark SET version = 0")
        connection.execute("DELETE FROM shop.closing")
        connection.execute("UPDATE shop.garment SET line = '9'")
    ship(station.path, north)
    holds_all(postgres, station.path)


def test_a_long_record_sent_in_batches_arrives_whole(tmp_path: Path, postgres: Postgres) -> None:
    log = tmp_path / "long.sqlite3"
    assert simulated(log, 30) > 4 * 50
    with Store.read_only(log) as store, connect(postgres.at("north")) as server:
        Sender(store, server, batch=50).send()
    holds_all(postgres, log)


@pytest.mark.parametrize("up", [True, False], ids=["sending", "hearing"])
def test_a_connection_cut_at_any_byte_loses_and_duplicates_nothing(
    up: bool, station: Station, postgres: Postgres
) -> None:
    """Also at the answer to the commit: it is done, but the station does not know."""
    chance, cut = random.Random(7), 0
    whole = through(station, Line(postgres, 10**9, up, lambda: None))
    for _ in range(16):
        station.press_to_rack() if station.recorder.last < 60 else hold(station)
        line = Line(postgres, chance.randrange(1, whole), up, lambda: None)
        through(station, line)
        cut += line.was_cut
        holds_a_part(postgres, station.path)
    assert cut > 8
    ship(station.path, postgres.at("north"))
    holds_all(postgres, station.path)


def through(station: Station, line: Line) -> int:
    """Send over a line; return the number of bytes in the counted direction."""
    try:
        ship(station.path, line.database("north"))
    except Away:
        if not line.was_cut:
            raise
    finally:
        line.close()
    return line.passed


def test_a_server_killed_during_a_batch_gets_the_rest_later(
    station: Station, postgres: Postgres
) -> None:
    ship(station.path, postgres.at("north"))
    for at in (3_000, 9_000):
        hold(station, 40)
        line = Line(postgres, at, True, postgres.kill)
        with pytest.raises(ShopFault) as caught:
            ship(station.path, line.database("north"))
        assert caught.value.message.id == "shop.away"
        line.close()
        assert line.was_cut
        assert refused(station.path, postgres.at("north")) == "shop.away"
        postgres.start()
        assert holds_a_part(postgres, station.path) < station.recorder.last
        ship(station.path, postgres.at("north"))
        holds_all(postgres, station.path)


def test_a_server_restored_from_an_old_copy_is_filled_up(
    station: Station, postgres: Postgres
) -> None:
    postgres.made("shop2")
    north = postgres.at("north", "shop2")
    with postgres.sql(name="shop2") as connection:
        connection.execute("INSERT INTO shop.stations (role) VALUES ('north')")
    ship(station.path, north)
    copy = "CREATE DATABASE old TEMPLATE shop2"
    back = ("DROP DATABASE shop2", "ALTER DATABASE old RENAME TO shop2")
    with postgres.sql(name="postgres") as connection:
        connection.execute(copy)
        for _ in range(3):
            station.press_to_rack()
            ship(station.path, north)
        holds_all(postgres, station.path, "shop2")
        for statement in back:
            connection.execute(statement)
    assert holds_a_part(postgres, station.path, "shop2") < station.recorder.last
    ship(station.path, north)
    holds_all(postgres, station.path, "shop2")


def copied(station: Station, to: Path) -> None:
    with closing(sqlite3.connect(to)) as copy:
        station.recorder.store.copy_into(copy, -1)


def content(postgres: Postgres, log: Path) -> tuple[Rows, dict[str, Rows]]:
    with postgres.sql() as connection:
        return sent_events(connection, log), sent_facts(connection, log)


def test_a_record_continued_from_an_old_copy_joins_as_a_new_generation(
    station: Station, postgres: Postgres, tmp_path: Path
) -> None:
    north, copy = postgres.at("north"), tmp_path / "copy.sqlite3"
    station.press_to_rack()
    copied(station, copy)
    shared = len(events_of(copy))
    station.press_to_rack()
    ship(station.path, north)
    before = content(postgres, station.path)
    assert refused(copy, north) == "shop.old_copy"
    other = Station(copy, clock=9_000.0)
    hold(other, 3)
    with pytest.raises(ShopFault) as caught:
        ship(copy, north)
    assert caught.value.message.id == "shop.parted"
    assert caught.value.message.values["seq"] == shared
    printed = asked(tmp_path, north, "ship", str(copy))
    assert printed.code == FAULTS
    assert printed.err.endswith("\nA supervisor can let it join: kiosk ship --new-generation\n")
    assert content(postgres, station.path) == before

    sent = ship(copy, north, new_generation=True)
    assert sent.events == other.recorder.last - shared
    assert content(postgres, station.path) == before  # nothing is overwritten
    with postgres.sql() as connection:
        joined = sent_events(connection, copy, generation=2)
        assert joined == events_of(copy, shared + 1)
        digest = before[0][shared - 1][-1]
        for seq, *row, _, its_digest in joined:  # the server's rows contain the chain
            digest = codec.link(digest, seq, codec.EventRow(*row))
            assert digest == its_digest
        (told,) = connection.execute(
            "SELECT count(*) FROM shop.garment JOIN shop.records USING (record) "
            "WHERE generation = 2 AND station = %s AND told <= %s",
            (other.recorder.store.station, shared),
        ).fetchone() or (None,)
        assert told == 0

    hold(other)
    assert ship(copy, north, new_generation=True).events == 2  # it continues where it joined
    hold(station)
    assert ship(station.path, north).events == 2  # and so does the first
    holds_all(postgres, station.path)
    other.recorder.close()


def test_a_second_station_with_the_same_id_is_refused(
    station: Station, postgres: Postgres, tmp_path: Path
) -> None:
    copy, south = tmp_path / "south.sqlite3", postgres.at("south")
    copied(station, copy)
    shared = len(events_of(copy))
    ship(station.path, postgres.at("north"))
    twin = Station(copy, clock=9_000.0)
    hold(twin)
    hold(station, 2)
    assert refused(copy, south) == "shop.of_another"
    ship(station.path, postgres.at("north"))
    ship(copy, south, new_generation=True)
    with postgres.sql() as connection:
        assert sent_events(connection, copy, generation=2) == events_of(copy, shared + 1) != []
    hold(station)
    ship(station.path, postgres.at("north"))
    holds_all(postgres, station.path)
    twin.recorder.close()


def test_a_second_sender_of_the_same_record_is_not_taken_for_a_copy(
    station: Station, postgres: Postgres
) -> None:
    """`kiosk ship` by hand beside the station's own process, which sends more meanwhile."""
    north = postgres.at("north")
    ship(station.path, north)
    hold(station)
    waits = "SELECT count(*) > 0 FROM pg_stat_activity WHERE wait_event_type = 'Lock'"
    with ExitStack() as stack:
        pool, owner = (
            stack.enter_context(ThreadPoolExecutor(1)),
            stack.enter_context(postgres.sql()),
        )
        store = stack.enter_context(Store.read_only(station.path))
        server = stack.enter_context(connect(north))
        with server.transaction():
            server.execute("UPDATE shop.records SET sent = now()")  # the process is sending
            late = pool.submit(ship, station.path, north)
            until(lambda: owner.execute(waits).fetchone() == (True,))
            hold(station)
            Sender(store, server).send()
        assert late.result().events == 0
    holds_all(postgres, station.path)


def test_twenty_stations_send_at_once(tmp_path: Path, postgres: Postgres) -> None:
    stations = [f"many-{n}" for n in range(20)]
    with connect(postgres.at("owner")) as server:
        for name in stations:
            add(server, name)
    for n, name in enumerate(stations):
        simulated(tmp_path / name, 1, seed=n)
    with ThreadPoolExecutor(20) as pool:
        both = [*stations, *stations]  # each twice at the same moment
        list(pool.map(lambda name: ship(tmp_path / name, postgres.at(name)), both))
    for name in stations:
        holds_all(postgres, tmp_path / name)


@pytest.mark.parametrize(
    "cell",
    ["payload = '{}'", "seq = seq + 5", "boot = CAST(x'ff' AS TEXT)",
     "payload = CAST(payload AS BLOB) || x'00'", "digest = x''"],
)  # fmt: skip
def test_a_damaged_event_stops_the_sending_there(
    station: Station, postgres: Postgres, cell: str
) -> None:
    north = postgres.at("north")
    ship(station.path, north)
    was = station.recorder.last
    hold(station)
    unguarded(station.path, f"UPDATE events SET {cell} WHERE seq = {was + 1}")
    with pytest.raises(Damaged):
        ship(station.path, north)
    with postgres.sql() as connection:
        assert len(sent_events(connection, station.path)) == was


class Enough(Exception):
    """Ends the follower when the test has seen enough."""


def test_a_follower_sends_new_events_and_waits_longer_while_the_server_is_away(
    station: Station, postgres: Postgres
) -> None:
    said: list[Message] = []
    pauses: list[float] = []

    def enough() -> None:
        raise Enough

    def fails() -> None:
        postgres.kill()
        hold(station)

    def nothing() -> None: ...

    steps = iter([lambda: hold(station), fails, nothing, nothing, postgres.start, nothing, enough])

    def wait(seconds: float) -> None:
        pauses.append(seconds)
        next(steps)()

    with pytest.raises(Enough):
        follow(station.path, postgres.at("north"), said.append, wait=wait)
    assert [each.id for each in said] == [
        "command.ship.sent", "command.ship.sent", *["shop.away"] * 3, "command.ship.sent",
    ]  # fmt: skip
    for nth, pause in enumerate(pauses[2:5]):
        assert 0.5 * FIRST_PAUSE * 2**nth <= pause <= FIRST_PAUSE * 2**nth
    holds_all(postgres, station.path)


def test_a_follower_fills_a_restored_server_even_without_new_events(
    station: Station, postgres: Postgres
) -> None:
    """Ten idle minutes, in place of a night in which somebody restores the server."""
    postgres.shop("night")
    north, looks = postgres.at("north", "night"), 10 * 60 / LOOK_SECONDS
    waits = iter(range(int(looks)))

    def wait(seconds: float) -> None:
        nth = next(waits, None)
        if nth is None:
            raise Enough
        if nth == 3:
            postgres.unmade("night")
            postgres.shop("night")

    with pytest.raises(Enough):
        follow(station.path, north, lambda message: None, wait=wait)
    holds_all(postgres, station.path, "night")


def test_a_frozen_server_is_reported_and_used_again_once_it_answers(
    station: Station, postgres: Postgres, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(server, "SILENT_SECONDS", 0.2)
    said: list[str] = []
    with ExitStack() as stack:
        goes_on = Timer(PATIENCE, stack.close)  # without a report it would hang forever
        goes_on.start()
        stack.callback(goes_on.cancel)
        steps = iter([lambda: stack.enter_context(postgres.frozen())])

        def wait(seconds: float) -> None:
            next(steps, lambda: (_ for _ in ()).throw(Enough))()
            hold(station)

        def tell(message: Message) -> None:
            said.append(message.id)
            if message.id == "shop.silent":
                stack.close()

        with pytest.raises(Enough):
            follow(station.path, postgres.at("north"), tell, wait=wait)
    assert said[:3] == ["command.ship.sent", "shop.silent", "command.ship.sent"]


def test_tables_of_another_version_are_reported(station: Station, postgres: Postgres) -> None:
    """The server was updated before the tablet, and a table got a column."""
    name = postgres.shop("wider")
    with postgres.sql(name=name) as connection:
        connection.execute("ALTER TABLE shop.closing ADD COLUMN more text")
    station.press_to_rack()
    assert refused(station.path, postgres.at("north", name)) == "shop.other_tables"
    assert holds_a_part(postgres, station.path, name) == 0


def test_signing_in_as_no_station_is_reported(station: Station, postgres: Postgres) -> None:
    """The service file names the server's owner: a tablet that was set up in a hurry."""
    assert refused(station.path, postgres.at("owner")) == "shop.no_station"
