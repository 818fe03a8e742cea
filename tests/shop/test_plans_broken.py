"""Rows at the server that are no plan, by hand, fault or another program: who must go on."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager

import psycopg
import pytest
from psycopg.types.json import Jsonb
from shop_folders import BENCH, write
from shop_plans import COOLER, Open, changed, decide, holds, notices
from shop_server import Postgres

from kiosk.__main__ import main
from kiosk.run.facts import ScreenKind
from kiosk.shop import SplitOrder, connect, orders_apart
from kiosk.station.desk.jobs.at_server import AtServer
from kiosk.station.desk.jobs.begin import leave_job
from kiosk.station.desk.sheet import PageKind

FILES = {"materials.yaml": "1:other"}


SHOP = "broken"


@pytest.mark.parametrize(
    "plan",
    [
        ["a", "list"],
        "text",
        {"pressed": "x"},
        {"pressed": "x", "files": ["materials.yaml"]},
        {"pressed": "x", "files": {"materials.yaml": 7}},
        {"pressed": "x", "files": FILES},
    ],
)
def test_an_unreadable_plan_is_reported_and_stops_nothing(
    at: Open, postgres: Postgres, plan: object
) -> None:
    north, south = at("north"), at("south")
    north.begin(shares=True)
    north.close()
    with postgres.sql(name=SHOP) as owner:
        owner.execute("UPDATE shop.claims SET plan = %s", [Jsonb(plan)])
    south.begin(shares=True)
    assert "cannot be read" in notices(south)
    south.press(1)
    last = south.desk.shell.recorder.last
    south.until(lambda: south.beside.status.last == last)
    south.until(lambda: south.desk.of(AtServer).answer is not None)
    south.desk.go(PageKind.SHOP)
    assert "The plan of north at the shop's server cannot be read" in south.said()


def test_the_office_sees_a_broken_plan_until_its_press_is_back(
    at: Open, postgres: Postgres, capsys: pytest.CaptureFixture[str]
) -> None:
    north, south = at("north"), at("south")
    changed(south, COOLER)
    north.begin(shares=True)
    north.close()
    with postgres.sql(name=SHOP) as owner:
        owner.execute("UPDATE shop.claims SET plan = %s", [Jsonb({"pressed": "x"})])
    south.begin(shares=True)
    asked = ["shop", "status", "--recipes", str(south.log.parent / "recipes")]
    place = {"shop": {"database": postgres.at("owner", SHOP).address}}
    write(south.log.parent / "recipes" / "shop.yaml", {"presses": {"press-one": BENCH}, **place})
    main(asked)
    assert "ferry: the plan of north cannot be read." in capsys.readouterr().out
    main([*asked, "--json"])
    told = json.loads(capsys.readouterr().out.splitlines()[-1])
    assert told == {"job": "ferry", "plans": [], "broken": ["north"]}
    north.open()
    decide(north)
    main(asked)
    told = capsys.readouterr().out
    assert "ferry: pressed by different plans: north · south" in told
    assert "cannot be read" not in told


def test_a_plan_sent_again_is_no_longer_reported_as_unreadable(
    at: Open, postgres: Postgres
) -> None:
    """The press put the order back meanwhile: its last correct plan counts."""
    north = at("north")
    north.begin(shares=True)
    north.press(1)
    leave_job(north.desk)
    north.until(lambda: holds(postgres, "north", SHOP) == [])
    with postgres.sql(name=SHOP) as owner:
        owner.execute("UPDATE shop.claims SET plan = '[7]'")
    with connect(postgres.at("owner", SHOP)) as server:
        assert orders_apart(server) == [SplitOrder("ferry", (), ("north",))]
        north.touch("Ferry order", "Read the cautions")
        assert orders_apart(server) == []


@contextmanager
def no_claims(postgres: Postgres) -> Iterator[None]:
    """Take rights away at the server."""
    with postgres.sql(name=SHOP) as owner:
        owner.execute("REVOKE INSERT ON shop.claims FROM shop_station")
        try:
            yield
        finally:
            columns = "job, station, seq, digest, shared"
            owner.execute(f"GRANT INSERT ({columns}) ON shop.claims TO shop_station")


def test_refused_claims_stop_no_event_from_being_sent(at: Open, postgres: Postgres) -> None:
    north = at("north")
    with no_claims(postgres):
        north.begin()  # the file's claim works
        north.press(1)
        last = north.desk.shell.recorder.last
        north.until(lambda: north.beside.status.last == last)
        north.desk.go(PageKind.SHOP)
        assert "permission denied for table claims" in north.said()


def test_a_press_that_cannot_share_an_order_shows_why(at: Open, postgres: Postgres) -> None:
    north = at("north")
    with no_claims(postgres):
        north.begin(shares=True)
        assert "permission denied for table claims" in notices(north)
        assert "away" not in notices(north)
        assert north.desk.shell.state.job is None
    north.tick()
    north.go_on(shares=True)
    assert len(north.job.tickets) == 4


@pytest.mark.parametrize(
    "rows", [7, "text", {"line": "5"}, [5, 6], ["12345"], [["5", "25"]], [["5", "25", 1, "x", ""]]]
)
def test_unreadable_garments_are_reported_and_stop_nothing_else(
    at: Open, postgres: Postgres, rows: object
) -> None:
    """A damaged batch is nobody's to press; batches already taken are finished.

    A current server refuses such rows (013-rows.sql); this batch was damaged before.
    """
    north, south = at("north"), at("south")
    north.begin(shares=True)
    south.begin(shares=True)
    with postgres.sql(name=SHOP) as owner:
        spoil = "UPDATE shop.batches SET garments = %s WHERE batch = 3"
        with pytest.raises(psycopg.errors.CheckViolation):
            owner.execute(spoil, [Jsonb(rows)])
        rule = "ALTER TABLE shop.batches {} CONSTRAINT rows_of_garments {}"
        owner.execute(rule.format("DROP", ""))
        owner.execute(spoil, [Jsonb(rows)])
        owner.execute(rule.format("ADD", "CHECK (shop.are_garments(garments)) NOT VALID"))
    north.press(4)
    last = north.desk.shell.recorder.last
    north.until(lambda: north.beside.status.last == last)
    assert north.kind is ScreenKind.DONE
    north.until(lambda: "cannot be read at the shop's server (batch 3 there)" in north.said())
    assert not north.job.done
    assert len(north.job.batches) == 1
    north.desk.go(PageKind.SHOP)
    assert "(batch 3 there)" in north.said()
