"""The made-up operator, with slips, through the real state machine and the real log."""

from __future__ import annotations

import sys
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "log"))

from all_tickets import ticket_rows
from log_samples import garments, plan
from log_station import TRIGGER, foreign, unsynced

from kiosk.catalog.model import Approver, Demand
from kiosk.log.facts import shifts
from kiosk.log.record.recorder import Recorder, start
from kiosk.log.store import codec
from kiosk.log.store.errors import LogFault, WrongLog
from kiosk.log.store.store import Store
from kiosk.log.verify import verify
from kiosk.run.state.event import Event, Now
from kiosk.run.state.events import SetAside, Skipped
from kiosk.run.state.events_shift import (
    FirstArticleJudged,
    Overridden,
    PressVerified,
    RepressAllowed,
    Ruled,
)
from kiosk.run.state.events_station import HandedOver, Held, SignedOn, StationStarted
from kiosk.run.state.model import TicketStage
from kiosk.run.state.reasons import ASIDE_REASONS, RULING_REASONS, SKIP_REASONS
from kiosk.run.state.rules import Rules
from kiosk.train.made_up_operator.habits import STEADY, Habits
from kiosk.train.made_up_operator.operator import SimulatedOrder, simulate


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "simulated.sqlite3"


def order(count: int, job: str = "ferry-order") -> SimulatedOrder:
    return SimulatedOrder(job, plan(), "hash", garments(count))


def run(path: Path, what: SimulatedOrder, seed: int = 1, count: int | None = None,
        habits: Habits = Habits()) -> int:  # noqa: B008 - a frozen value  # fmt: skip
    recorder = Recorder(unsynced(Store.open(path, simulated=True)))
    try:
        return simulate(recorder, what, seed, count, habits=habits)
    finally:
        recorder.close()


def events(path: Path) -> list[Event]:
    with Store.read_only(path) as reader:
        return [event for _, event in reader.events()]


def stages(path: Path) -> Counter[TicketStage]:
    with Store.read_only(path) as reader:
        return Counter(row.stage for row in ticket_rows(reader))


def test_every_garment_is_made(path: Path) -> None:
    assert run(path, order(12)) == 12
    found = stages(path)
    assert found[TicketStage.GOOD] + found[TicketStage.ACCEPTED] == 12
    assert found.keys() <= {TicketStage.GOOD, TicketStage.ACCEPTED, TicketStage.SCRAP}


def test_the_first_record_says_that_it_is_a_simulation(path: Path) -> None:
    run(path, order(2))
    first = events(path)[0]
    assert isinstance(first, StationStarted)
    assert first.simulated
    with pytest.raises(WrongLog):
        Store.open(path)


def test_the_seed_decides_the_simulated_shift(tmp_path: Path) -> None:
    logs = [tmp_path / f"{n}.sqlite3" for n in range(3)]
    for log, seed in zip(logs, (7, 7, 8), strict=True):
        run(log, order(10), seed)
    assert events(logs[0]) == events(logs[1])
    assert events(logs[0]) != events(logs[2])


def test_without_slips_each_garment_takes_three_taps_and_nothing_else(path: Path) -> None:
    run(path, order(10), habits=STEADY)
    kinds = Counter(codec.encode(event).kind for event in events(path))
    assert kinds["closed"] == 2 * 10
    assert kinds["finished"] == 10
    assert not kinds.keys() & {"taken-back", "held", "asked-closed", "set-aside", "refused"}
    assert stages(path) == {TicketStage.GOOD: 10}


def test_every_kind_of_slip_pause_and_trouble_occurs(path: Path) -> None:
    clumsy = Habits(*[0.05] * 15)
    for seed in range(4):
        run(path, order(60), seed, habits=clumsy)
    kinds = {codec.encode(event).kind for event in events(path)}
    assert kinds >= {
        "held", "restarted", "skipped", "set-aside", "taken-back", "asked-closed", "not-closed",
        "outcome-unknown", "open-said", "went-on", "repress-allowed", "ruled", "read-back",
        "wall-clock-moved",
    }  # fmt: skip
    found = [event for event in events(path) if codec.encode(event).kind == "finished"]
    assert {"rework", "scrap", "accepted"} <= {event.stage.value for event in found}  # type: ignore[attr-defined] # they are Finished
    verdict = verify(path)
    assert verdict.ok
    assert verdict.pressed_twice == 0


def test_the_simulation_stops_after_a_number_of_garments_and_hands_over(path: Path) -> None:
    assert run(path, order(12), count=5) == 5
    assert isinstance(events(path)[-1], HandedOver)
    assert stages(path)[TicketStage.WAITING] > 0


