"""Plans of one order as stored at the server: which claims count, and for what."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any

import pytest
from log_station import Station
from shop_server import Postgres
from test_claims import BEGINS, JOB, ORDER, SHARED

from kiosk.catalog.base import say
from kiosk.catalog.model import Database
from kiosk.log.store import Store
from kiosk.plan.brief import FORM
from kiosk.run.state import JobRun
from kiosk.shop import Claims, JobWish, WishAnswer, connect, orders_apart
from kiosk.shop.plans import by_plan
from kiosk.station.desk.jobs.apart import conflict_of, other_stations, plan_differences

SHOP = "plans_asked"


def brief(digest: str, form: str = FORM) -> dict[str, Any]:
    files = {"materials.yaml": f"{form}:{digest}"}
    rows: dict[str, Any] = {key: [] for key in ("closings", "peels", "pieces", "steps")}
    return {"pressed": digest, "files": files, **rows}


RIGHT, WRONG, OLD = brief("right"), brief("wrong"), brief("old", "0")


@pytest.fixture(scope="module")
def shop(postgres: Postgres) -> Postgres:
    postgres.shop(SHOP, "outer")
    return postgres


class Press:
    def __init__(self, stack: ExitStack, path: Path, database: Database) -> None:
        stack.callback(Station(path).recorder.close)
        server = stack.enter_context(connect(database))
        self.claims = Claims(server, stack.enter_context(Store.read_only(path)))

    def hold(self, wish: JobWish, plan: dict[str, Any]) -> WishAnswer:
        return self.claims.hold(wish._replace(plan=plan))


@pytest.fixture
def presses(shop: Postgres, tmp_path: Path) -> Iterator[tuple[Press, Press, Press]]:
    with shop.sql(name=SHOP) as owner:
        owner.execute("DELETE FROM shop.batches; DELETE FROM shop.claims")
        owner.execute("ALTER TABLE shop.claims ALTER claim RESTART")
    with ExitStack() as stack:
        north, south, outer = (
            Press(stack, tmp_path / f"{role}.sqlite3", shop.at(role, SHOP))
            for role in ("north", "south", "outer")
        )
        yield north, south, outer


Presses = tuple[Press, Press, Press]


def office(shop: Postgres) -> list[tuple[tuple[str, ...], ...]]:
    with connect(shop.at("owner", SHOP)) as server:
        return [each.names for each in orders_apart(server)]


def test_a_plan_does_not_count_once_all_its_garments_are_given_back(
    presses: Presses, shop: Postgres
) -> None:
    """It began with wrong files and left, and its batch was given back: nobody has to be asked."""
    north, south, outer = presses
    north.hold(BEGINS, WRONG)
    outer.hold(BEGINS, WRONG)
    for press in (north, outer):
        press.hold(JobWish(), {})
    over = SHARED._replace(begins=True, wants=True, over=(1, 2))
    assert south.hold(over, RIGHT).ours
    south.claims.give_back(JOB, 1, [])
    south.claims.give_back(JOB, 2, ["6"])  # that one is pressed
    said = south.hold(SHARED._replace(held={3: ORDER[2]}), RIGHT)
    assert [other.name for other in said.others if other.agrees == "other"] == ["outer"]
    assert office(shop) == [(("outer",), ("south",))]


def test_the_plan_of_a_finished_order_raises_no_question(presses: Presses) -> None:
    """A job with the name of an earlier one is shown as done, not as pressed by another plan."""
    north, south, _ = presses
    north.hold(BEGINS, WRONG)
    done = (1, 2, 3)
    with_all = {n: ORDER[n - 1] for n in done}
    for n in done:
        north.hold(SHARED._replace(held={n: with_all[n]}, wants=True), WRONG)
    north.hold(SHARED._replace(done=done), WRONG)
    north.hold(JobWish(), {})
    said = south.hold(BEGINS, RIGHT)
    assert said.ours
    assert (said.others, [batch.done for batch in said.batches]) == ((), [True] * 3)


def test_a_restored_server_never_reuses_the_number_of_a_decided_claim(
    presses: Presses, shop: Postgres
) -> None:
    """South's supervisor decided over north's claim; then the server lost that claim's number."""
    north, south, outer = presses
    south.hold(BEGINS, RIGHT)
    with shop.sql(name=SHOP) as owner:
        [(first,)] = owner.execute("SELECT max(claim) FROM shop.claims").fetchall()
        north.hold(BEGINS._replace(over=(first,)), WRONG)
        [(decided,)] = owner.execute("SELECT max(claim) FROM shop.claims").fetchall()
        owner.execute("UPDATE shop.batches SET claim = NULL, taken = NULL WHERE claim = 2")
        owner.execute("DELETE FROM shop.claims WHERE claim = %s", [decided])
        owner.execute("ALTER TABLE shop.claims ALTER claim RESTART WITH 2")  # as in the backup
        owner.execute("SELECT shop.restored()")
        owner.execute("UPDATE shop.restorings SET at = now() - '1h'::interval")
    outer.hold(BEGINS._replace(over=(first,)), brief("a third"))
    [other] = south.hold(SHARED._replace(held={1: ORDER[0]}, over=(decided,)), RIGHT).others
    assert other.name == "outer"
    assert decided not in other.alike


