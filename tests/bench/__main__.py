"""All speed and memory goals: `python -m tests.bench` prints one table of ratios.

Bare window and station take turns in one run: a ratio holds on any machine, seconds do not. The
last column says whether the goal was met in this run. `--times 3` runs it three times.
"""

from __future__ import annotations

import argparse
import atexit
import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from functools import cache
from pathlib import Path
from statistics import median, quantiles
from typing import Any

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parents[1])]

from bench_intake import commands, intake  # noqa: E402 - the path above leads there
from bench_log import commits, facts_kept, plan, replay  # noqa: E402 - the path above leads there
from bench_million import copied_log, report, report_memory, start_after_update, starts_on  # noqa: E402 - likewise
from bench_order import order  # noqa: E402 - likewise
from bench_shop import LAYERED  # noqa: E402 - likewise
from bench_table import LINES, ROWS, line, ms, not_measured, row, window  # noqa: E402 - likewise

from kiosk.begin import compile_program  # noqa: E402 - likewise

FRAME = 1 / 60


def taps(count: int) -> None:
    """Time from tap to stored event to changed frame, compared with a label that changes."""
    rounds = []
    for _ in range(2):
        rounds.append((window("bare", "taps", count / 2), window("station", "taps", count / 2)))
    bare = [each for one, _ in rounds for each in one["took"]]
    station = [each for _, other in rounds for each in other["took"]]
    with tempfile.TemporaryDirectory(prefix="kiosk-bench-") as place:
        plain, ours = commits(Path(place))
    middle = median(station) / median(bare)
    row(
        f"tap to frame, median of {len(station)}",
        ms(median(bare)),
        ms(median(station)),
        middle,
        1.3,
    )
    most = worst(bare) + FRAME + worst(plain)
    row("tap to frame, p99 (bare p99 + frame + commit)", ms(most), ms(worst(station)),
        worst(station) / most, 1.0)  # fmt: skip
    row("an event on disk, median", ms(median(plain)), ms(median(ours)),
        median(ours) / median(plain), 1.5)  # fmt: skip
    with tempfile.TemporaryDirectory(prefix="kiosk-bench-") as place:
        alone, kept = facts_kept(Path(place), max(20, count // 8))
    row(f"an event and its facts on disk, median of {len(kept)}", ms(median(alone)),
        ms(median(kept)), median(kept) / median(alone), 1.3)  # fmt: skip


def worst(values: list[float]) -> float:
    """Return the 99th percentile."""
    return quantiles(values, n=100)[98]


def load(seconds: float, rounds: int) -> None:
    """Processor time at rest and while counting; memory."""
    found: dict[str, list[Any]] = {"bare": [], "still": [], "counting": []}
    for _ in range(rounds):
        found["bare"].append(window("bare", "still", seconds))
        found["still"].append(window("station", "still", seconds))
        found["counting"].append(window("station", "counting", min(seconds, 12)))
    share = {name: median(each["share"] for each in each_of) for name, each_of in found.items()}
    for name, goal in (("still", 1.2), ("counting", 2.5)):
        row(f"processor time, {name}", f"{share['bare']:.2%}", f"{share[name]:.2%}",
            share[name] / share["bare"], goal)  # fmt: skip
    rss = {name: median(each["rss"] for each in each_of) for name, each_of in found.items()}
    row("memory above the bare window, of 60 MB", f"{rss['bare']:.0f} MB", f"{rss['still']:.0f} MB",
        (rss["still"] - rss["bare"]) / 60, 1.0)  # fmt: skip


def starts(rounds: int) -> None:
    """Time to the first frame, for a program compiled as `kiosk.begin` does it.

    Measured by the clock from the spawning, and by processor time, which other work disturbs less.
    """
    compile_program(sys.executable)
    took: dict[str, list[float]] = {"bare": [], "station": []}
    used: dict[str, list[float]] = {"bare": [], "station": []}
    for _ in range(rounds):
        for which in took:
            told = window(which, "start", 0)
            took[which].append(told["shown"] - told["spawned"])
            used[which].append(told["used"])
    for what, (bare, station) in (
        (f"start to first frame, processor time, least of {rounds}", map(min, used.values())),
        (f"start to first frame, by the clock, median of {rounds}", map(median, took.values())),
    ):
        row(what, ms(bare), ms(station), station / bare, 1.5)


def countdown(seconds: float) -> None:
    """Frames that showed a second different from the clock's, with stalls of 300 ms."""
    told = window("station", "countdown", seconds, LAYERED)
    row("countdown: wrong frames", f"{told['frames']} frames", f"{told['wrong']} wrong",
        told["wrong"], 0)  # fmt: skip
    row("countdown: latest change, in longest frames", ms(told["longest"]), ms(told["late"]),
        told["late"] / told["longest"], 1.0)  # fmt: skip


def memory() -> None:
    """Memory over a simulated shift of eight hours."""
    with tempfile.TemporaryDirectory(prefix="kiosk-bench-") as place:
        command = [sys.executable, str(HERE / "bench_memory.py"), place]
        done = subprocess.run(command, capture_output=True, text=True, check=True)
    mb = json.loads(done.stdout.splitlines()[-1])["mb"]
    row("memory after 8 h of garments, against 1 h", f"{mb[1]} MB", f"{mb[-1]} MB",
        mb[-1] / mb[1], 1.05)  # fmt: skip


def whole(garments: int) -> None:
    """Actions with a goal in seconds."""
    with tempfile.TemporaryDirectory(prefix="kiosk-bench-") as place:
        took, events = replay(Path(place), garments)
    part = garments / 2000  # the goal is for 2,000
    row(f"replay of {garments} garments, {events} events, processor time", f"{part:g} s",
        f"{took:.2f} s", took / part, 1.0)  # fmt: skip
    took = plan()
    row("`kiosk plan` of 40 garments, whole process", "0.5 s", f"{took:.2f} s", took / 0.5, 1.0)
    took = order(1000)
    row("order of 1000 garments, all twins", "2 s", f"{took:.2f} s", took / 2, 1.0)
    took, bare = intake(1000)
    row(f"a file of 1000 lines to its proof, of 3 s (read bare: {ms(bare)})", "3 s",
        f"{took:.2f} s", took / 3, 1.0)  # fmt: skip
    took = commands(1000)
    row("`kiosk check` and `plan --picks` of 1000 lines, the dearer, processor time", "1 s",
        f"{took:.2f} s", took, 1.0)  # fmt: skip


def million(events: int) -> None:
    """A long log: a report of its last shift, and a start on it."""
    with tempfile.TemporaryDirectory(prefix="kiosk-bench-") as place:
        log, told = copied_log(Path(place), events)
        bare, ours = report(log)
        row(
            f"report of a shift in a log of {events} events (facts rebuilt in {told:.0f} s), "
            "processor time",
            ms(bare),
            ms(ours),
            ours / bare,
            1.3,
        )
        most = report_memory(log)
        row("memory of `kiosk report` on it, of 200 MB", "", f"{most:.0f} MB", most / 200, 1.0)
        empty, long = starts_on(log, Path(place))
        row("start on it after an empty log, of 100 ms", ms(empty), ms(long),
            (long - empty) / 0.1, 1.0)  # fmt: skip
        first = start_after_update(log)
        row("first start on it after an update, processor time, of 100 ms", "100 ms", ms(first),
            first / 0.1, 1.0)  # fmt: skip


def shop(quick: bool) -> None:
    """The shop's server; needs a PostgreSQL on this machine."""
    stage(quick).measure()


@cache
def stage(quick: bool) -> Any:
    """Return the server and its records, shared by all runs."""
    import bench_shop_db as server

    made = server.Stage(server.QUICK if quick else server.USUAL)
    atexit.register(made.close)
    return made


def sections(quick: bool, server: bool) -> dict[str, Callable[[], None]]:
    """Return the measurements by name; `quick` does a tenth of each."""
    part = 10 if quick else 1
    found: dict[str, Callable[[], None]] = {
        "taps": lambda: taps(500 // part),
        "countdown": lambda: countdown(12),
        "load": lambda: load(20 / part, 5 // min(part, 5)),
        "starts": lambda: starts(9 // min(part, 3)),
        "whole": lambda: whole(2000 // part),
        "million": lambda: million(1_000_000 // part),
    }
    if not quick:  # these two cannot be cut to a tenth
        found["memory"] = memory
    if server:
        found["shop"] = lambda: shop(quick)
    return found


def run(found: dict[str, Callable[[], None]]) -> bool:
    """Print a whole table and how many goals were met; return whether all were."""
    began = time.monotonic()
    line("| what | bare or goal | station | ratio | goal | |")
    line("|---|---|---|---|---|---|")
    for name, measure in found.items():
        try:
            measure()
        except Exception as error:  # the other rows are still measured
            not_measured(name, " ".join(f"{type(error).__name__}: {error}".split())[:200])
    missed = [what for what, met in ROWS if not met]
    minutes = (time.monotonic() - began) / 60
    line(f"\n{len(ROWS) - len(missed)} of {len(ROWS)} met, in {minutes:.1f} min.")
    for what in missed:
        line(f"NOT met: {what}")
    return not missed


def main() -> int:
    """Print the table the given number of times; return 0 if all goals were met each time."""
    asked = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    asked.add_argument("quick", nargs="?", choices=["quick"], help="the same as --quick")
    asked.add_argument("--quick", dest="tenth", action="store_true", help="a tenth of each")
    asked.add_argument("--times", type=int, default=1, metavar="N", help="so many runs in a row")
    asked.add_argument("--only", nargs="+", metavar="PART", help="some parts: taps, starts, …")
    asked.add_argument("--no-shop", action="store_true", help="without the shop's server")
    asked.add_argument("--write", type=Path, metavar="FILE", help="write the tables there too")
    given = asked.parse_args()
    found = sections(given.tenth or given.quick is not None, not given.no_shop)
    unknown = set(given.only or ()) - found.keys()
    if unknown:
        asked.error(f"no such part: {', '.join(sorted(unknown))}; there are {', '.join(found)}")
    found = {name: each for name, each in found.items() if name in (given.only or found)}
    met = []
    for nth in range(given.times):
        line(f"\nRun {nth + 1} of {given.times}, load {os.getloadavg()[0]:.1f} at its start\n")
        ROWS.clear()
        met.append(run(found))
        if given.write is not None:
            given.write.write_text("\n".join(LINES) + "\n", "utf-8")
    return 0 if all(met) else 1


if __name__ == "__main__":
    sys.exit(main())
