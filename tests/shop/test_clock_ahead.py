"""A tablet whose clock was years ahead: the office still sees the others' last day."""

from __future__ import annotations

import time
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from log_station import Station
from shop_server import Postgres

from kiosk.catalog.model import Database
from kiosk.log.facts import Shift
from kiosk.office import pages
from kiosk.run.state import Now
from kiosk.shop import records, ship
from kiosk.station.desk.shift.shift_choice import choose, last_day
from kiosk.words import Words

SHOP = "clock_ahead"
AHEAD = datetime(2099, 12, 3, 12, tzinfo=UTC).timestamp()


class Wrong(Station):
    """A station whose machine has the wrong time."""

    wall = 0.0

    @property
    def now(self) -> Now:
        return Now("a boot", self.clock, self.wall + self.clock)


def worked(path: Path, wall: float) -> Path:
    station = Wrong(path)
    station.wall = wall
    station.begin(4)
    station.press_to_rack()
    station.recorder.close()
    return path


@pytest.fixture
def office(postgres: Postgres, tmp_path: Path) -> Iterator[Database]:
    """The shop with north at the right time, and south's clock in 2099."""
    name = postgres.shop(SHOP)
    for role, wall in (("north", time.time()), ("south", AHEAD)):
        ship(worked(tmp_path / role, wall), postgres.at(role, name))
    yield postgres.at("owner", name)
    postgres.unmade(name)


def test_a_clock_ahead_does_not_set_the_last_day(office: Database) -> None:
    with records(office) as sources:
        logs = pages.shifts_of_all(sources)
        chosen = choose(logs, "day")
        assert chosen is not None
        assert [len(shifts) for shifts in chosen.reported] == [1, 0]
        week = choose(logs, "week")
        assert week is not None
        assert [len(shifts) for shifts in week.reported] == [1, 0]
        alone = choose(logs[1:], "day")  # by itself it has no other day
        assert alone is not None
        assert [len(shifts) for shifts in alone.reported] == [1]


def test_the_office_page_opens_at_the_real_day_and_links_to_2099(office: Database) -> None:
    with records(office) as sources:
        _, values = pages.shift(list(sources), {}, Words("en"))
    form = values["form"]
    assert date.today() - date.fromisoformat(form["day"]) <= timedelta(days=1)
    assert form["after"] is not None
    assert form["after"].year == 2099


def test_a_day_ahead_is_today_in_another_time_zone() -> None:
    """The time of a press east of the office, a little after its midnight."""
    now = time.time()
    shifts = tuple(Shift(n, n, n, now + n * 86_400, None) for n in (0, 1))
    assert last_day([shifts]) == date.fromtimestamp(now + 86_400)
