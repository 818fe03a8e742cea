"""The log without a window: a commit compared with a bare one, and a long shift replayed."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from statistics import median

from bench_shop import JOBS, PILE, RECIPES, ROOT, make_shop

from kiosk.log.facts import FactDeriver, fold, statements
from kiosk.log.store import codec
from kiosk.log.store.store import Store
from kiosk.run.apply import apply
from kiosk.run.state.event import Now
from kiosk.run.state.events import Closed
from kiosk.run.state.model import TimeSource
from kiosk.run.state.state import State

COMMITS = 400
EVENT = Closed(Now("bench", 5.0, 1.77e9), "12/1/1", 0, 1, 15.0, 1.0, TimeSource.DECLARED)


def commits(folder: Path) -> tuple[list[float], list[float]]:
    """Return the seconds of bare commits and of appends of the same bytes, taking turns."""
    bare = sqlite3.connect(folder / "bare.sqlite3", isolation_level=None)
    bare.execute("PRAGMA journal_mode = WAL")
    bare.execute("PRAGMA synchronous = FULL")
    bare.execute("CREATE TABLE events (seq INTEGER PRIMARY KEY, a, b, c, d, e, f, g)")
    row = (*codec.encode(EVENT), 1)

    def commit() -> None:
        bare.execute("BEGIN IMMEDIATE")
        bare.execute("INSERT INTO events VALUES (NULL, ?, ?, ?, ?, ?, ?, ?)", row)
        bare.execute("COMMIT")

    with Store.open(folder / "append.sqlite3", simulated=None) as store:
        pairs = [(_took(commit), _took(lambda: store.append([EVENT]))) for _ in range(COMMITS)]
    bare.close()
    return [one for one, _ in pairs], [other for _, other in pairs]


def _took(call: Callable[[], object]) -> float:
    began = time.perf_counter()
    call()
    return time.perf_counter() - began


def replay(folder: Path, garments: int) -> tuple[float, int]:
    """Return the processor seconds to decode and replay a simulated shift, and its events."""
    make_shop(folder, PILE, garments)
    log = folder / "long.sqlite3"
    asked = [str(folder / JOBS / PILE), "--recipes", str(RECIPES), "--log", str(log)]
    command = [sys.executable, "-m", "kiosk", "simulate", *asked]
    subprocess.run(command, cwd=ROOT, check=True, capture_output=True)
    with Store.read_only(log) as store:
        took = []
        for _ in range(3):
            began = time.process_time()
            fold(State(), store.entries())
            took.append(time.process_time() - began)
        return median(took), store.last


def facts_kept(folder: Path, garments: int) -> tuple[list[float], list[float]]:
    """Return the seconds to store an event alone, and with its facts, taking turns.

    For each event of a simulated shift; deriving the facts is included in the second.
    """
    make_shop(folder, PILE, garments)
    log = folder / "shift.sqlite3"
    asked = [str(folder / JOBS / PILE), "--recipes", str(RECIPES), "--log", str(log)]
    command = [sys.executable, "-m", "kiosk", "simulate", *asked]
    subprocess.run(command, cwd=ROOT, check=True, capture_output=True)
    alone, kept = [], []
    with (
        Store.read_only(log) as shift,
        Store.open(folder / "alone.sqlite3", simulated=True) as bare,
        Store.open(folder / "facts.sqlite3", simulated=True) as store,
    ):
        store.execute(statements("main"))
        state, deriver = State(), FactDeriver()
        for each in shift.entries():
            after = apply(state, each.event)
            alone.append(_took(lambda: bare.append([each.event])))  # noqa: B023 - called at once
            facts = partial(deriver.derive, each, state, after)
            kept.append(_took(lambda: store.append([each.event], facts())))  # noqa: B023 - likewise
            state = after
        assert not store.behind
    return alone, kept


def plan() -> float:
    """Return the seconds of a whole `kiosk plan` process for the job of 40 garments."""
    command = [sys.executable, "-m", "kiosk", "plan", "swim-school"]
    run = lambda: subprocess.run(command, cwd=ROOT, check=True, capture_output=True)  # noqa: E731
    return median(_took(run) for _ in range(7))
