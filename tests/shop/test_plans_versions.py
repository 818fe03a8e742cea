"""Plans are compared if program and server are current; older ones go on, with a notice."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from shop_plans import COOLER, Open, changed, decide, lot, notices, presses
from shop_server import Postgres

from kiosk.run.facts import ScreenKind
from kiosk.shop import SplitOrder, connect, init, orders_apart

OLD = "before_plans"
NEWER = ("plans", "numbers", "left", "rows", "unbegun", "again", "pressed", "copies", "parted")


@pytest.fixture
def old(postgres: Postgres) -> str:
    """A server that an older program set up: the files before 010."""
    return postgres.shop_before("010", OLD)


@pytest.fixture
def new(postgres: Postgres) -> str:
    return postgres.shop("plans_of_all")


@pytest.fixture
def at(postgres: Postgres, new: str, tmp_path: Path) -> Iterator[Open]:
    with presses(tmp_path, postgres, new) as made:
        yield made


@pytest.fixture
def at_old(postgres: Postgres, old: str, tmp_path: Path) -> Iterator[Open]:
    with presses(tmp_path, postgres, old) as made:
        yield made


def test_a_station_with_an_older_program_has_an_unknown_plan(at: Open, postgres: Postgres) -> None:
    north, south = at("north"), at("south")
    changed(south, COOLER)
    north.begin(shares=True)
    north.close()
    with postgres.sql(name="plans_of_all") as owner:  # as an older program would
        owner.execute("UPDATE shop.claims SET plan = NULL")
    south.begin(shares=True)
    assert "The plan at north cannot be compared" in notices(south)
    assert len(south.job.tickets) == 4
    assert south.kind is not ScreenKind.LOT
    north.open()  # with the current program
    decide(north)
    assert "This job is pressed by another plan at north" in lot(south)


def test_an_older_server_without_plans_still_works_with_a_notice(
    at_old: Open, postgres: Postgres
) -> None:
    north, south = at_old("north"), at_old("south")
    changed(south, COOLER)
    north.begin(shares=True)
    assert "plan" not in notices(north)  # it is alone
    south.begin(shares=True)
    assert "until the shop's server is updated" in notices(south)
    north.press(1)
    south.press(1)
    assert (north.pressed, south.pressed) == (["1"], ["5"])
    with connect(postgres.at("owner", OLD)) as server:
        assert orders_apart(server) == []
        assert init(server) == [f"{nth:03}-{name}.sql" for nth, name in enumerate(NEWER, 10)]
        assert "This job is pressed by another plan at south" in lot(north)
        assert "This job is pressed by another plan at north" in lot(south)
        assert orders_apart(server) == [SplitOrder("ferry", (("north",), ("south",)))]
