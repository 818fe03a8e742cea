"""Copies of a tablet in special cases: another name, no server, an older server."""

from __future__ import annotations

from pathlib import Path

from shop_copies import Tablets, all_sent, both, copied_between, database, decide, stopped, tablets
from shop_plans import holds
from shop_press import Press, shared_jobs, until
from shop_server import OWNER, Postgres
from test_presses import reached

from kiosk.run.facts import ScreenKind
from kiosk.shop import connect, init, ship

__all__ = ["both", "database"]
SHOP = "copies_elsewhere"


def test_a_copy_signed_in_under_another_name_stops_too(both: Tablets, postgres: Postgres) -> None:
    """It cannot claim for north's record; north learns of it once it has joined."""
    first, copied = both
    first.begin()
    first.press(2)
    all_sent(first)
    second = copied("south")()
    first.press(1)
    all_sent(first)
    assert "This job is also at north" in stopped(second)
    second.until(lambda: "Pressed at north: 23" in second.said())
    assert second.beside.status.state == "parted"
    assert holds(postgres, "south", SHOP) == []
    assert first.kind is not ScreenKind.LOT
    ship(second.log, postgres.at("south", SHOP), new_generation=True)
    second.close()
    second.open()
    decide(second)
    second.press(2)
    assert "This job is also at south" in stopped(first)
    first.until(lambda: "Pressed at south: 24, 25" in first.said())
    assert "Pressed here: 21, 22, 23" in first.said()


def test_offline_copies_stop_only_once_they_reach_the_server(
    both: Tablets, postgres: Postgres
) -> None:
    """A limit stated in docs/shop.md: what both pressed meanwhile is reported, not prevented."""
    first, copied = both
    first.begin()
    first.press(2)
    all_sent(first)
    second = copied()()
    postgres.kill()
    first.press(1)
    second.press(2)
    assert first.pressed == ["1", "2", "3"]
    assert second.pressed == ["1", "2", "3", "4"]
    postgres.start()
    for press in (first, second):
        assert "This job is also at a copy of this tablet" in stopped(press)
    known = "Pressed at a copy of this tablet: 23"
    until(lambda: known in first.said() or known in second.said())


def test_a_copy_stops_at_an_older_server_too(postgres: Postgres, tmp_path: Path) -> None:
    """What the other has pressed is shown once the server is updated."""
    older = postgres.shop_before("017", "before_copies")
    with tablets(tmp_path, postgres, older) as both_there:
        first, second = copied_between(both_there)
        assert "Pressed at a copy of this tablet: none known" in stopped(second)
        assert "This job is also at a copy of this tablet" in stopped(first)
        with connect(postgres.at(OWNER, older)) as server:
            assert init(server) == ["017-copies.sql", "018-parted.sql"]
        second.until(lambda: "Pressed at a copy of this tablet: 23" in second.said())
        decide(second)
        assert first.kind is ScreenKind.LOT


def test_another_record_under_the_same_name_is_distinguished(
    both: Tablets, postgres: Postgres, tmp_path: Path
) -> None:
    """A spare tablet with the service file of the broken one is neither a copy nor that tablet."""
    first, _ = both
    first.begin()
    first.press(2)
    all_sent(first)
    shared_jobs(tmp_path / "spare")
    spare = Press(tmp_path / "spare", postgres, "north", SHOP)
    try:
        reached(spare)
        spare.begin()
        broke = f"north ({first.desk.shell.recorder.store.station[-4:]})"
        assert f"{broke} is working on this job" in spare.said()
        spare.touch("take over")
        spare.supervisor()
        assert f"This job is also at {broke}" in spare.said()
        assert f"Pressed at {broke}: 21, 22" in spare.said()
        own = f"north ({spare.desk.shell.recorder.store.station[-4:]})"
        assert f"This job is also at {own}" in stopped(first)
    finally:
        spare.close()
