"""A wall of twelve stations, each with a job of its own: the stations keep most of its height."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from board_stage import CUT, SPILLS, Browser, Wired, served
from shop_server import Postgres

from kiosk.catalog.model import Database
from kiosk.shop import ServerBoardSource

PRESSES = tuple(f"press-{nth}" for nth in range(12))


@pytest.fixture
def crowd(postgres: Postgres, tmp_path: Path) -> Iterator[Database]:
    postgres.made("crowd", *PRESSES)
    with postgres.sql(name="crowd") as owner:
        owner.execute("CREATE ROLE crowd_office LOGIN IN ROLE shop_reader")
    for name in PRESSES:
        station = Wired(tmp_path / f"{name}.sqlite3")
        station.begins(f"job-{name}", "Harbour Lanterns, away set of the second team", 18)
        station.press_to_rack()
        station.ship(postgres.at(name, "crowd"), 3.0)
        station.recorder.close()
    yield postgres.at("crowd_office", "crowd")
    postgres.unmade("crowd", "crowd_office", *PRESSES)


def test_twelve_stations_keep_most_of_the_wall(crowd: Database, browser: Browser) -> None:
    """Eight jobs in two lines each once left them half of it."""
    with served(ServerBoardSource(crowd)) as board:
        board.until(lambda page: all(f"<h2>{name}</h2>" in page for name in PRESSES))
        browser.opens(f"http://127.0.0.1:{board.port}/wall", 1280, 720)
        assert browser.runs(SPILLS) == browser.runs(CUT) == []
        high = "document.querySelector('.stations').getBoundingClientRect().height"
        assert browser.runs(high) > 720 * 0.6
        assert "more jobs: 8" in browser.runs("document.body.innerText")
