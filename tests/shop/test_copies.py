"""A tablet copied in mid-job: two with one record at one server. Both learn of it, one stops."""

from __future__ import annotations

import json
from pathlib import Path

from shop_copies import (
    EVERY,
    Tablets,
    all_sent,
    both,
    copied_between,
    database,
    decide,
    in_order,
    stopped,
)
from shop_plans import holds
from shop_server import Postgres, events_of, holds_all, sent_events
from test_shop import asked

from kiosk.run.facts import ScreenKind
from kiosk.station.desk.sheet import PageKind

__all__ = ["both", "database"]
SHOP = "copies"


def of_the_job(place: Path, postgres: Postgres, *more: str) -> list[str]:
    """Return the lines on the job from `kiosk shop status`."""
    told = asked(place / "office", postgres.at("owner", SHOP), "shop", "status", *more).out
    return [line for line in told.splitlines() if "ferry" in line]


def test_a_copied_tablet_stops_before_its_next_heat_and_both_learn_of_it(
    both: Tablets, postgres: Postgres, tmp_path: Path
) -> None:
    first, second = copied_between(both)
    assert "This job is also at a copy of this tablet" in stopped(second)
    assert "Pressed at a copy of this tablet: 23" in second.said()  # not what both have: 21, 22
    assert "Pressed here: 21, 22" in second.said()
    assert "Use one of the two from now on" in second.said()
    assert "If the job is put back" not in second.said()
    second.until(lambda: second.beside.status.state == "parted")
    second.desk.go(PageKind.SHOP)
    assert "Another tablet went on with a copy of this record" in second.said()
    assert "This job is also at a copy of this tablet" in stopped(first)

    assert of_the_job(tmp_path, postgres) == [
        "ferry: two tablets work on it with copies of one record (north), and one of them sends "
        "nothing. Use one of the two: a supervisor goes on there."
    ]
    [told] = map(json.loads, of_the_job(tmp_path, postgres, "--json"))
    assert told == {"job": "ferry", "plans": [], "copies": ["north"]}

    decide(first)
    first.until(lambda: of_the_job(tmp_path, postgres) == [])
    first.press(9)
    assert first.job.done
    assert second.kind is ScreenKind.LOT
    assert first.pressed == EVERY
    assert second.pressed == ["1", "2"]
    all_sent(first)
    holds_all(postgres, first.log, SHOP)


def test_a_supervisor_goes_on_at_the_copy_and_the_first_stays_stopped(
    both: Tablets, postgres: Postgres
) -> None:
    """Even if the first one is switched off meanwhile: it does not get the ended claim back."""
    first, second = copied_between(both)
    stopped(second)
    second.until(lambda: "Pressed at a copy of this tablet: 23" in second.said())
    first.close()
    decide(second)
    second.until(lambda: second.beside.answer is not None and second.beside.answer["ours"])
    shared = len(events_of(second.log))
    second.until(lambda: second.beside.status.state == "sent")  # by that decision it joins
    second.press(2)
    all_sent(second)
    first.open()
    assert "This job is also at a copy of this tablet" in stopped(first)
    first.until(lambda: "Pressed at a copy of this tablet: 24, 25" in first.said())
    assert second.kind is not ScreenKind.LOT
    second.press(7)
    assert second.job.done
    assert in_order(first.pressed[2:] + second.pressed) == EVERY
    assert holds(postgres, "north", SHOP) != []
    all_sent(second)
    with postgres.sql(name=SHOP) as connection:
        joined = sent_events(connection, second.log, generation=2)
        assert joined == events_of(second.log)[-len(joined) :]
        assert len(events_of(second.log)) - len(joined) < shared
    all_sent(first)
    holds_all(postgres, first.log, SHOP)


def test_the_first_copy_to_send_is_the_record_and_the_other_stops(
    both: Tablets, postgres: Postgres
) -> None:
    first, copied = both
    first.begin()
    first.press(2)
    all_sent(first)
    first.beside.close()
    second = copied()()
    second.press(1)
    all_sent(second)
    first.press(1)  # away from the server nobody can know of it
    first.beside = first.desk.sending = type(first.beside)(first.log, postgres.at("north", SHOP))
    first.beside.start()
    assert "This job is also at a copy of this tablet" in stopped(first)
    assert first.beside.status.state == "parted"
    first.until(lambda: "Pressed at a copy of this tablet: 23" in first.said())
    assert "Pressed here: 21, 22, 23" in first.said()
    assert "This job is also at a copy of this tablet" in stopped(second)
    all_sent(second)
    holds_all(postgres, second.log, SHOP)


def test_a_copy_that_puts_the_job_back_does_not_free_it(both: Tablets, postgres: Postgres) -> None:
    first, copied = both
    first.begin()
    first.press(2)
    all_sent(first)
    start = copied()
    before = holds(postgres, "north", SHOP)
    first.press(1)
    all_sent(first)
    second = start()
    stopped(second)
    stopped(first)
    second.touch("Put the job back")
    second.until(lambda: holds(postgres, "north", SHOP) == before)
    assert "This job is also at a copy of this tablet" in first.said()  # it may have pressed some
    decide(first)
    first.press(9)
    assert first.pressed == EVERY
    second.touch("Ferry order", "Read the cautions")
    assert "A copy of this tablet has this job" in second.said()


def test_a_copy_holds_no_batch_of_a_shared_order(both: Tablets, postgres: Postgres) -> None:
    """The batch is the first tablet's, which goes on; the copy stops and begins no other batch."""
    first, copied = both
    first.begin(shares=True)
    first.press(2)
    all_sent(first)
    start = copied()
    first.press(1)
    all_sent(first)
    second = start()
    assert "taken at a copy of this tablet: 21, 22, 23, 24" in stopped(second)
    held = second.job.batches
    first.press(2)
    assert second.pressed == ["1", "2"]
    assert first.pressed == ["1", "2", "3", "4", "5"]
    second.touch("Put the job back", "Ferry order", "Read the cautions")
    assert second.kind is ScreenKind.LOT  # taken up again, it is held as before
    assert second.job.batches == held


def test_a_restored_old_copy_presses_nothing_again(both: Tablets, postgres: Postgres) -> None:
    """There is no other tablet: its own copy of this morning was restored after the disk broke."""
    first, copied = both
    first.begin()
    first.press(2)
    all_sent(first)
    start = copied()
    first.press(3)
    all_sent(first)
    first.close()
    first.beside = first.desk.sending = type(first.beside)(first.log, postgres.at("north", SHOP))
    second = start()
    assert "This job is also at a copy of this tablet" in stopped(second)
    second.until(lambda: "Pressed at a copy of this tablet: 23, 24, 25" in second.said())
    decide(second)
    second.press(7)
    assert second.job.done
    assert in_order(second.pressed[2:]) == EVERY[5:]
