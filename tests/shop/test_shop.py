"""The shop's server: set up by commands, permissions tried in SQL, proof of its identity."""

from __future__ import annotations

import json
import os
import re
import shlex
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import nullcontext
from pathlib import Path

import psycopg
import pytest
from command_line import ROOT, Result, kiosk, kiosk_here
from log_station import simulated
from shop_folders import NAMES, write_shop
from shop_press import PATIENCE
from shop_server import Postgres, holds_all

from kiosk import __version__
from kiosk.catalog.model import Database
from kiosk.catalog.read import read_catalog
from kiosk.commands import INTERRUPTED
from kiosk.log.facts.tables import SENT, TABLES
from kiosk.log.store import Store
from kiosk.shop import ShopFault, ship
from kiosk.shop.server import must_prove_itself

DOCS = ROOT / "docs" / "shop.md"
PROGRAMS = ("kiosk", "createdb", "dropdb", "psql", "pg_dump", "pg_dumpall", "pg_restore", "openssl")
ELSEWHERE = "Certificate and passwords"  # by test_tls.py, at a server of its own


def recipes(folder: Path, shop: str) -> Path:
    to = folder / "recipes"
    shutil.copytree(ROOT / "recipes", to, dirs_exist_ok=True)
    with (to / "shop.yaml").open("a") as file:
        file.write(f"\nshop: {shop}\n")
    return to


def asked(folder: Path, database: Database, *arguments: str) -> Result:
    where = recipes(folder, json.dumps({"database": database.address}))
    return kiosk(*arguments, "--recipes", str(where))


@pytest.fixture(scope="module")
def two(postgres: Postgres, tmp_path_factory: pytest.TempPathFactory) -> list[int]:
    """Records of two stations in a database of their own; the number of each record."""
    postgres.made("rights", "east", "west")
    folder = tmp_path_factory.mktemp("two")
    found = []
    for name in ("east", "west"):
        simulated(folder / name, 2)
        ship(folder / name, postgres.at(name, "rights"))
    with postgres.sql(name="rights") as connection:
        found += [n for (n,) in connection.execute("SELECT record FROM shop.records ORDER BY role")]
        connection.execute("CREATE ROLE clerk LOGIN IN ROLE shop_reader")
        connection.execute("UPDATE shop.records SET simulated = false")
    return found


@pytest.mark.parametrize(
    "statement",
    [
        "INSERT INTO shop.events SELECT {west}, seq + 9000, kind, version, boot, clock, wall, "
        "payload, sum, digest FROM shop.events LIMIT 1",
        "INSERT INTO shop.events SELECT record, seq + 9000, kind, version, boot, clock, wall, "
        "payload, sum, digest FROM shop.events LIMIT 1",  # its own, with a gap
        "UPDATE shop.events SET payload = ''",
        "DELETE FROM shop.events",
        "TRUNCATE shop.events",
        "INSERT INTO shop.tally VALUES ({west}, 1, 'held', 1, 1, 1)",
        "INSERT INTO shop.records (station, generation, role, after, digest, simulated) "
        "VALUES ('station-of-mine', 1, 'west', 0, '', false)",
        "INSERT INTO shop.stations (role) VALUES ('east-2')",
        "UPDATE shop.records SET role = 'west'",
        "UPDATE shop.records SET simulated = true",
        "SELECT shop.join('station-of-west', NULL, 3, '\\x00', false)",
        "SELECT shop.join('station-new', 2, 7, '\\x00', false)",
        "SELECT * FROM shop.migrations",
        "SELECT * FROM office.garment",
        "SELECT * FROM one.garment",
        "CREATE TABLE shop.mine (n int)",
        "CREATE ROLE another",
        "ALTER TABLE shop.events DISABLE ROW LEVEL SECURITY",
        "SET ROLE west",
    ],
)
def test_a_station_cannot_go_beyond_its_rights(
    statement: str, postgres: Postgres, two: list[int]
) -> None:
    with (
        postgres.sql("east", "rights") as connection,
        pytest.raises((psycopg.errors.InsufficientPrivilege, psycopg.errors.IntegrityError)),
    ):
        connection.execute(statement.format(east=two[0], west=two[1]))


