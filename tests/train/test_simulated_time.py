"""The planned range of minutes against the made-up operator, on every shipped job."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from statistics import median

import pytest

from kiosk.catalog.rules.faces import read_face
from kiosk.commands.load import load
from kiosk.commands.run import order_of
from kiosk.log.record.recorder import Recorder
from kiosk.log.store.store import Store
from kiosk.plan.model import Plan
from kiosk.plan.procedure import plan_job
from kiosk.plan.time.finish import minutes
from kiosk.run.state.event import Event
from kiosk.run.state.events import AskedQuick, Finished, JobStarted
from kiosk.run.state.events_shift import Ruled
from kiosk.run.state.events_station import HandedOver, Held, StationStarted
from kiosk.train.made_up_operator.habits import STEADY, Habits
from kiosk.train.made_up_operator.operator import SimulatedOrder, simulate

ROOT = Path(__file__).resolve().parents[2]
JOBS = sorted(p.parent.name for p in (ROOT / "shared" / "jobs").glob("*/job.yaml"))
SEEDS = 7


def shipped(job: str) -> SimulatedOrder:
    loaded = load(str(ROOT / "shared" / "jobs" / job), ROOT / "recipes")
    assert loaded is not None
    plan = plan_job(loaded.job, loaded.catalog, read_face())
    assert isinstance(plan, Plan)
    return order_of(loaded, plan)


def events(path: Path, order: SimulatedOrder, seed: int, habits: Habits) -> list[Event]:
    recorder = Recorder(Store.open(path, simulated=True))
    try:
        simulate(recorder, order, seed, habits=habits)
    finally:
        recorder.close()
    with Store.read_only(path) as reader:
        return [event for _, event in reader.events()]


def worked(found: list[Event]) -> float:
    """Return the minutes from the job's start to its last garment, without holds, pauses and waits
    for a supervisor, which the plan does not count.
    """
    began = next(n for n, event in enumerate(found) if isinstance(event, JobStarted))
    ended = max(n for n, event in enumerate(found) if isinstance(event, Finished))
    return sum(
        (b.at.clock - a.at.clock) / 60
        for a, b in pairwise(found[began : ended + 1])
        if not isinstance(a, Held | HandedOver)
        and not isinstance(b, Ruled)
        and not isinstance(b, StationStarted)
    )


def of_pace(pace: float) -> Habits:
    return replace(STEADY, quickest=pace, slowest=pace)


@pytest.mark.parametrize("job", JOBS)
def test_the_median_of_simulated_shifts_is_within_the_planned_range(
    job: str, tmp_path: Path
) -> None:
    order = shipped(job)
    low, high = minutes(order.plan, len(order.garments))
    took = [
        worked(events(tmp_path / f"{seed}.sqlite3", order, seed, Habits())) for seed in range(SEEDS)
    ]
    assert low <= median(took) <= high, sorted(took)


@pytest.mark.parametrize("job", JOBS)
def test_the_planned_range_covers_quick_and_slow_hands_closely(job: str, tmp_path: Path) -> None:
    """The quickest and the slowest hands of the same table, without a slip."""
    order = shipped(job)
    low, high = minutes(order.plan, len(order.garments))
    quick, slow = (
        worked(events(tmp_path / f"{pace}.sqlite3", order, 1, of_pace(pace))) for pace in (0.0, 1.0)
    )
    assert low <= quick <= 1.2 * low + 1
    assert high / 1.2 - 1 <= slow <= high


@pytest.mark.parametrize("job", JOBS)
def test_a_steady_operator_is_never_asked_about_going_too_fast(job: str, tmp_path: Path) -> None:
    """Also if the first of two carriers comes off hot and the second waits on the rack."""
    found = events(tmp_path / "log.sqlite3", shipped(job), 1, STEADY)
    assert not any(isinstance(event, AskedQuick) for event in found)
