"""All speed and memory goals: `python -m tests.bench` prints a table of ratios.

Bare window and station take turns in one run; a ratio holds where seconds do not. The last
column says whether the goal was met in this run. `python -m tests.bench quick` does a tenth.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from pathlib import Path
from statistics import median, quantiles
from typing import Any

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parents[1])]

from bench_intake import intake  # noqa: E402 - the path above leads there
from bench_log import commits, facts_kept, plan, replay  # noqa: E402 - the path above leads there
from bench_million import make_log, report, report_memory, starts_on  # noqa: E402 - likewise
from bench_order import order  # noqa: E402 - likewise
from bench_shop import LAYERED  # noqa: E402 - likewise
from bench_table import ms, row, window  # noqa: E402 - likewise

from kiosk.begin import compile_program  # noqa: E402 - likewise

FRAME = 1 / 60


def taps(count: int) -> None:
    """Tap to durable event to changed frame, against a label that changes."""
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
    """Spawn to first frame, of a program set up as `kiosk.begin` does it: compiled."""
    compile_program(sys.executable)
    took: dict[str, list[float]] = {"bare": [], "station": []}
    for _ in range(rounds):
        for which, all_of in took.items():
            told = window(which, "start", 0)
            all_of.append(told["shown"] - told["spawned"])
    bare, station = median(took["bare"]), median(took["station"])
    row("start to first frame", ms(bare), ms(station), station / bare, 1.5)


def countdown(seconds: float) -> None:
    """Frames whose seconds were not those of the clock, with stalls of 300 ms in between."""
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
    """What has a goal in seconds."""
    with tempfile.TemporaryDirectory(prefix="kiosk-bench-") as place:
        took, events = replay(Path(place), garments)
    row(f"replay of {garments} garments, {events} events", "1 s", f"{took:.2f} s", took, 1.0)
    took = plan()
    row("`kiosk plan` of 40 garments, whole process", "0.5 s", f"{took:.2f} s", took / 0.5, 1.0)
    took = order(1000)
    row("order of 1000 garments, all twins", "2 s", f"{took:.2f} s", took / 2, 1.0)
    took, bare = intake(1000)
    row(f"a file of 1000 lines to its proof, of 3 s (read bare: {ms(bare)})", "3 s",
        f"{took:.2f} s", took / 3, 1.0)  # fmt: skip


def million(events: int) -> None:
    """A long log: a report of its last shift, and a start on it."""
    with tempfile.TemporaryDirectory(prefix="kiosk-bench-") as place:
        log, told = make_log(Path(place), events)
        bare, ours = report(log)
        row(
            f"report of a shift in a log of {events} events (facts told anew in {told:.0f} s)",
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


def main(quick: bool) -> None:
    """Print the whole table."""
    part = 10 if quick else 1
    print("| what | bare or goal | station | ratio | goal | |")
    print("|---|---|---|---|---|---|")
    taps(500 // part)
    countdown(12)
    load(20 / part, 3 // min(part, 3))
    starts(9 // min(part, 3))
    whole(2000 // part)
    million(1_000_000 // part)
    if not quick:
        memory()


if __name__ == "__main__":
    main(sys.argv[1:] == ["quick"])
