"""The shop's server: how it must prove itself, its schema by numbered files, who signs in."""

import os
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from ipaddress import ip_address
from pathlib import Path
from threading import Lock, Timer
from typing import Any, NamedTuple

import psycopg
from psycopg import sql
from psycopg.conninfo import conninfo_to_dict, make_conninfo

from kiosk.catalog.base import Message, say
from kiosk.catalog.model import Database
from kiosk.shop.door import mended_by_somebody

FILES = Path(__file__).with_name("sql")
NAME = re.compile(r"(?!pg_|shop_)[a-z][a-z0-9_-]{0,40}")
USUAL: dict[str, str | int] = {
    "connect_timeout": 10, "tcp_user_timeout": 15_000, "keepalives_idle": 15,
    "client_encoding": "utf8", "application_name": "kiosk",
}  # fmt: skip
"""Seconds (tcp_user_timeout: milliseconds) until a silent server is given up; what it is told."""
LOCK_SECONDS = 15  # what somebody keeps locked longer, in psql say, is told and tried again
GONE = """SET tcp_keepalives_idle = 15; SET tcp_keepalives_interval = 5;
SET tcp_keepalives_count = 3; SET tcp_user_timeout = 15000"""
"""Asked of the server: a tablet that is gone in the middle of something has nothing locked after
30 s. As servers are usually set up (two hours) no press could begin its job that long."""
SILENT_SECONDS = 60.0  # an answer that takes longer is told; it may come: a large batch takes time
SECRET = frozenset({"password", "sslpassword"})  # anybody here can read a command line
Server = psycopg.Connection[tuple[Any, ...]]


class ShopFault(Exception):
    """What the shop's server does not do, or cannot; `message` is for a person."""

    def __init__(self, message: Message) -> None:
        super().__init__(message.id, dict(message.values))
        self.message = message


class Away(ShopFault):
    """The server cannot be reached now; it may be later."""


NOT_THERE = (
    psycopg.errors.UndefinedTable,
    psycopg.errors.UndefinedFunction,
    psycopg.errors.UndefinedObject,  # a role
    psycopg.errors.UndefinedColumn,  # of a schema that an older program set up
)


@contextmanager
def guarded() -> Iterator[None]:
    """Turn the driver's errors into faults."""
    try:
        yield
    except psycopg.errors.InsufficientPrivilege as error:
        raise ShopFault(say("shop.not_allowed", why=_told(error))) from error
    except NOT_THERE as error:
        raise ShopFault(say("shop.not_set_up")) from error
    except psycopg.errors.BadCopyFileFormat as error:  # its tables have other columns
        raise ShopFault(say("shop.other_tables", why=_told(error))) from error
    except psycopg.errors.ReadOnlySqlTransaction as error:
        raise ShopFault(say("shop.read_only", why=_told(error))) from error
    except psycopg.errors.LockNotAvailable as error:
        raise Away(say("shop.locked", why=_told(error))) from error
    except psycopg.errors.DiskFull as error:
        raise Away(say("shop.disk_full", why=_told(error))) from error
    except (psycopg.OperationalError, psycopg.InterfaceError) as error:
        if (why := mended_by_somebody(str(error))) is not None:
            raise ShopFault(why) from error
        raise Away(say("shop.away", why=_told(error))) from error
    except psycopg.Error as error:
        raise ShopFault(say("shop.refused", why=_told(error))) from error


@contextmanager
def patiently(tell: Callable[[Message], None]) -> Iterator[None]:
    """Say so, from another thread, where the server's answer to what is asked here takes long.

    A line stands although what is behind it stopped, or hangs at its disk: no error comes.
    """
    timer = Timer(SILENT_SECONDS, lambda: tell(say("shop.silent", seconds=int(SILENT_SECONDS))))
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        timer.cancel()


def one(server: Server, statement: str, *values: Any) -> Any:
    """Return the first row of what is asked."""
    return server.execute(statement, values).fetchone()


def _told(error: psycopg.Error) -> str:
    return (str(error).strip() or type(error).__name__).splitlines()[0]


@contextmanager
def connect(database: Database) -> Iterator[Server]:
    """Sign in to the shop's server. Raises ShopFault, Away where it cannot be reached now."""
    must_prove_itself(database)
    with guarded():
        given = conninfo_to_dict(database.address)
        usual = {key: value for key, value in USUAL.items() if key not in given}
        connection = psycopg.connect(make_conninfo(database.address, **usual), autocommit=True)
        with connection:
            connection.execute(f"SET lock_timeout = '{LOCK_SECONDS}s'; {GONE}")
            yield connection


