"""A PostgreSQL server for the tests, a line to it that can be cut, and checks of its contents."""

from __future__ import annotations

import os
import shutil
import signal
import socket
import sqlite3
import subprocess
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from typing import Any

import psycopg
import pytest

from kiosk.catalog.model import Database
from kiosk.log.facts import FactDeriver, Statement, fold, statements
from kiosk.log.facts.tables import SENT, TABLES
from kiosk.log.store import Store
from kiosk.run.state import State
from kiosk.shop import add, connect, init, records
from kiosk.shop.server import FILES
from kiosk.station.desk.shift import report_data
from kiosk.words import Words

OWNER = "owner"
OTHER = "nobody"
SETTINGS = (
    "-c listen_addresses= -c fsync=off -c full_page_writes=off -c shared_buffers=16MB "
    "-c max_connections=60 -c wal_level=minimal -c max_wal_senders=0 -c jit=off "
    "-c autovacuum=off"  # it would free space on a full disk if it happened to run
)
MEMORY, ROOM = Path("/dev/shm"), 2**30
Rows = list[tuple[Any, ...]]


def programs() -> Path | None:
    """Return the folder of PostgreSQL's programs, or None if it is not installed."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    named = shutil.which("initdb")
    return found[-1].parent if found else None if named is None else Path(named).resolve().parent


def _place() -> Path | None:
    """Return the folder for clusters: in memory if there is room; None for the default."""
    there = MEMORY.is_dir() and os.access(MEMORY, os.W_OK)
    return MEMORY if there and shutil.disk_usage(MEMORY).free > ROOM else None


class Postgres:
    """A server in its own folder, reached only by a file system socket."""

    own_settings = ""

    def __init__(self) -> None:
        found = programs()
        if found is None:
            pytest.skip("no PostgreSQL on this machine")
        self.programs = found
        self.folder = Path(tempfile.mkdtemp(prefix="kiosk-shop-", dir=_place()))
        self.data = self.folder / "data"
        self._as = ["/usr/sbin/runuser", "-u", OTHER, "--"] if os.geteuid() == 0 else []
        if self._as:  # PostgreSQL refuses to run as root
            shutil.chown(self.folder, OTHER)
        self._run("initdb", "--no-sync", "-A", "trust", "-U", OWNER, "-E", "UTF8", "--locale=C")
        self.start()

    def _run(self, program: str, *arguments: str) -> None:
        command = [*self._as, str(self.programs / program), "-D", str(self.data), *arguments]
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL, cwd="/")

    def start(self) -> None:
        settings = f"-k {self.folder} {SETTINGS} {self.own_settings}"
        log = str(self.folder / "server.log")
        self._run("pg_ctl", "start", "-w", "-s", "-l", log, "-o", settings)

    def kill(self) -> None:
        """End the server and all its processes, as a power cut would."""
        server = int((self.data / "postmaster.pid").read_text().split()[0])
        for pid in (server, *_children(server)):
            with suppress(ProcessLookupError):
                os.kill(pid, signal.SIGKILL)
        while _children(server) or Path(f"/proc/{server}").exists():
            time.sleep(0.01)  # until the system has removed them

    @contextmanager
    def frozen(self) -> Iterator[None]:
        """Stop every process of the server; the system keeps its connections open."""
        server = int((self.data / "postmaster.pid").read_text().split()[0])
        stopped = [server, *_children(server)]
        for pid in stopped:
            os.kill(pid, signal.SIGSTOP)
        try:
            yield
        finally:
            for pid in stopped:
                os.kill(pid, signal.SIGCONT)

    def stop(self) -> None:
        with suppress(subprocess.CalledProcessError):
            self._run("pg_ctl", "stop", "-s", "-m", "immediate")
        shutil.rmtree(self.folder, ignore_errors=True)

    def at(self, role: str, name: str = "shared", host: str = "") -> Database:
        return Database(f"host={host or self.folder} dbname={name} user={role}")

    @contextmanager
    def sql(self, role: str = OWNER, name: str = "shared") -> Iterator[psycopg.Connection[Any]]:
        with psycopg.connect(self.at(role, name).address, autocommit=True) as connection:
            yield connection

    def made(self, name: str, *stations: str) -> None:
        """Create a database, set it up, and add some stations."""
        with self.sql(name="postgres") as connection:
            connection.execute(f"CREATE DATABASE {name}")
        with connect(self.at(OWNER, name)) as server:
            init(server)
            for station in stations:
                add(server, station)

    def shop(self, name: str, *stations: str) -> str:
        """Create a database that the existing roles north and south may use too."""
        self.made(name, *stations)
        with self.sql(name=name) as connection:
            connection.execute("INSERT INTO shop.stations (role) VALUES ('north'), ('south')")
        return name

    def shop_before(self, number: str, name: str) -> str:
        """Create a database as an older program would: with the files before that number."""
        with self.sql(name="postgres") as connection:
            connection.execute(f"CREATE DATABASE {name}")
        with self.sql(name=name) as connection:
            connection.execute("CREATE SCHEMA shop")
            connection.execute(
                "CREATE TABLE shop.migrations (file text, at timestamptz DEFAULT now())"
            )
            for path in sorted(each for each in FILES.glob("*.sql") if each.name < number):
                connection.execute(path.read_bytes())
                connection.execute("INSERT INTO shop.migrations (file) VALUES (%s)", [path.name])
            connection.execute("INSERT INTO shop.stations (role) VALUES ('north'), ('south')")
        return name

    def unmade(self, name: str, *roles: str) -> None:
        """Drop a database and these roles, so that the names can be used again."""
        with self.sql(name="postgres") as connection:
            connection.execute(f"DROP DATABASE {name} WITH (FORCE)")
            for role in roles:
                connection.execute(f'DROP ROLE "{role}"')


def _children(parent: int) -> list[int]:
    found = []
    for stat in Path("/proc").glob("[0-9]*/stat"):
        with suppress(OSError):
            if int(stat.read_text().rpartition(")")[2].split()[1]) == parent:
                found.append(int(stat.parent.name))
    return found


@pytest.fixture(scope="session")
def postgres() -> Iterator[Postgres]:
    server = Postgres()
    try:
        server.made("shared", "north", "south")
        yield server
    finally:
        server.stop()


class Line:
    """A loopback line to the server; it is cut, calling `broken`, at the nth byte one way."""

    def __init__(self, postgres: Postgres, at: int, up: bool, broken: Callable[[], None]) -> None:
        self._to, self._left, self._up = str(postgres.folder / ".s.PGSQL.5432"), at, up
        self._broken = broken
        self._listens = socket.create_server(("127.0.0.1", 0))
        self.port: int = self._listens.getsockname()[1]
        self.was_cut, self.passed = False, 0
        self._postgres = postgres
        self._thread = threading.Thread(target=self._serve)
        self._thread.start()

    def _serve(self) -> None:
        with suppress(OSError):
            ours, _ = self._listens.accept()
            with ours, socket.socket(socket.AF_UNIX) as server:
                server.connect(self._to)
                back = threading.Thread(target=self._pump, args=(server, ours, False))
                back.start()
                self._pump(ours, server, True)
                back.join()

    def _pump(self, one: socket.socket, other: socket.socket, up: bool) -> None:
        with suppress(OSError):
            while data := one.recv(65536):
                if up is self._up:
                    data = data[: self._left]
                    self._left -= len(data)
                    self.passed += len(data)
                other.sendall(data)
                if self._left == 0:
                    self.was_cut = True
                    self._broken()
                    break
        for end in (one, other):
            with suppress(OSError):
                end.shutdown(socket.SHUT_RDWR)

    def database(self, role: str) -> Database:
        plain = self._postgres.at(role, host="127.0.0.1").address
        return Database(f"{plain} port={self.port} gssencmode=disable sslmode=disable")

    def close(self) -> None:
        """Wait until the line is idle."""
        with suppress(OSError):
            self._listens.shutdown(socket.SHUT_RDWR)
        self._thread.join()
        self._listens.close()


def events_of(log: Path, first: int = 1) -> Rows:
    with Store.read_only(log) as store:
        return [(each.seq, *each.row, each.sum, each.digest) for each in store.stored(first)]


EVENTS = """SELECT e.seq, kind, version, boot, clock, wall, payload, sum, e.digest
FROM shop.events AS e JOIN shop.records AS r USING (record)
WHERE station = %s AND generation = %s ORDER BY seq"""


def sent_events(connection: psycopg.Connection[Any], log: Path, generation: int = 1) -> Rows:
    with Store.read_only(log) as store:
        return connection.execute(EVENTS, (store.station, generation)).fetchall()


def fresh_facts(log: Path, last: int | None = None) -> dict[str, Rows]:
    """Return the facts that a fresh fold derives from the events up to number `last`."""
    with Store.read_only(log) as store, closing(sqlite3.connect(":memory:")) as made:
        for op in statements("main"):
            made.execute(*op)

        def put_down(ops: list[Statement]) -> None:
            for op in ops:
                made.execute(*op)

        fold(State(), store.entries(last=last), FactDeriver(), put_down)
        queries = {name: f"SELECT {SENT.get(name, '*')} FROM {name}" for name in TABLES}
        return {name: sorted(made.execute(query), key=repr) for name, query in queries.items()}


def sent_facts(connection: psycopg.Connection[Any], log: Path) -> dict[str, Rows]:
    with Store.read_only(log) as store:
        station = store.station
    found = {}
    for name in TABLES:
        rows = connection.execute(
            f"SELECT t.* FROM shop.{name} AS t JOIN shop.records USING (record) "
            "WHERE station = %s AND generation = 1", [station],
        )  # fmt: skip
        found[name] = sorted((row[1:] for row in rows), key=repr)
    return found


def holds_all(postgres: Postgres, log: Path, name: str = "shared") -> None:
    """Check that the shop has every event once and in order, with the facts of a fresh fold."""
    with postgres.sql(name=name) as connection:
        assert sent_events(connection, log) == events_of(log)
        assert sent_facts(connection, log) == fresh_facts(log)


def holds_a_part(postgres: Postgres, log: Path, name: str = "shared") -> int:
    """Check that the shop has a beginning of the record with facts; return its number of events."""
    with postgres.sql(name=name) as connection:
        found = sent_events(connection, log)
        assert found == events_of(log)[: len(found)]
        sent = sent_facts(connection, log)
        told = max((tally[5] for tally in sent["tally"]), default=0)
        assert told <= len(found)
        far = "SELECT told, (SELECT max(last) FROM shop.tally t WHERE t.record = s.record)"
        for seen, latest in connection.execute(f"{far} FROM office.station AS s"):
            assert seen == latest
        if sent["mark"]:
            assert sent == fresh_facts(log, told)
    return len(found)


def sheet_line(postgres: Postgres, name: str) -> str:
    """Return the first line of an order's closing sheet for all stations."""
    with records(postgres.at("owner", name)) as sources:
        report = report_data.order_sheet(sources, "ferry")
    assert report is not None
    return Words("en").say(report.line)
