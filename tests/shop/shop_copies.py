"""Two tablets with one record: it was copied in the middle of a job, and both are switched on."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing, contextmanager
from pathlib import Path

import pytest
from shop_press import Press, shared_jobs
from shop_server import Postgres
from test_presses import reached

from kiosk.run.facts import ScreenKind

EVERY = [str(n) for n in range(1, 13)]
Copied = Callable[..., Callable[[], Press]]
"""Copies the first tablet's record to a second one; returns a function that starts the second."""
Tablets = tuple[Press, Copied]


@contextmanager
def tablets(place: Path, postgres: Postgres, database: str) -> Iterator[Tablets]:
    """Yield a tablet at the server, and a function that copies its record and jobs' folder.

    The folder is only synced, so its claim file stops neither of them.
    """
    with postgres.sql(name=database) as connection:
        connection.execute("DELETE FROM shop.batches; DELETE FROM shop.claims")
        connection.execute("DELETE FROM shop.garment")
    shared_jobs(place)
    with ExitStack() as stack:

        def opened(where: Path, role: str) -> Press:
            press = Press(where, postgres, role, database)
            stack.callback(lambda: press.close())
            return press

        first = opened(place, "north")

        def copied(role: str = "north") -> Callable[[], Press]:
            second = place / "second"
            (second / role).mkdir(parents=True)
            shutil.copytree(place / "jobs", second / "jobs")
            with closing(sqlite3.connect(second / role / "station.sqlite3")) as file:
                first.desk.shell.recorder.store.copy_into(file, -1)
            return lambda: opened(second, role)

        reached(first)
        yield first, copied


@pytest.fixture(scope="module")
def database(request: pytest.FixtureRequest, postgres: Postgres) -> str:
    """Create the shop named SHOP in the test file."""
    return postgres.shop(request.module.SHOP)


@pytest.fixture
def both(postgres: Postgres, database: str, tmp_path: Path) -> Iterator[Tablets]:
    with tablets(tmp_path, postgres, database) as found:
        yield found


def all_sent(press: Press) -> None:
    """Wait until the server has all of the press's events, including those that sending causes."""
    press.until(lambda: press.beside.status.last == press.desk.shell.recorder.last)


def copied_between(both: Tablets, role: str = "north") -> tuple[Press, Press]:
    """Return a tablet that has pressed 21 to 23, all sent, and its copy made after 21 and 22."""
    first, copied = both
    first.begin()
    first.press(2)
    all_sent(first)
    start = copied(role)
    first.press(1)
    all_sent(first)
    return first, start()


def stopped(press: Press) -> str:
    """Wait until the press calls no more garments; return the text of its page."""
    press.until(lambda: press.kind is ScreenKind.LOT)
    return press.said()


def decide(press: Press) -> None:
    """Let the press go on, as a supervisor."""
    press.touch("Go on here")
    press.supervisor()
    press.touch("agreed")


def in_order(pressed: list[str]) -> list[str]:
    return sorted(pressed, key=int)