def test_a_station_reads_and_changes_only_its_own_rows(postgres: Postgres, two: list[int]) -> None:
    east, west = two
    with postgres.sql(name="rights") as owner:
        every = "SELECT * FROM shop.garment ORDER BY record, ticket"
        before = owner.execute(every).fetchall()
        with postgres.sql("east", "rights") as connection:
            for table in ("records", "events", *TABLES):
                found = connection.execute(f"SELECT DISTINCT record FROM shop.{table}").fetchall()
                assert found in ([(east,)], []), table
                if table in TABLES:
                    of_west = f"DELETE FROM shop.{table} WHERE record = %s"
                    assert connection.execute(of_west, [west]).rowcount == 0
            sent = "UPDATE shop.records SET sent = now() WHERE record = %s"
            assert connection.execute(sent, [west]).rowcount == 0
            assert connection.execute(sent, [east]).rowcount == 1
        assert owner.execute(every).fetchall() == before != []


def test_a_reader_sees_the_views_and_nothing_else(postgres: Postgres, two: list[int]) -> None:
    with postgres.sql("clerk", "rights") as connection:
        for view in ("station", "events", *TABLES):
            if view != "mark":
                names = f"SELECT DISTINCT name FROM office.{view} ORDER BY name"
                found = [name for (name,) in connection.execute(names)]
                assert found in (["east", "west"], []), view
        for statement in (
            "SELECT * FROM shop.events", "SELECT * FROM shop.garment", "DELETE FROM shop.garment",
            "SELECT shop.has('', 0, '')", "SET ROLE east",
        ):  # fmt: skip
            with pytest.raises(psycopg.errors.InsufficientPrivilege):
                connection.execute(statement)


def test_the_servers_tables_of_facts_match_the_records(postgres: Postgres, tmp_path: Path) -> None:
    """A change to the tables of facts needs a numbered SQL file too."""
    simulated(tmp_path / "log", 1)
    of = {"bigint": "INTEGER", "double precision": "REAL", "text": "TEXT"}
    with postgres.sql() as connection, Store.read_only(tmp_path / "log") as store:
        for name in TABLES:
            plain = name.strip('"')
            kept = store.rows('SELECT name, type, "notnull" FROM pragma_table_info(?)', plain)
            sent = SENT[name].split(", ") if name in SENT else None
            ours = [column for column in kept if sent is None or column[0] in sent]
            theirs = connection.execute(
                "SELECT column_name, data_type, is_nullable = 'NO' FROM information_schema.columns "
                "WHERE table_schema = 'shop' AND table_name = %s ORDER BY ordinal_position",
                [plain],
            ).fetchall()
            assert theirs[0] == ("record", "bigint", True)
            assert [(n, of[t]) for n, t, _ in theirs[1:]] == [(n, t) for n, t, _ in ours], name
            assert [need for *_, need in theirs[1:]] == [
                bool(need) or ("INTEGER PRIMARY KEY" in TABLES[name] and not nth)
                for nth, (*_, need) in enumerate(ours)
            ], name


def test_no_players_name_reaches_the_server(postgres: Postgres, tmp_path: Path) -> None:
    log = tmp_path / "log.sqlite3"
    assert kiosk("simulate", *write_shop(tmp_path), "--log", str(log)).code == 0
    assert ship(log, postgres.at("north")).events > 20
    with postgres.sql() as connection:
        tables = connection.execute(
            "SELECT format('%I.%I', table_schema, table_name) FROM information_schema.tables "
            "WHERE table_schema IN ('shop', 'office')"
        ).fetchall()
        assert len(tables) > 2 * len(TABLES)

        def rows_with(text: str) -> int:
            counts = f"SELECT count(*) FROM {{}} AS t WHERE t::text ILIKE '%{text}%'"
            return sum(
                (connection.execute(counts.format(n)).fetchone() or (0,))[0] for (n,) in tables
            )

        assert rows_with("ferry") > 20  # text that is there is found
        assert [rows_with(name) for name in NAMES] == [0] * len(NAMES)


