"""A press is out of order with scrapped or unfinished garments: what goes back, what is shown."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from shop_press import Open, Press, at_one_server
from shop_server import Postgres, sheet_line

from kiosk.run.facts import ScreenKind
from kiosk.run.state import commands as c
from kiosk.run.state.model import TicketStage
from kiosk.station.desk.jobs.at_server import AtServer
from kiosk.station.desk.jobs.begin import leave_job
from kiosk.station.desk.sheet import PageKind
from kiosk.station.desk.shift.shop import _names

SHOP = "given_back"


@pytest.fixture(scope="module")
def database(postgres: Postgres) -> str:
    return postgres.shop(SHOP, "late")


@pytest.fixture
def at(postgres: Postgres, database: str, tmp_path: Path) -> Iterator[Open]:
    with at_one_server(tmp_path, postgres, database) as made:
        yield made


def ends(press: Press, stage: TicketStage) -> None:
    """Press the next garment; it ends with that result."""

    def pressed() -> bool:
        there = press.job.tickets.get(press.job.slot)
        return there is not None and bool(there.finals) and press.desk.shell.state.heat is None

    press.step(pressed)
    spoilt = c.Inspect(press.job.slot, stage, "scorch", "over_run")
    assert press.desk.shell.do(spoilt).refusal is None


def sent(press: Press) -> None:
    press.until(lambda: press.beside.status.last == press.desk.shell.recorder.last)


def one_of_each(at: Open) -> tuple[Press, Press]:
    """Return north, and south with one good, one to rework and last a scrap, now out of order."""
    north, south = at("north"), at("south")
    for press in (north, south):
        press.until(lambda press=press: press.beside.status.state == "sent")  # type: ignore[misc]
        press.begin(shares=True)
    south.press(1)  # 25
    ends(south, TicketStage.REWORK)  # 26
    ends(south, TicketStage.SCRAP)  # 27
    south.until(lambda: len(south.job.batches) == 2)
    sent(south)
    south.close()
    north.press(4)
    return north, south


def looks_at(north: Press, batch: str) -> list[tuple[str, str]]:
    """Look at a batch as north's supervisor; return each garment button's label and line."""
    north.until(lambda: north.desk.of(AtServer).answer is not None)
    north.touch("Supervisor")
    north.supervisor()
    north.touch("The shop's server", batch)
    return [(button.label, button.line) for button in north.sheet.choices]


GOES, STAYS = "goes back", "not finished: stays there"


def test_a_garment_scrapped_at_the_broken_press_goes_back(at: Open, postgres: Postgres) -> None:
    """It was pressed, but its new copy was not: somebody has to press that one."""
    north, south = one_of_each(at)
    assert looks_at(north, "4 garments at south") == [
        ("Number 26", STAYS), ("Number 27", GOES), ("Number 28", GOES),
    ]  # fmt: skip
    assert "Known to be pressed: 25" in north.said()
    assert "Pressed there, not finished: 26" in north.said()
    north.touch("Give 2 garments back")
    north.until(lambda: len(north.job.batches) == 2)
    north.touch("4 garments at south", "Give 4 garments back")
    north.until(lambda: len(north.job.batches) == 3)
    north.touch("back", "back")
    north.press(6)
    north.until(lambda: north.job.done)
    assert "done 11 of 12, here 0, at other presses 1, not taken 0" in north.said()
    sent(north)
    assert sheet_line(postgres, SHOP) == "NOT all done: 1 of 12 garments is not finished."
    south.open()
    south.until(lambda: south.kind is ScreenKind.LOT)
    given = "Pressed, given back or taken at north: 27, 28, 29, 30, 31, 32"
    assert given in south.said()
    assert "at either press" not in south.said()  # north goes on
    south.touch("Go on here")
    south.supervisor()
    south.touch("agreed")
    [mended] = [t.id for t in south.job.tickets.values() if t.stage is TicketStage.REWORK]
    south.desk.shell.do(c.Inspect(mended, TicketStage.GOOD))
    south.until(lambda: south.job.done)
    sent(south)
    assert sheet_line(postgres, SHOP) == "All done: 12 garments good or accepted."


def test_a_supervisor_can_give_back_an_unfinished_garment_too(at: Open) -> None:
    north, _ = one_of_each(at)
    looks_at(north, "4 garments at south")
    north.touch("Number 26")
    assert [button.line for button in north.sheet.choices] == [GOES] * 3
    north.touch("Give 3 garments back")
    north.until(lambda: len(north.job.batches) == 2)
    assert north.job.batches[1].lines == ("6", "7", "8")


def test_a_job_is_taken_over_with_its_scrapped_garments(at: Open, postgres: Postgres) -> None:
    """Pressed alone at first: the scrapped garment does not count as pressed."""
    north, south = at("north"), at("south")
    for press in (north, south):
        press.until(lambda press=press: press.beside.status.state == "sent")  # type: ignore[misc]
    north.begin()
    north.press(1)  # 21
    ends(north, TicketStage.SCRAP)  # 22
    sent(north)
    leave_job(north.desk)
    north.until(lambda: north.beside.status.last == north.desk.shell.recorder.last)
    south.begin()
    assert "Pressed at north: 21\n" in south.said()
    south.touch("Go on here")
    south.supervisor()
    south.touch("agreed")
    south.press(11)
    assert south.job.done
    sent(south)
    assert sheet_line(postgres, SHOP) == "All done: 12 garments good or accepted."


def alone_with_all(at: Open) -> tuple[Press, Press]:
    """Return north, and south with the whole order taken and half pressed; then south breaks."""
    north, south = at("north"), at("south")
    for press in (north, south):
        press.until(lambda press=press: press.beside.status.state == "sent")  # type: ignore[misc]
    south.begin(shares=True)
    for nth in (2, 3):
        south.press(3)
        south.until(lambda nth=nth: len(south.job.batches) == nth)  # type: ignore[misc]
    sent(south)
    south.close()
    return north, south


def test_a_press_joins_although_a_broken_one_holds_all_batches(
    at: Open, postgres: Postgres
) -> None:
    north, _ = alone_with_all(at)
    north.begin(shares=True)
    assert "All garments of this job are at other presses" in north.said()
    north.tick()
    north.touch("give back")
    assert "To give another press's garments back" in north.said()
    north.supervisor()
    north.touch("4 garments at south")
    assert "Known to be pressed: 25, 26" in north.said()
    north.touch("Give 2 garments back")
    north.until(lambda: north.desk.page is PageKind.WORK)
    assert [batch.lines for batch in north.job.batches] == [("7", "8")]
    north.press(2)
    looks_at(north, "4 garments at south")
    north.touch("Give 4 garments back", "back", "back")
    north.until(lambda: len(north.job.batches) == 2)
    north.press(4)
    north.until(lambda: north.job.done)
    sent(north)
    assert sheet_line(postgres, SHOP) == "All done: 12 garments good or accepted."


def test_joining_a_finished_order_is_refused(at: Open) -> None:
    north, south = alone_with_all(at)
    south.open()
    south.press(6)
    south.until(lambda: south.job.done)
    sent(south)
    north.begin(shares=True)
    assert "All garments of this job are done at other presses." in north.said()
    assert [button.label for button in (north.sheet.right,) if button] != ["give back"]


def test_a_garment_of_a_finished_order_can_be_open_again(at: Open, postgres: Postgres) -> None:
    """South took its last result back, scrapped the garment and broke."""
    _, south = alone_with_all(at)
    south.open()
    south.press(6)
    south.until(lambda: south.job.done)
    sent(south)
    assert sheet_line(postgres, SHOP) == "All done: 12 garments good or accepted."
    south.desk.shell.do(c.Back())
    spoilt = c.Inspect(south.job.slot, TicketStage.SCRAP, "scorch", "over_run")
    assert south.desk.shell.do(spoilt).refusal is None
    sent(south)
    south.until(lambda: any(not each["done"] for each in batches(south)))
    south.close()
    assert sheet_line(postgres, SHOP) == "NOT all done: 1 of 12 garments is not finished."
    late = at("late")
    late.until(lambda: late.beside.status.state == "sent")
    late.begin(shares=True)
    late.touch("give back")
    late.supervisor()
    late.touch("4 garments at south", "Give 1 garment back")
    late.until(lambda: late.desk.page is PageKind.WORK)
    late.press(1)
    late.until(lambda: late.job.done)
    sent(late)
    assert sheet_line(postgres, SHOP) == "All done: 12 garments good or accepted."


def batches(press: Press) -> list[dict[str, Any]]:
    answer = press.desk.of(AtServer).answer
    return [] if answer is None else answer["batches"]


def test_leaving_the_pin_page_joins_nothing(at: Open, postgres: Postgres) -> None:
    north, _ = alone_with_all(at)
    north.begin(shares=True)
    north.touch("give back", "back")
    assert north.desk.page is PageKind.SET_UP
    north.tick()
    with postgres.sql(name=SHOP) as owner:
        north.until(lambda: owner.execute(STANDING).fetchall() == [("south",)])


STANDING = "SELECT role::text FROM shop.claims WHERE ended IS NULL"


def test_garments_with_the_same_number_are_shown_with_their_lines() -> None:
    rows = [["10", "17", "AM", "a", ""], ["11", "17", "AM", "b", ""], ["12", "", "AM", "c", ""]]
    assert _names(rows) == {"10": "17 #10", "11": "17 #11", "12": "#12"}