def test_the_office_searches_only_the_batches_of_a_claims_job(shop: Postgres) -> None:
    """It must not search all batches ever made: the office runs this for each claim, over years."""
    with shop.sql(name=SHOP) as owner:
        owner.execute("SET enable_seqscan = off")
        rows = owner.execute("EXPLAIN SELECT * FROM office.claims").fetchall()
    assert any("(job = c.job)" in line for (line,) in rows)


def test_an_incomparable_plan_hides_no_difference_between_others() -> None:
    """In any starting order, a plan that cannot be compared belongs to no group."""
    known = [("north", RIGHT), ("south", WRONG)]
    apart = (("north",), ("south",))
    assert by_plan([("outer", OLD), *known]) == apart
    assert by_plan([*known, ("outer", OLD)]) == apart
    assert by_plan([("outer", OLD), ("north", RIGHT)]) == ()
    assert by_plan([("north", RIGHT), ("south", RIGHT), ("outer", WRONG)]) == (
        ("north", "south"), ("outer",),
    )  # fmt: skip


def claimed(claim: int, name: str, shared: bool, plan: dict[str, Any]) -> dict[str, Any]:
    agrees = "other" if plan and plan != RIGHT else "same"
    found = {"claim": claim, "name": name, "shared": shared, "agrees": agrees, "plan": plan}
    return {**found, "alike": (claim,), "copy": False}


def test_a_job_pressed_alone_is_shown_before_a_different_plan() -> None:
    """A decision on the page of plans ends no claim that the page does not mention."""
    alone, wrong = claimed(4, "north", False, {}), claimed(5, "outer", True, WRONG)
    found = conflict_of({"job": JOB, "others": [wrong, alone]}, shared=True, plan=RIGHT)
    assert (found.claims, found.stations, found.differs) == ((4,), ("north",), ())
    found = conflict_of({"job": JOB, "others": [wrong]}, shared=True, plan=RIGHT)
    assert (found.claims, len(found.differs)) == ((5,), 1)


def test_presses_with_the_same_plan_are_shown_together() -> None:
    """Joining presses with wrong files shows the difference only once."""
    same = [claimed(n, name, True, WRONG) | {"alike": (1, 2)} for n, name in ((1, "a"), (2, "b"))]
    found = conflict_of({"job": JOB, "others": same}, shared=True, plan=RIGHT)
    assert (found.claims, found.stations) == ((1, 2), ("a", "b"))
    assert found.differs == (say("plan.apart.files", files=("materials.yaml",)),)
    answer = {"others": [{**each, "lines": ()} for each in same], "compares": True}
    [first, second] = other_stations(answer, JobRun(JOB, None, "", {}, ()), RIGHT)  # type: ignore[arg-type]
    assert (first.differs, second.differs) == (found.differs, ())
    assert [*plan_differences(answer, RIGHT)] == [
        say("page.apart", station=("a", "b")),
        *found.differs,
    ]
