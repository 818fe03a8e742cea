"""Named steps, each applied once and completely."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing

import pytest

from kiosk.log.store.migrations import MIGRATIONS, applied, migrate


@pytest.fixture
def connection() -> Iterator[sqlite3.Connection]:
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as made:
        yield made


def tables(connection: sqlite3.Connection) -> set[str]:
    found = connection.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")
    return {name for (name,) in found}


def test_every_step_is_applied_once(connection: sqlite3.Connection) -> None:
    migrate(connection)
    migrate(connection)
    assert applied(connection) == frozenset(MIGRATIONS)
    assert {"events", "checkpoint", "salvaged"} <= tables(connection)


def test_only_missing_steps_are_applied(connection: sqlite3.Connection) -> None:
    migrate(connection, {"one": "CREATE TABLE one (x)"})
    migrate(connection, {"one": "CREATE TABLE one (x)", "two": "CREATE TABLE two (x)"})
    assert {"one", "two"} <= tables(connection)


def test_a_failed_step_leaves_nothing_half_done(connection: sqlite3.Connection) -> None:
    steps = {"good": "CREATE TABLE good (x)", "bad": "CREATE TABLE half (x); CREATE TABLE half (x)"}
    with pytest.raises(sqlite3.OperationalError):
        migrate(connection, steps)
    assert applied(connection) == {"good"}
    assert "half" not in tables(connection)
    assert not connection.in_transaction


def test_the_order_of_the_steps_is_kept(connection: sqlite3.Connection) -> None:
    migrate(connection)
    names = [n for (n,) in connection.execute("SELECT name FROM migrations ORDER BY nth")]
    assert names == list(MIGRATIONS)
