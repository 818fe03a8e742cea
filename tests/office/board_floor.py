"""Four stations on their own server, their board and a browser; fresh for each file."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from board_stage import CHROMIUM, STATIONS, Board, Browser, Wired, served
from shop_server import Postgres

from kiosk.catalog.model import Database
from kiosk.run.state import TicketStage
from kiosk.run.state import commands as c
from kiosk.shop import ServerBoardSource


@pytest.fixture(scope="module")
def stations(
    postgres: Postgres, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[dict[str, Wired]]:
    """Closed, light with a rack, over time, and a station nobody has signed on at."""
    postgres.made("board", *STATIONS)
    with postgres.sql(name="board") as owner:
        owner.execute("CREATE ROLE office LOGIN IN ROLE shop_reader")
    folder = tmp_path_factory.mktemp("board")
    found = {name: Wired(folder / f"{name}.sqlite3") for name in STATIONS}
    found["pier"].begins("harbour", "Harbour Lanterns, away", 18, due="2026-02-01")
    found["quay"].begins("harbour", "Harbour Lanterns, away", 18)
    found["wharf"].begins("raft", "Raft Club", 4, by_hand=True)
    found["slip"].do(c.Start("0.1.0"))
    found["quay"].press_to_rack()
    found["quay"].do(c.Inspect("1/1/1", TicketStage.GOOD), after=30.0)
    found["quay"].press_to_rack()
    for name in ("pier", "wharf"):
        found[name].close()
    found["wharf"].time_up()
    for name, since in zip(STATIONS, (2.0, 10.0, 4.0, 600.0), strict=True):
        found[name].ship(postgres.at(name, "board"), since)
    yield found
    for each in found.values():
        each.recorder.close()
    postgres.unmade("board", "office", *STATIONS)


@pytest.fixture(scope="module")
def place(postgres: Postgres, stations: dict[str, Wired]) -> Database:
    """The shop's server as the office signs in to it."""
    assert stations
    return postgres.at("office", "board")


@pytest.fixture(scope="module")
def board(place: Database) -> Iterator[Board]:
    with served(ServerBoardSource(place)) as found:
        found.until(lambda page: all(f"<h2>{name}</h2>" in page for name in STATIONS))
        yield found


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    if CHROMIUM is None:
        pytest.skip("needs a chromium")
    found = Browser(tmp_path_factory.mktemp("browser"))
    yield found
    found.close()
