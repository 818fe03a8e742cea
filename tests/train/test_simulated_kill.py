"""Killed at any moment: acknowledged events are kept, nothing is pressed twice, work goes on."""

from __future__ import annotations

import random
import sys
from contextlib import closing
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "station"))

from forks import Forks

from kiosk.log.record import recovery
from kiosk.log.store.store import Store
from kiosk.log.verify import verify

SAMPLES = Path(__file__).resolve().parents[1] / "log"
KILLS = 12

READ = f"""
from pathlib import Path
sys.path.insert(0, {str(SAMPLES)!r})
from log_samples import garments, plan
from kiosk.log.record import Recorder
from kiosk.log.store import Store
from kiosk.train.made_up_operator import SimulatedOrder, simulate

def operate(path, seed, count):
    recorder = Recorder(Store.open(Path(path), simulated=True))
    order = SimulatedOrder("ferry-order", plan(), "hash", garments(30))
    simulate(recorder, order, seed, count, acks=lambda seq: print(seq, flush=True))
    recorder.close()
"""


def test_no_acknowledged_event_is_lost_when_killed_at_random_moments(tmp_path: Path) -> None:
    path, dice = tmp_path / "simulated.sqlite3", random.Random(11)
    with closing(Forks(READ, "operate")) as operators:
        for seed in range(KILLS):
            asked = (str(path), seed, 1_000_000)
            acknowledged = operators.killed(asked, 1, dice.uniform(0.0, 0.4)).last
            verdict = verify(path)
            assert verdict.ok, verdict.faults
            assert verdict.last >= acknowledged
            assert verdict.pressed_twice == 0
        assert operators.ended((str(path), KILLS, None)) == 0
    verdict = verify(path)
    assert (verdict.ok, verdict.pressed_twice) == (True, 0)
    with Store.read_only(path) as reader:
        state = recovery.recover(reader).state
    assert all(job.done for job in state.jobs.values())