def must_prove_itself(database: Database) -> None:
    """Raise ShopFault where somebody between here and a server elsewhere could pass for it."""
    if not database.address:
        raise ShopFault(say("shop.no_database", example='shop: {database: "service=press"}'))
    asked = _asked(database.address)
    elsewhere = [host for host in _hosts(asked) if not _is_here(host)]
    if elsewhere and database.verify_server and asked.get("sslmode") != "verify-full":
        raise ShopFault(say("shop.unproved", host=elsewhere[0]))


_one_at_a_time = Lock()


def _asked(address: str) -> dict[str, str]:
    """Return what libpq will ask for by address, service file, environment and defaults."""
    given = _given(address)
    with _one_at_a_time:  # all threads have one environment
        before = os.environ.get("PGSERVICE")
        try:
            if "service" in given:
                os.environ["PGSERVICE"] = given["service"]  # then libpq itself reads the file
            usual = {
                option.keyword.decode(): option.val.decode()
                for option in psycopg.pq.Conninfo.get_defaults()
                if option.val is not None
            }
        finally:
            if before is not None:
                os.environ["PGSERVICE"] = before
            else:
                os.environ.pop("PGSERVICE", None)
    return {**usual, **given}


def _given(address: str) -> dict[str, str]:
    """Return what a connection string says; what is wrong in it may be a password's part."""
    try:
        given = {key: str(value) for key, value in conninfo_to_dict(address).items()}
    except psycopg.Error:
        raise ShopFault(say("shop.bad_address")) from None
    if SECRET.intersection(given):
        raise ShopFault(say("shop.password_given"))
    return given


def _hosts(asked: dict[str, str]) -> list[str]:
    """The addresses to be signed in to; a host's own address goes before its name."""
    return [host for host in (asked.get("hostaddr") or asked.get("host", "")).split(",") if host]


def _is_here(host: str) -> bool:
    """Whether this is the machine itself: a socket of its file system, or its loopback."""
    if host[0] in "/@" or host == "localhost":
        return True
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return False


def init(server: Server) -> list[str]:
    """Bring the schema up to this program's; return the names of the files that were run.

    Run again it runs only what is new. Raises ShopFault.
    """
    with guarded(), server.transaction():
        if server.info.parameter_status("server_encoding") != "UTF8":
            raise ShopFault(say("shop.not_utf8"))
        server.execute("CREATE SCHEMA IF NOT EXISTS shop")
        server.execute(
            "CREATE TABLE IF NOT EXISTS shop.migrations "
            "(file text PRIMARY KEY, at timestamptz NOT NULL DEFAULT now())"
        )
        server.execute("LOCK TABLE shop.migrations")
        files = {path.name: path for path in sorted(FILES.glob("*.sql"))}
        done = {name for (name,) in server.execute("SELECT file FROM shop.migrations")}
        if unknown := sorted(done - set(files)):
            raise ShopFault(say("shop.newer", found=unknown[0]))
        todo = [name for name in files if name not in done]
        for name in todo:
            server.execute(files[name].read_bytes())
            server.execute("INSERT INTO shop.migrations (file) VALUES (%s)", [name])
        return todo


def add(server: Server, name: str, reads: bool = False) -> None:
    """Make the role that a station signs in as, or one that `reads` the office's views.

    It gets no password: who runs the server gives it one, or a certificate. Raises ShopFault.
    """
    if NAME.fullmatch(name) is None:
        raise ShopFault(say("shop.bad_name", name=name))
    group = sql.Identifier("shop_reader" if reads else "shop_station")
    try:
        with guarded(), server.transaction():
            server.execute(
                sql.SQL("CREATE ROLE {} LOGIN IN ROLE {}").format(sql.Identifier(name), group)
            )
            if not reads:
                server.execute("INSERT INTO shop.stations (role) VALUES (%s)", [name])
    except ShopFault as fault:
        if isinstance(fault.__cause__, psycopg.errors.DuplicateObject):
            raise ShopFault(say("shop.there_already", name=name)) from fault
        raise


class Standing(NamedTuple):
    """What the shop has of one record; all but `name` is empty for a station that never sent.

    `behind` is the number of events that its station had, when it last sent, and the shop not.
    """

    name: str
    station: str | None
    generation: int | None
    simulated: bool | None
    sent: datetime | None
    program: str | None
    events: int | None
    behind: int | None


def standing(server: Server) -> list[Standing]:
    """Return what the shop has of every station, by name and generation. Raises ShopFault."""
    with guarded():
        rows = server.execute(
            "SELECT name, station, generation, simulated, sent, program, events, behind "
            "FROM office.station ORDER BY name, since, generation"
        )
        return [Standing(*row) for row in rows]