def test_the_simulation_goes_on_where_the_log_ends(path: Path) -> None:
    run(path, order(12), count=5)
    before = events(path)
    assert run(path, order(12)) == 7
    after = events(path)
    assert after[: len(before)] == before
    assert after[len(before)].at.wall > before[-1].at.wall
    found = stages(path)
    assert found[TicketStage.GOOD] + found[TicketStage.ACCEPTED] == 12


def test_a_finished_job_is_started_again_under_another_name(path: Path) -> None:
    run(path, order(3))
    assert run(path, order(3)) == 3
    with Store.read_only(path) as reader:
        jobs = {row.job for row in ticket_rows(reader)}
    assert jobs == {"ferry-order", "ferry-order-run-2"}


def test_more_garments_than_the_roster_take_several_runs(path: Path) -> None:
    assert run(path, order(4), count=10) == 10
    with Store.read_only(path) as reader:
        assert len({row.job for row in ticket_rows(reader)}) == 3


def test_another_job_at_the_press_is_left_first(path: Path) -> None:
    run(path, order(8), count=3)
    assert run(path, order(4, job="quay-herons")) == 4
    assert run(path, order(8)) <= 5
    assert verify(path).ok
    made = stages(path)
    assert made[TicketStage.GOOD] + made[TicketStage.ACCEPTED] == 12


def test_a_long_simulation_has_several_shifts(path: Path) -> None:
    run(path, order(700), habits=STEADY)
    with Store.read_only(path) as reader:
        found = shifts(reader)
    assert len(found) >= 2
    assert all(shift.ended is not None for shift in found)
    assert all((s.ended - s.began) < 9 * 3600 for s in found if s.ended)
    operators = {e.operator for e in events(path) if isinstance(e, SignedOn)}
    assert len(operators) >= 2


def test_every_event_is_acknowledged_once_it_is_on_disk(path: Path) -> None:
    acknowledged: list[int] = []
    with Store.open(path, simulated=True) as store, Store.read_only(path) as reader:
        recorder = Recorder(store)

        def acks(seq: int) -> None:
            with reader.reading():
                assert reader.last >= seq
            acknowledged.append(seq)

        simulate(recorder, order(3), acks=acks)
        assert acknowledged == list(range(1, recorder.last + 1))


def test_a_log_that_accepts_no_more_ends_the_simulation_with_a_fault(path: Path) -> None:
    run(path, order(3), count=1)
    foreign(path, TRIGGER)
    with pytest.raises(LogFault):
        run(path, order(3))
    foreign(path, "DROP TRIGGER full")
    assert run(path, order(3)) == 2


def test_after_a_damaged_log_the_job_is_still_finished(path: Path) -> None:
    run(path, order(12), count=5)
    path.write_bytes(bytes(200) + path.read_bytes()[200:])
    recorder, mended = start(path, Now("made-up-boot", 10.0, 1_770_100_000.0), simulated=True)
    assert mended is not None
    try:
        simulate(recorder, order(12), seed=2)
    finally:
        recorder.close()
    found = stages(path)
    assert found[TicketStage.GOOD] + found[TicketStage.ACCEPTED] == 12
    assert (verify(path).ok, verify(path).pressed_twice) == (True, 0)


STRICT = Rules(
    Demand.ASKED, 3.0, 6.0, first_article=Demand.REQUIRED, approver=Approver.ANOTHER, scrap_limit=1
)


def test_the_simulation_makes_the_checks_a_shop_requires(path: Path) -> None:
    """Every rule is met, and every garment made."""
    assert run(path, replace(order(60), rules=replace(STRICT, verify_seconds=1800.0)), seed=5) == 60
    found = Counter(type(event) for event in events(path))
    assert found[PressVerified] >= 2  # each holds for half an hour
    assert found[FirstArticleJudged] >= 1
    assert found[Overridden] >= 1  # one scrapped garment of a cause holds the job
    assert verify(path).ok


def test_the_simulation_gives_only_reasons_the_station_offers(path: Path) -> None:
    """Otherwise a report of a simulated shift would show them in English in any language."""
    often = replace(Habits(), put_aside=0.1, skip=0.1, rework=0.3, scrap=0.0)
    run(path, order(40), seed=3, habits=often)
    known = {
        SetAside: set(ASIDE_REASONS),
        Skipped: set(SKIP_REASONS),
        Ruled: set(RULING_REASONS),
        RepressAllowed: set(RULING_REASONS),
        Held: {""},
    }
    found = events(path)
    for kind, reasons in known.items():
        given = {getattr(event, "reason", "none") for event in found if isinstance(event, kind)}
        assert given, kind
        assert given <= reasons