@pytest.mark.parametrize(
    ("address", "verify", "passes"),
    [
        ("host=press.example dbname=press", True, False),
        ("host=press.example sslmode=require", True, False),
        ("host=press.example sslmode=verify-full", True, True),
        ("host=press.example", False, True),
        ("host=/run/postgresql,press.example", True, False),
        ("host=localhost hostaddr=192.0.2.7", True, False),
        ("host=press.example hostaddr=127.0.0.1", True, True),
        ("host=/run/postgresql", True, True),
        ("dbname=press", True, True),
        ("postgresql://north@press.example/press", True, False),
        ("postgresql://north@press.example/press?sslmode=verify-full", True, True),
        ("service=far", True, False),
        ("service=near", True, True),
        ("service=sound", True, True),
        ("", True, False),
    ],
)
def test_a_remote_server_must_prove_its_identity(
    address: str, verify: bool, passes: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    services = tmp_path / "services.conf"
    services.write_text(
        "[far]\nhost=press.example\n\n[near]\nhost=127.0.0.1\n\n"
        "[sound]\nhost=press.example\nsslmode=verify-full\n"
    )
    monkeypatch.setenv("PGSERVICEFILE", str(services))
    monkeypatch.delenv("PGHOST", raising=False)
    with nullcontext() if passes else pytest.raises(ShopFault):
        must_prove_itself(Database(address, verify))
    assert "PGSERVICE" not in os.environ


@pytest.mark.parametrize(
    ("shop", "wrong"),
    [
        ('{database: "service=press"}', ""),
        ('{database: "service=press", verify_server: no}', ""),
        ('{database: "host=a password=secret"}', "catalog.database.password"),
        ('{database: "postgresql://north:secret@a/press"}', "catalog.database.password"),
        ('{database: ""}', "catalog.asked.something"),
        ("{}", "catalog.key.missing"),
        ('{datbase: "service=press"}', "catalog.key.unknown"),
    ],
)
def test_shop_yaml_names_the_server_and_holds_no_password(
    shop: str, wrong: str, tmp_path: Path
) -> None:
    catalog, faults = read_catalog(recipes(tmp_path, shop))
    assert [fault.problem.id for fault in faults] == ([wrong] if wrong else [])
    assert (catalog.database.address == "service=press") is not bool(wrong)
    assert catalog.database.verify_server is ("verify" not in shop)


def test_commands_say_what_is_missing_or_not_allowed(postgres: Postgres, tmp_path: Path) -> None:
    owner, log = postgres.at("owner"), tmp_path / "log.sqlite3"
    simulated(log, 1)
    with postgres.sql(name="postgres") as connection:
        connection.execute("CREATE DATABASE bare")
        connection.execute("CREATE DATABASE latin ENCODING 'LATIN1' TEMPLATE template0")
    for arguments, database, code, said in (
        (["shop", "add"], owner, 2, "Give the station a name"),
        (["shop", "add", "north"], owner, 1, "north is there already"),
        (["shop", "add", "North"], owner, 1, "small letter"),
        (["shop", "add", "pg_north"], owner, 1, "small letter"),
        (["shop", "add", "more"], postgres.at("north"), 1, "may not do that"),
        (["shop", "init"], postgres.at("north"), 1, "may not do that"),
        (["shop", "init"], postgres.at("owner", "latin"), 1, "UTF-8"),
        (["shop", "status"], postgres.at("owner", "bare"), 1, "kiosk shop init"),
        (["shop", "status"], postgres.at("owner", host="/nowhere"), 1, "cannot be reached"),
        (["shop", "status"], Database("host=press.example"), 1, "sslmode=verify-full"),
        (["ship", str(log)], postgres.at("north", "bare"), 1, "kiosk shop init"),
        (["ship", str(tmp_path / "none")], postgres.at("north"), 1, "none"),
    ):
        done = asked(tmp_path, database, *arguments)
        assert (done.code, done.out) == (code, ""), arguments
        assert said in done.err, arguments
    assert kiosk("shop", "status").code == 1  # the demo shop has no server
    assert asked(tmp_path, postgres.at("owner", "bare"), "shop", "init").code == 0
    empty = asked(tmp_path, postgres.at("owner", "bare"), "shop", "status")
    assert (empty.code, empty.err) == (0, "")
    assert "No station is registered here yet" in empty.out
    with postgres.sql() as connection:
        connection.execute("INSERT INTO shop.migrations (file) VALUES ('999-newer.sql')")
        assert "newer program" in asked(tmp_path, owner, "shop", "init").err
        connection.execute("DELETE FROM shop.migrations WHERE file = '999-newer.sql'")


def test_a_station_cannot_be_added_before_the_server_is_set_up(tmp_path: Path) -> None:
    """At a server without any shop not even the roles exist (docs/shop.md, At the server)."""
    fresh = Postgres()
    try:
        done = asked(tmp_path, fresh.at("owner", "postgres"), "shop", "add", "press-1")
        assert done.code == 1
        assert "Run: kiosk shop init" in done.err
    finally:
        fresh.stop()


def documented() -> Iterator[tuple[str, str]]:
    """Yield each command line of the page, with the heading it is under."""
    heading = ""
    for line in DOCS.read_text("utf-8").splitlines():
        heading = line.lstrip("# ") if line.startswith("## ") else heading
        if line.startswith("    ") and line.split()[0] in PROGRAMS:
            yield heading, line.strip()


@pytest.fixture
def machine(postgres: Postgres, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder of a machine that names the service `press`; its programs find the server."""
    for key, value in {
        "PGHOST": str(postgres.folder),
        "PGUSER": "owner",
        "PGSERVICEFILE": str(tmp_path / "services.conf"),
        "XDG_DATA_HOME": str(tmp_path / "data"),
        "PATH": f"{Path(sys.executable).parent}:{postgres.programs}:{os.environ['PATH']}",
    }.items():
        monkeypatch.setenv(key, value)
    monkeypatch.chdir(recipes(tmp_path, '{database: "service=press"}').parent)
    return tmp_path


def signed_in(machine: Path, postgres: Postgres, user: str) -> None:
    service = f"[press]\nhost={postgres.folder}\ndbname=press\nuser={user}\n"
    (machine / "services.conf").write_text(service)


def test_each_documented_command_does_what_the_page_says(
    postgres: Postgres, machine: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first, second = (machine / f"data-{n}" / "press-station-kiosk" for n in "12")
    log, said = first / "station.sqlite3", dict[str, str]()
    for folder in (first, second):
        folder.mkdir(parents=True)
    users = {"At a station": "press-1", "In the office": "office", "The board": "office"}
    for heading, line in documented():
        if heading == ELSEWHERE:
            continue
        signed_in(machine, postgres, users.get(heading, "owner"))
        monkeypatch.setenv("XDG_DATA_HOME", str(first.parent))
        if line in ("kiosk ship", "kiosk ship --follow"):
            events = simulated(log, 1, seed=len(said))
        said[line] = typed(line)
        if line == "kiosk ship":
            simulated(second / log.name, 1, seed=8)
            signed_in(machine, postgres, "press-2")
            monkeypatch.setenv("XDG_DATA_HOME", str(second.parent))
            assert re.match(r"\d+ events sent", typed(line))
            with postgres.sql(name="press") as connection:
                connection.execute("UPDATE shop.records SET simulated = false")
    assert "stations: 2" in said["kiosk report --shop --shift day"]
    assert said["kiosk shop status"].splitlines() == [
        f"press-{n}: has sent nothing yet" for n in "12"
    ]
    assert "http://127.0.0.1:8030/" in said["kiosk board --shop"]
    assert "?token=" in said["kiosk board --shop --host 0.0.0.0 --port 8031"]
    assert re.match(r"\d+ events sent", said["kiosk ship"])
    assert f"up to event {events}." in said["kiosk ship --follow"]

    holds_all(postgres, log, "press")  # restored
    more = simulated(log, 1, seed=9)
    signed_in(machine, postgres, "press-1")
    assert typed("kiosk ship").startswith(f"{more - events} events sent")
    holds_all(postgres, log, "press")
    signed_in(machine, postgres, "owner")
    told, _ = map(json.loads, typed("kiosk shop status --json").splitlines())
    assert (told["name"], told["events"], told["behind"]) == ("press-1", more, 0)
    assert told["program"] == __version__


def typed(line: str) -> str:
    """Run a command line; return its output."""
    command = shlex.split(line)
    goes_on = "--follow" in command or "board" in command
    if command[0] == "kiosk" and not goes_on:
        done = kiosk_here(*command[1:])
        assert done.code == 0, done.err
        return done.out
    with subprocess.Popen(command, text=True, stdout=subprocess.PIPE) as other:
        out = ""
        if goes_on and other.stdout is not None:
            out = other.stdout.readline()
            other.send_signal(signal.SIGINT)
        try:
            rest, _ = other.communicate(timeout=PATIENCE)
        except subprocess.TimeoutExpired:
            other.kill()  # or the end of `with` would wait for it
            raise
    assert other.returncode in ((0, INTERRUPTED) if goes_on else (0,)), line
    return out + rest
