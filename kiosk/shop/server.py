"""The shop's server: proof of its identity, its schema in numbered files, its roles."""

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
from kiosk.shop.door import what_to_fix

FILES = Path(__file__).with_name("sql")
NAME = re.compile(r"(?!pg_|shop_)[a-z][a-z0-9_-]{0,40}")
USUAL: dict[str, str | int] = {
    "connect_timeout": 10, "tcp_user_timeout": 15_000, "keepalives_idle": 15,
    "client_encoding": "utf8", "application_name": "kiosk",
}  # fmt: skip
"""Seconds (tcp_user_timeout: milliseconds) until a silent server is given up; client settings."""
LOCK_SECONDS = 15  # a longer lock, for example from psql, is reported and retried
GONE = """SET tcp_keepalives_idle = 15; SET tcp_keepalives_interval = 5;
SET tcp_keepalives_count = 3; SET tcp_user_timeout = 15000"""
"""Set at the server: the locks of a tablet that disappears mid-transaction are released within 30
s. With a server's usual two hours no press could begin that job for as long."""
SILENT_SECONDS = 60.0  # a slower answer is reported; it may still come, as a large batch takes time
SECRET = frozenset({"password", "sslpassword"})  # anybody on this machine can read a command line
Server = psycopg.Connection[tuple[Any, ...]]


class ShopFault(Exception):
    """The shop's server refuses or cannot do something; `message` is for a person."""

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
        raise ShopFault(say("shop.not_allowed", why=_reason(error))) from error
    except NOT_THERE as error:
        raise ShopFault(say("shop.not_set_up")) from error
    except psycopg.errors.BadCopyFileFormat as error:  # its tables have other columns
        raise ShopFault(say("shop.other_tables", why=_reason(error))) from error
    except psycopg.errors.ReadOnlySqlTransaction as error:
        raise ShopFault(say("shop.read_only", why=_reason(error))) from error
    except psycopg.errors.LockNotAvailable as error:
        raise Away(say("shop.locked", why=_reason(error))) from error
    except psycopg.errors.DiskFull as error:
        raise Away(say("shop.disk_full", why=_reason(error))) from error
    except (psycopg.OperationalError, psycopg.InterfaceError) as error:
        if (why := what_to_fix(str(error))) is not None:
            raise ShopFault(why) from error
        raise Away(say("shop.away", why=_reason(error))) from error
    except psycopg.Error as error:
        raise ShopFault(say("shop.refused", why=_reason(error))) from error


@contextmanager
def patiently(tell: Callable[[Message], None]) -> Iterator[None]:
    """Report, from another thread, if the server takes long to answer in this block.

    A connection can stay open although the server behind it has stopped or hangs at its disk, and
    then no error is raised.
    """
    timer = Timer(SILENT_SECONDS, lambda: tell(say("shop.silent", seconds=int(SILENT_SECONDS))))
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        timer.cancel()


def first_row(server: Server, statement: str, *values: Any) -> Any:
    """Return the first row of a query."""
    return server.execute(statement, values).fetchone()


def _reason(error: psycopg.Error) -> str:
    return (str(error).strip() or type(error).__name__).splitlines()[0]


@contextmanager
def connect(database: Database) -> Iterator[Server]:
    """Sign in to the shop's server. Raises ShopFault, or Away if it cannot be reached now."""
    must_prove_itself(database)
    with guarded():
        settings = conninfo_to_dict(database.address)
        usual = {key: value for key, value in USUAL.items() if key not in settings}
        connection = psycopg.connect(make_conninfo(database.address, **usual), autocommit=True)
        with connection:
            connection.execute(f"SET lock_timeout = '{LOCK_SECONDS}s'; {GONE}")
            yield connection


def must_prove_itself(database: Database) -> None:
    """Raise ShopFault if there is no address, or if an impostor could pass for a remote server.

    The latter only with `verify_server`.
    """
    if not database.address:
        raise ShopFault(say("shop.no_database", example='shop: {database: "service=press"}'))
    settings = _libpq_settings(database.address)
    elsewhere = [host for host in _hosts(settings) if not _is_here(host)]
    if elsewhere and database.verify_server and settings.get("sslmode") != "verify-full":
        raise ShopFault(say("shop.unproved", host=elsewhere[0]))


_one_at_a_time = Lock()


def _libpq_settings(address: str) -> dict[str, str]:
    """Return libpq's settings from address, service file, environment and defaults."""
    settings = _parsed(address)
    with _one_at_a_time:  # the environment is shared by all threads
        before = os.environ.get("PGSERVICE")
        try:
            if "service" in settings:
                os.environ["PGSERVICE"] = settings["service"]  # so that libpq itself reads the file
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
    return {**usual, **settings}


def _parsed(address: str) -> dict[str, str]:
    """Return a connection string's settings; no fault quotes it, as it may hold a password."""
    try:
        settings = {key: str(value) for key, value in conninfo_to_dict(address).items()}
    except psycopg.Error:
        raise ShopFault(say("shop.bad_address")) from None
    if SECRET.intersection(settings):
        raise ShopFault(say("shop.password_given"))
    return settings


def _hosts(settings: dict[str, str]) -> list[str]:
    """Return the hosts to connect to; `hostaddr` takes precedence over `host`."""
    return [
        host for host in (settings.get("hostaddr") or settings.get("host", "")).split(",") if host
    ]


def _is_here(host: str) -> bool:
    """Whether the host is this machine: a socket in its file system, or its loopback."""
    if host[0] in "/@" or host == "localhost":
        return True
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return False


def init(server: Server) -> list[str]:
    """Bring the schema up to date with this program; return the names of the files that were run.

    Running it again runs only new files. Raises ShopFault.
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
        applied_files = {name for (name,) in server.execute("SELECT file FROM shop.migrations")}
        if unknown := sorted(applied_files - set(files)):
            raise ShopFault(say("shop.newer", found=unknown[0]))
        todo = [name for name in files if name not in applied_files]
        for name in todo:
            server.execute(files[name].read_bytes())
            server.execute("INSERT INTO shop.migrations (file) VALUES (%s)", [name])
        return todo


def add(server: Server, name: str, reads: bool = False) -> None:
    """Create the role that a station signs in as, or one that `reads` the office's views.

    It gets no password: the server's administrator sets one, or issues a certificate. Raises
    ShopFault.
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


class RecordStatus(NamedTuple):
    """The shop's status of one record. A station that never sent has a `name` only, `behind` 0.

    `behind` is the number of events its station had at the last sending that the shop lacks.
    """

    name: str
    station: str | None
    generation: int | None
    simulated: bool | None
    sent: datetime | None
    program: str | None
    events: int | None
    behind: int | None


def record_statuses(server: Server) -> list[RecordStatus]:
    """Return the status of every record, and of stations without one, by name. Raises ShopFault."""
    with guarded():
        rows = server.execute(
            "SELECT name, station, generation, simulated, sent, program, events, behind "
            "FROM office.station ORDER BY name, since, generation"
        )
        return [RecordStatus(*row) for row in rows]
