"""The process that is killed: presses without an end and says what is on disk."""

from __future__ import annotations

import tempfile
from pathlib import Path
from random import Random

from fuzz_garments import PLANS
from run_samples import team

from kiosk.log.record.recorder import Recorder
from kiosk.log.store.errors import LogFault
from kiosk.log.store.store import Store
from kiosk.train.made_up_operator.operator import Order, simulate


def press(log: str, seed: int) -> None:
    """Press into `log` by the real recorder, each commit on disk; print each event's number."""
    plan = Random(seed).choice(PLANS)
    garments = team(*(str(number) for number in range(40)))
    try:
        recorder = Recorder(Store.open(Path(log), simulated=True))
    except LogFault as fault:
        print(f"refused {fault.message.id}", flush=True)
        return
    order = Order(plan.job, plan, "hash", garments)
    simulate(recorder, order, seed, 10**6, acks=lambda seq: print(seq, flush=True))


def warm_up() -> None:
    """Build once what each process would build after its first events."""
    with tempfile.TemporaryDirectory() as folder:
        for _ in range(2):
            recorder = Recorder(Store.open(Path(folder) / "log.sqlite3", simulated=True))
            simulate(recorder, Order("warm", PLANS[0], "hash", team("7", "8")), 1)
            recorder.close()
