"""A job begun with a wrong plan can begin again with the right one if nothing is pressed yet."""

from __future__ import annotations

from shop_plans import COOLER, Open, changed, decide, finish, holds, join_apart, notices, overrides
from shop_press import Press
from shop_server import Postgres, holds_all, sheet_line

from kiosk.log.facts import shifts_of_all
from kiosk.report.answers.counts import job_counts
from kiosk.run.facts import ScreenKind
from kiosk.shop import connect, orders_apart, records
from kiosk.station.desk.jobs.begin import leave_job
from kiosk.station.desk.sheet import PageKind
from kiosk.station.desk.shift import report_data, shift_choice

SHOP = "begun_again"
AGAIN = "begin again"


def wrongly_begun(at: Open, shares: bool = True) -> Press:
    """Let north begin with recipes that are corrected afterwards."""
    north = at("north")
    changed(north, COOLER)
    north.begin(shares)
    return north


def put_right(press: Press) -> None:
    """Put the job back, correct the recipes and look at the job."""
    leave_job(press.desk)
    changed(press)
    press.touch("Ferry order")


def offered(press: Press) -> bool:
    right = press.sheet.right
    return right is not None and right.label == AGAIN


def begin_again(press: Press) -> None:
    assert "280 °F" in press.said()
    assert "Nothing is pressed: a supervisor can begin again by the new files" in press.said()
    press.touch(AGAIN)
    assert "To begin this job again" in press.said()
    press.supervisor()
    assert press.desk.page is PageKind.SET_UP
    assert "300 °F" in press.said()
    assert "No longer begun" in notices(press)


def test_a_shared_order_is_begun_again_with_the_right_files(at: Open, postgres: Postgres) -> None:
    north, south = wrongly_begun(at), at("south")
    south.begin(shares=True)
    assert "This job is pressed by another plan at north" in south.said()
    south.touch("back")
    south.tick()
    put_right(north)
    begin_again(north)
    north.go_on(shares=True)
    assert [batch.lines for batch in north.job.batches] == [("1", "2", "3", "4")]
    assert north.job.plan.settings[0].closings[-1].temperature == 300
    south.begin(shares=True)
    finish(north, south)
    assert overrides(north) == overrides(south) == []
    with connect(postgres.at("owner", SHOP)) as server:
        assert orders_apart(server) == []
    for press in (north, south):
        all_sent(press)
        holds_all(postgres, press.log, SHOP)
    assert sheet_line(postgres, SHOP) == "All done: 12 garments good or accepted."


def all_sent(press: Press) -> None:
    press.until(lambda: press.beside.status.last == press.desk.shell.recorder.last)


def test_a_held_press_goes_on_once_the_wrong_plan_is_replaced(at: Open, postgres: Postgres) -> None:
    north, south = wrongly_begun(at), at("south")
    south.begin(shares=True)
    south.touch("begin anyway")
    south.supervisor()
    decide(south)
    north.until(lambda: north.kind is ScreenKind.LOT)
    assert "it can begin again with other files" in north.said()
    put_right(north)
    begin_again(north)
    north.until(lambda: holds(postgres, "north", SHOP) == [])
    north.until(lambda: taken(postgres) == ["south"])  # north's garments can be taken again
    north.go_on(shares=True)
    assert north.kind is not ScreenKind.LOT
    finish(north, south)


def test_a_held_press_goes_on_once_the_other_press_has_the_same_plan(at: Open) -> None:
    """Even if it learns this only after garments were pressed there with the right plan."""
    north, south = at("north"), at("south")
    changed(south, COOLER)
    north.begin(shares=True)
    join_apart(south)
    north.until(lambda: north.kind is ScreenKind.LOT)
    north.close()
    put_right(south)
    begin_again(south)
    south.go_on(shares=True)
    south.press(1)
    all_sent(south)
    north.open()
    north.until(lambda: north.kind is not ScreenKind.LOT)
    assert overrides(north) == []
    finish(north, south)


def test_an_order_shared_by_mistake_is_begun_again_alone(at: Open, postgres: Postgres) -> None:
    north = at("north")
    north.begin(shares=True)
    leave_job(north.desk)
    north.touch("Ferry order")
    assert "Recipe or list changed" not in north.said()
    north.touch(AGAIN)
    north.supervisor()
    north.until(lambda: taken(postgres) == [])
    north.go_on()
    assert len(north.job.tickets) == 12


def taken(postgres: Postgres) -> list[str]:
    """Return who has taken batches."""
    with postgres.sql(name=SHOP) as owner:
        asked = "SELECT name FROM office.batches WHERE name IS NOT NULL"
        return [name for (name,) in owner.execute(asked)]


def test_an_unshared_job_begun_again_is_counted_once_in_reports(
    at: Open, postgres: Postgres
) -> None:
    north = wrongly_begun(at, shares=False)
    put_right(north)
    begin_again(north)
    all_sent(north)
    holds_all(postgres, north.log, SHOP)
    assert made(postgres) == []
    north.go_on()
    north.press(12)
    assert north.job.done
    all_sent(north)
    holds_all(postgres, north.log, SHOP)
    assert made(postgres) == [(12, 12)]
    assert sheet_line(postgres, SHOP) == "All done: 12 garments good or accepted."


def made(postgres: Postgres) -> list[tuple[int, int]]:
    """Return ordered and good garments of each job in the day's report."""
    with records(postgres.at("owner", SHOP)) as sources:
        chosen = shift_choice.choose(shifts_of_all(sources), "day")
        assert chosen is not None
        jobs = job_counts(report_data.read(sources, chosen).period)
    return [(job.ordered, job.good) for job in jobs if job.ordered]


def test_a_job_with_a_pressed_garment_keeps_its_plan(at: Open) -> None:
    north = wrongly_begun(at)
    north.press(1)
    put_right(north)
    assert "it goes on as it was begun" in north.said()
    assert not offered(north)


def test_unusable_files_are_reported_and_the_job_stays(at: Open) -> None:
    north = wrongly_begun(at)
    leave_job(north.desk)
    changed(north, {**COOLER, "total_heat": "5 s"})  # less than one closing
    north.touch("Ferry order", AGAIN)
    north.supervisor()
    assert north.desk.page is PageKind.FAULTS
    assert "ferry" in north.desk.shell.state.others
