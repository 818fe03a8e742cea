"""One order on two presses with different files: who is informed, and who decides."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from shop_folders import BENCH, write
from shop_plans import (
    COOLER,
    Open,
    changed,
    decide,
    finish,
    holds,
    join_apart,
    notices,
    overrides,
    seen,
)
from shop_press import PLAYERS, Press
from shop_server import Postgres, holds_all

from kiosk.__main__ import main
from kiosk.run.facts import ScreenKind
from kiosk.run.state import Overruled
from kiosk.station.desk.jobs.at_server import AtServer
from kiosk.station.desk.jobs.begin import leave_job
from kiosk.station.desk.sheet import PageKind

SHOP = "plans"


def test_a_different_plan_is_shown_before_beginning_and_a_supervisor_decides(
    at: Open, postgres: Postgres
) -> None:
    north, south = at("north"), at("south")
    changed(south, COOLER)
    north.begin(shares=True)
    north.press(1)
    south.begin(shares=True)
    assert south.desk.shell.state.job is None
    assert south.desk.page is PageKind.SET_UP
    assert "This job is pressed by another plan at north" in south.said()
    assert "back, final press: 300 °F · 15 s at north; 280 °F · 15 s here" in south.said()
    assert "Files that differ: materials.yaml" in south.said()
    north.tick()
    assert north.kind is not ScreenKind.LOT  # nobody has joined it

    south.touch("begin anyway")
    south.supervisor()
    assert south.kind is ScreenKind.LOT  # before any garment
    assert "If the plan here is wrong, put the job back." in south.said()
    assert "This job is pressed by another plan at north" in south.said()
    assert "300 °F" in south.said()
    assert overrides(south) == []
    south.touch("Go on by this plan")
    assert "a job that another press presses by another plan" in south.said()
    south.supervisor()
    south.touch("agreed")
    assert overrides(south) == [(Overruled.PLAN, "north", "agreed")]
    north.until(lambda: north.kind is ScreenKind.LOT)
    assert "This job is pressed by another plan at south" in north.said()
    north.touch("Go on by this plan")
    north.supervisor()
    north.touch("agreed")
    told(south)
    finish(north, south)
    for press in (north, south):
        all_sent(press)
        holds_all(postgres, press.log, SHOP)


def all_sent(press: Press) -> None:
    last = press.desk.shell.recorder.last
    press.until(lambda: press.beside.status.last == last)


def told(press: Press) -> None:
    """Check that the notice can still be read at the supervisor's page."""
    press.until(lambda: press.desk.of(AtServer).answer is not None)
    press.desk.go(PageKind.SHOP)
    assert "This job is pressed by another plan at north" in press.said()
    press.desk.go_on()


def test_a_press_with_corrected_files_joins_without_a_notice(at: Open) -> None:
    north, south = at("north"), at("south")
    changed(south, COOLER)
    north.begin(shares=True)
    south.begin(shares=True)
    assert "by another plan" in south.said()
    south.touch("back")
    changed(south)
    south.begin(shares=True)
    assert "plan" not in notices(south)
    assert len(south.job.tickets) == 4


def test_different_press_settings_are_not_a_different_plan(at: Open) -> None:
    """The same sheets, on a press with other settings and another platen."""
    north, south = at("north"), at("south")
    changed(south, bench={**BENCH, "set_temperature": "270 F", "platen": "15 in x 15 in"})
    north.begin(shares=True)
    south.begin(shares=True)
    settings = [press.job.plan.settings[0].closings[-1].temperature for press in (north, south)]
    assert settings == [300, 270]
    assert south.desk.page is PageKind.WORK
    assert "plan" not in notices(south)


def put_back(at: Open, postgres: Postgres) -> tuple[Press, Press]:
    """Return north, which pressed a garment and put the order back, and south with another plan."""
    north, south = at("north"), at("south")
    changed(south, COOLER)
    north.begin(shares=True)
    north.press(1)
    leave_job(north.desk)
    north.until(lambda: holds(postgres, "north") == [])
    return north, south


def test_the_plan_of_a_press_that_put_the_order_back_still_counts(
    at: Open, postgres: Postgres
) -> None:
    _, south = put_back(at, postgres)
    south.begin(shares=True)
    assert "This job is pressed by another plan at north" in south.said()
    assert south.desk.shell.state.job is None


def test_a_resumed_job_keeps_its_plan_whatever_the_files_say(at: Open, postgres: Postgres) -> None:
    north, south = put_back(at, postgres)
    join_apart(south)
    north.touch("Ferry order", "Read the cautions")
    assert "This job is pressed by another plan at south" in north.said()
    assert "began here with this plan and keeps it" in north.said()
    assert "Put the files right" not in north.said()
    assert "a supervisor at south gives this press's garments back" in north.said()
    north.touch("go on anyway")
    north.supervisor()
    assert north.kind is ScreenKind.LOT


def test_a_supervisor_is_asked_only_once(at: Open, postgres: Postgres) -> None:
    """Even if the other press put the order back meanwhile and took it up again."""
    north, south = at("north"), at("south")
    changed(south, COOLER)
    north.begin(shares=True)
    join_apart(south)
    decide(south)
    decide(north)
    leave_job(north.desk)
    north.until(lambda: holds(postgres, "north") == [])
    north.touch("Ferry order", "Read the cautions")
    [anew] = holds(postgres, "north")
    south.until(lambda: anew in seen(south))
    assert south.kind is not ScreenKind.LOT
    north.until(lambda: bool(seen(north)))
    assert north.kind is not ScreenKind.LOT
    assert len(overrides(south)) == len(overrides(north)) == 1


def test_the_office_sees_which_press_uses_which_plan(
    at: Open, postgres: Postgres, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    north, south = at("north"), at("south")
    north.begin(shares=True)
    recipes = ["--recipes", str(tmp_path / "office")]
    shutil.copytree(north.log.parent / "recipes", tmp_path / "office")
    shop = {"presses": {"press-one": BENCH}}
    address = postgres.at("owner", SHOP).address
    write(tmp_path / "office" / "shop.yaml", {**shop, "shop": {"database": address}})
    main(["shop", "status", *recipes])
    assert SHOP not in capsys.readouterr().out
    changed(south, COOLER)
    join_apart(south)
    main(["shop", "status", *recipes])
    assert "ferry: pressed by different plans: north · south" in capsys.readouterr().out
    main(["shop", "status", "--json", *recipes])
    told = json.loads(capsys.readouterr().out.splitlines()[-1])
    assert told == {"job": "ferry", "plans": [["north"], ["south"]]}


def test_a_station_cannot_store_a_plan_for_another(at: Open, postgres: Postgres) -> None:
    at("north").begin(shares=True)
    with postgres.sql("south", SHOP) as other:
        other.execute("UPDATE shop.claims SET plan = '{}'")
    with postgres.sql(name=SHOP) as owner:
        [(plan,)] = owner.execute("SELECT plan FROM shop.claims").fetchall()
    assert plan["files"]
    assert not any(name in json.dumps(plan) for name in PLAYERS)
