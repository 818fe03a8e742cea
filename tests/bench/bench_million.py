"""A log of a million events: a report of its last shift compared with its SQL; a start on it."""

from __future__ import annotations

import gc
import json
import shutil
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from functools import cache
from pathlib import Path
from statistics import median

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parents[1])]

from bench_shop import JOBS, PILE, RECIPES, ROOT, make_shop  # noqa: E402 - the path leads there

from kiosk.log.facts import LONG  # noqa: E402
from kiosk.log.record import recovery  # noqa: E402
from kiosk.log.record.recorder import Recorder  # noqa: E402
from kiosk.log.store.store import Store  # noqa: E402
from kiosk.report.page import to_html  # noqa: E402
from kiosk.run.state.event import Event, Now  # noqa: E402
from kiosk.run.state.events import JobDone, JobLeft, JobStarted, JobTaken  # noqa: E402
from kiosk.run.state.events_station import StationStarted  # noqa: E402
from kiosk.station.desk.shift.report_data import report_of_shift  # noqa: E402
from kiosk.words import Words  # noqa: E402

GARMENTS = 500
DAY = 86_400.0
ROUNDS = 15


def copied_log(folder: Path, events: int) -> tuple[Path, float]:
    """Return a copy of `make_log`'s log, made once per process, and its seconds."""
    log, told = _made_once(events)
    return Path(shutil.copy(log, folder)), told


KEPT = tempfile.TemporaryDirectory(prefix="kiosk-bench-")  # deleted with the process


@cache
def _made_once(events: int) -> tuple[Path, float]:
    return make_log(Path(KEPT.name), events)


def make_log(folder: Path, events: int) -> tuple[Path, float]:
    """Return a log of at least that many events, and the seconds to derive all of its facts.

    Repeats one simulated lot; each round is a day later, with another boot and another job.
    """
    make_shop(folder, PILE, GARMENTS)
    one = folder / "one.sqlite3"
    asked = [str(folder / JOBS / PILE), "--recipes", str(RECIPES), "--log", str(one)]
    command = [sys.executable, "-m", "kiosk", "simulate", *asked]
    subprocess.run(command, cwd=ROOT, check=True, capture_output=True)
    with Store.read_only(one) as store:
        lot = [event for _, event in store.events()]
    log = folder / "million.sqlite3"
    with Store.open(log, simulated=True) as store:
        next(store.rows("PRAGMA synchronous = OFF"), None)
        for nth in range(-(-events // len(lot))):
            store.append([again(event, nth) for event in lot])
        told = took(lambda: Recorder(store).checkpoint())  # as a station does after an update
    return log, told


def again(event: Event, nth: int) -> Event:
    """Return an event moved to round `nth`."""
    at = Now(f"{event.at.boot}-{nth}", event.at.clock, event.at.wall + nth * DAY)
    if isinstance(event, JobStarted | JobTaken | JobLeft | JobDone):
        return replace(event, at=at, job=f"{event.job}-{nth}")
    return replace(event, at=at)


def took(call: Callable[[], object]) -> float:
    """Return the seconds of a call."""
    began = time.perf_counter()
    call()
    return time.perf_counter() - began


def spent(call: Callable[[], object]) -> float:
    """Return the processor seconds of a call, which other work on the machine hardly affects."""
    began = time.process_time()
    call()
    return time.process_time() - began


def report_of_last(store: Store) -> str:
    """Build the page of the last shift, from the file to HTML."""
    report = report_of_shift(store)
    assert report is not None
    return to_html(report, Words("en").say)


@contextmanager
def settled() -> Iterator[None]:
    """Turn off garbage collection, as `kiosk report` and a station do for a report."""
    gc.collect()
    gc.freeze()
    gc.disable()
    try:
        yield
    finally:
        gc.enable()
        gc.unfreeze()


def report(log: Path) -> tuple[float, float]:
    """Return median processor seconds of the statements alone and of the report, taking turns."""
    asked: list[str] = []
    with Store.read_only(log) as store:
        store._connection.set_trace_callback(asked.append)
        report_of_last(store)
        store._connection.set_trace_callback(None)
        bare = sqlite3.connect(f"{log.as_uri()}?mode=ro", uri=True)
        bare.text_factory = bytes  # the cheapest form, and the one the report mostly reads
        queries = [each for each in asked if each.lstrip().upper().startswith(("SELECT", "WITH"))]

        def alone() -> None:
            for query in queries:
                bare.execute(query).fetchall()

        alone()
        with settled():
            pairs = [(spent(alone), spent(lambda: report_of_last(store))) for _ in range(ROUNDS)]
        bare.close()
    return median(one for one, _ in pairs), median(other for _, other in pairs)


def starts_on(log: Path, folder: Path) -> tuple[float, float]:
    """Return the median seconds to open an almost empty log and the long one, taking turns."""
    empty = folder / "empty.sqlite3"
    with Store.open(empty, simulated=True) as store:
        store.append([StationStarted(Now("bench", 1.0, 1.77e9), "bench", True)])

    def start(path: Path) -> None:
        Recorder(Store.open(path, simulated=True)).store.close()

    start(empty)
    start(log)
    pairs = [(took(lambda: start(empty)), took(lambda: start(log))) for _ in range(ROUNDS)]
    return median(one for one, _ in pairs), median(other for _, other in pairs)


def start_after_update(log: Path) -> float:
    """Return the median processor seconds of the first start after a program update.

    The log's checkpoint and facts then belong to another version and are read again in the
    background.
    """
    found = []
    for _ in range(ROUNDS):
        with Store.open(log, simulated=True) as store:
            recovery.save_checkpoint(store, Recorder(store, at_once=LONG).state, lifted=True)
            with store.writing() as connection:
                connection.execute("UPDATE mark SET version = 0")
        with Store.open(log, simulated=True) as store:
            began = time.process_time()
            recorder = Recorder(store, at_once=LONG)
            found.append(time.process_time() - began)
            assert recorder.rereading is not None
    return median(found)


def report_memory(log: Path) -> float:
    """Return the peak megabytes of a whole `kiosk report` process."""
    command = [sys.executable, __file__, "report", str(log)]
    done = subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True)
    return float(json.loads(done.stdout.splitlines()[-1]))


def _alone(log: str) -> None:
    from kiosk.__main__ import main

    main(["report", "--log", log])
    # Not ru_maxrss: that includes the memory of the process that spawned this one.
    status = Path("/proc/self/status").read_text("ascii")
    peak = next(line for line in status.splitlines() if line.startswith("VmHWM"))
    print(int(peak.split()[1]) / 1024)


if __name__ == "__main__":
    _alone(sys.argv[2])
