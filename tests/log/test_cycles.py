"""A shop's own cycle times, read from its log."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from log_samples import garments, plan

from kiosk.log.facts.shifts import LONGEST_SECONDS, cycles
from kiosk.log.record.recorder import Recorder
from kiosk.log.store.store import Store
from kiosk.plan.time.handling import procedure
from kiosk.train.made_up_operator.operator import SimulatedOrder, simulate


def test_a_pressed_job_leaves_plausible_cycle_times(tmp_path: Path) -> None:
    recorder = Recorder(Store.open(tmp_path / "log"))
    order = SimulatedOrder("ferry-order", plan(), "hash", garments(12))
    simulate(recorder, order, 1, 12)
    recorder.close()
    with Store.read_only(tmp_path / "log") as store:
        found = cycles(store)
    assert set(found) == {procedure(plan(), run) for run in range(len(plan().runs))}
    dwell = sum(step.seconds or 0 for step in plan().passes[0].steps)
    for seconds in found.values():
        assert len(seconds) >= 5
        assert all(0 < s <= LONGEST_SECONDS for s in seconds)
    assert max(found[procedure(plan(), 0)]) > dwell


def test_a_log_without_jobs_has_no_cycles(tmp_path: Path) -> None:
    with Store.open(tmp_path / "log") as store:
        assert cycles(store) == {}


def test_only_the_latest_shifts_count(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    recorder = Recorder(Store.open(tmp_path / "log"))
    order = SimulatedOrder("ferry-order", plan(), "hash", garments(12))
    for seed in (1, 2):
        simulate(recorder, order, seed, 12)
    recorder.close()
    with Store.read_only(tmp_path / "log") as store:
        both = sum(map(len, cycles(store).values()))
        monkeypatch.setattr(sys.modules["kiosk.log.facts.shifts"], "SHIFTS_BACK", 1)
        last = sum(map(len, cycles(store).values()))
    assert 0 < last < both
