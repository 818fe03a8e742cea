"""Killed at any moment: what was acknowledged is there, nothing is pressed twice, it goes on."""

from __future__ import annotations

import random
import signal
import subprocess
import sys
import time
from pathlib import Path

from kiosk.log.record import recovery
from kiosk.log.store.store import Store
from kiosk.log.verify import verify

SAMPLES = Path(__file__).resolve().parents[1] / "log"
KILLS = 12

SCRIPT = """
import sys
from pathlib import Path
sys.path.insert(0, sys.argv[1])
from log_samples import garments, plan
from kiosk.log.record import Recorder
from kiosk.log.store import Store
from kiosk.train.made_up_operator import Order, simulate
path, seed, count = Path(sys.argv[2]), int(sys.argv[3]), int(sys.argv[4]) or None
recorder = Recorder(Store.open(path, simulated=True))
order = Order("ferry-order", plan(), "hash", garments(30))
simulate(recorder, order, seed, count, acks=lambda seq: print(seq, flush=True))
recorder.close()
"""


def operator(path: Path, seed: int, count: int) -> subprocess.Popen[str]:
    command = [sys.executable, "-c", SCRIPT, str(SAMPLES), str(path), str(seed), str(count)]
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True)


def killed_after(process: subprocess.Popen[str], seconds: float) -> int:
    """Kill the process so long after its first acknowledged event; return the last one."""
    assert process.stdout is not None
    last = int(process.stdout.readline())
    deadline = time.monotonic() + seconds
    while time.monotonic() < deadline:
        last = int(process.stdout.readline())
    process.send_signal(signal.SIGKILL)
    rest = process.communicate()[0].splitlines(keepends=True)
    whole = [int(line) for line in rest if line.endswith("\n")]
    return max([last, *whole])


def test_killed_at_random_moments_no_acknowledged_event_is_missing(tmp_path: Path) -> None:
    path, dice = tmp_path / "simulated.sqlite3", random.Random(11)
    for seed in range(KILLS):
        acknowledged = killed_after(operator(path, seed, 1_000_000), dice.uniform(0.0, 0.4))
        verdict = verify(path)
        assert verdict.ok, verdict.faults
        assert verdict.last >= acknowledged
        assert verdict.pressed_twice == 0
    last = operator(path, KILLS, 0)
    last.communicate()
    assert last.returncode == 0
    verdict = verify(path)
    assert (verdict.ok, verdict.pressed_twice) == (True, 0)
    with Store.read_only(path) as reader:
        state = recovery.recover(reader).state
    assert all(job.done for job in state.jobs.values())
