"""Two presses on one order, each with its own recipes, which are edited."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
import yaml
from shop_folders import BENCH, FILM, write
from shop_press import Open, Press, at_one_server
from shop_server import Postgres

from kiosk.log.store import Store
from kiosk.run.facts import ScreenKind
from kiosk.run.state import Overruled
from kiosk.run.state.events_shift import Overridden
from kiosk.run.state.model import TicketStage
from kiosk.station.desk.jobs.at_server import AtServer
from kiosk.words import Words

COOLER = copy.deepcopy(FILM)
COOLER["temperature"] = {"low": "260 F", "high": "290 F", "normal": "280 F"}


@contextmanager
def presses(place: Path, postgres: Postgres, database: str) -> Iterator[Open]:
    """Yield presses of a shop that knows no job yet; each has reached the server."""
    with at_one_server(place, postgres, database) as opened:

        def made(role: str) -> Press:
            press = opened(role)
            press.until(lambda: press.beside.status.state == "sent")
            return press

        yield made


@pytest.fixture(scope="module")
def database(request: pytest.FixtureRequest, postgres: Postgres) -> str:
    """Create the shop named SHOP in the test file."""
    return postgres.shop(request.module.SHOP)


@pytest.fixture
def at(postgres: Postgres, database: str, tmp_path: Path) -> Iterator[Open]:
    with presses(tmp_path, postgres, database) as made:
        yield made


def changed(press: Press, film: Any = FILM, bench: Any = BENCH) -> None:
    """Edit the recipes of a station that shows its page of jobs."""
    recipes = press.log.parent / "recipes"
    shop = yaml.safe_load((recipes / "shop.yaml").read_text("utf-8"))
    write(recipes / "shop.yaml", {**shop, "presses": {"press-one": bench}})
    write(recipes / "materials.yaml", {"film": film})
    press.touch("Ferry order", "back")


def overrides(press: Press) -> list[tuple[Overruled, str, str]]:
    """Return what a supervisor approved there, according to its record."""
    with Store.read_only(press.log) as store:
        events = [each.event for each in store.entries()]
    return [(e.what, e.about, e.reason) for e in events if isinstance(e, Overridden)]


def notices(press: Press) -> str:
    """Return the notices above the page."""
    return "\n".join(map(Words("en").say, press.desk.shell.notices(press.now())))


def decide(press: Press) -> None:
    """Let the press go on with its own plan, as a supervisor."""
    press.until(lambda: press.kind is ScreenKind.LOT)
    press.touch("Go on by this plan")
    press.supervisor()
    press.touch("agreed")


def join_apart(press: Press) -> None:
    """Begin the job with another plan and a supervisor's approval."""
    press.begin(shares=True)
    press.touch("begin anyway")
    press.supervisor()


def lot(press: Press) -> str:
    press.until(lambda: press.kind is ScreenKind.LOT)
    return press.said()


def holds(postgres: Postgres, role: str, name: str = "plans") -> list[int]:
    """Return a station's active claims at the server."""
    with postgres.sql(name=name) as owner:
        asked = "SELECT claim FROM shop.claims WHERE ended IS NULL AND role = %s"
        return [claim for (claim,) in owner.execute(asked, [role])]


def seen(press: Press) -> list[int]:
    """Return the claims of others that a station knows of."""
    answer = press.desk.of(AtServer).answer
    return [] if answer is None else [other["claim"] for other in answer["others"]]


def finish(north: Press, south: Press) -> None:
    """Finish the order, each with its own plan; check that every garment is pressed once."""
    while not (north.job.done and south.job.done):
        for press in (north, south):
            if press.kind is not ScreenKind.DONE:
                press.press(1)
            press.tick()
    assert sorted(north.pressed + south.pressed, key=int) == [str(n) for n in range(1, 13)]
    for press in (north, south):
        assert not [t for t in press.job.tickets.values() if t.stage is TicketStage.VOID]
