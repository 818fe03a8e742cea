"""Garments that a made-up operator presses by the real state machine into a real log."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path
from random import Random

import log_samples as samples
from fuzz_pace import Pace
from run_samples import COLD, HOT, one_piece, plan_of, stack, staged, team
from sound import assert_heat_is_at_the_slot, assert_pressed_once, assert_sound, assert_steps_exist

from kiosk.log.record.recorder import Recorder
from kiosk.log.store.store import Store
from kiosk.log.verify import verify
from kiosk.plan.model import Place, Plan
from kiosk.run.state.events import Finished
from kiosk.train.made_up_operator.habits import Habits
from kiosk.train.made_up_operator.operator import Order, simulate

SETTINGS = samples.plan().settings  # a press is set by them before the first garment
PLANS: tuple[Plan, ...] = (
    plan_of(one_piece(), job="rack", settings=SETTINGS),
    plan_of(one_piece(Place.PRESS, HOT), job="press", settings=SETTINGS),
    plan_of(one_piece(Place.HAND, COLD), job="hand", settings=SETTINGS),
    plan_of(stack(), job="stack", settings=SETTINGS),
    plan_of(staged(), job="staged", settings=SETTINGS),
    plan_of(one_piece(), one_piece(degrees=270, panel="front"), job="two runs", settings=SETTINGS),
)
SIZES = ("YM", "AS", "AL")
OF_EACH_JOB = 100
IN_EACH_LOG = 1000


def run(pace: Pace) -> None:
    """Press `times` garments, a thousand in each log; nothing lost, nothing pressed twice."""
    for dice in pace.cases(IN_EACH_LOG):
        folder = Path(tempfile.mkdtemp(prefix="kiosk-fuzz-"))
        _log(folder / "log.sqlite3", dice, pace)
        shutil.rmtree(folder)


def _log(path: Path, dice: Random, pace: Pace) -> None:
    acknowledged: list[int] = [0]
    for nth in range(IN_EACH_LOG // OF_EACH_JOB):
        recorder = Recorder(unsynced(Store.open(path, simulated=True)))
        order, seed = _order(dice, nth), dice.randrange(10**6)
        habits = Habits() if dice.random() < 0.5 else Habits(*[dice.uniform(0, 0.08)] * 15)
        pace.at = f"{path}, order {nth}, seed {seed}, {habits}"
        made = simulate(recorder, order, seed, OF_EACH_JOB, acknowledged.append, habits=habits)
        assert made >= OF_EACH_JOB
        for holds in (assert_sound, assert_pressed_once, assert_steps_exist):
            holds(recorder.state)
        assert_heat_is_at_the_slot(recorder.state)
        assert acknowledged == list(range(len(acknowledged)))
        recorder.close()
    verdict = verify(path)
    assert (verdict.ok, verdict.pressed_twice) == (True, 0), verdict.faults
    assert verdict.last == acknowledged[-1]
    with Store.read_only(path) as store:
        ends = sum(isinstance(each.event, Finished) for each in store.events())
    assert ends >= 0.5 * IN_EACH_LOG  # else it was no work that was looked at


def _order(dice: Random, nth: int) -> Order:
    plan = dice.choice(PLANS)
    numbers = [str(dice.randrange(100)) for _ in range(dice.randint(5, 40))]
    garments = team(*numbers, size=dice.choice(SIZES))
    return Order(f"{plan.job}-{nth}", plan, "hash", garments)


def unsynced(store: Store) -> Store:
    """Return the store without waiting for the disk: nobody pulls the plug here."""
    store._connection.execute("PRAGMA synchronous = OFF")
    return store
