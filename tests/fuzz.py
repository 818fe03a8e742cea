"""Runs the fuzzers: `python -m tests.fuzz` for a minute, `python -m tests.fuzz --long` once.

Options: names of fuzzers (default all), `--seed N` (printed at the start; random by default),
`--times N` instead of the fuzzer's own number, `--first N` to continue at a number, `--minutes M`
as a limit for each, `--cores N` to share the work between processes. Exits with 1 at the first
failure, after printing its seed and number.
"""

from __future__ import annotations

import argparse
import random
import subprocess
import sys
import time
import traceback
from collections.abc import Callable
from importlib import import_module
from itertools import pairwise
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOMS = ("fuzzers", "run", "log", "station", "catalog", "shop", "commands")
sys.path[:0] = [str(HERE / room) for room in ROOMS]

from fuzz_pace import Pace  # noqa: E402 - found by the path above

LONG = {"commands": 20_000, "shop": 1_000_000, "damage": 20_000, "inputs": 200_000,
        "week": 50_000, "readers": 10_000, "touches": 10_000}  # fmt: skip
SHORT = {
    "commands": 20,
    "shop": 1_000,
    "damage": 20,
    "inputs": 300,
    "week": 200,
    "readers": 40,
    "touches": 5,
}


def main() -> int:
    """Run the requested fuzzers and print what was done."""
    asked = _asked()
    if asked.cores > 1:
        return _side_by_side(asked)
    seed = random.SystemRandom().randrange(10**9) if asked.seed is None else asked.seed
    for name in asked.fuzzers or SHORT:
        times = asked.times or (LONG if asked.long else SHORT)[name]
        pace = Pace(name, seed, times, time.monotonic() + 60 * asked.minutes, asked.first)
        print(f"{name}: seed {seed}, {times} times", flush=True)
        try:
            _fuzzer(name)(pace)
        except Exception:
            traceback.print_exc(file=sys.stdout)
            print(f"{name}: FAILED at seed {seed}, number {pace.done}: {pace.at}", flush=True)
            return 1
        print(f"{name}: seed {seed}, {pace.told()}", flush=True)
    return 0


def _side_by_side(asked: argparse.Namespace) -> int:
    """Let each of `cores` processes do its share of each fuzzer's number."""
    seed = random.SystemRandom().randrange(10**9) if asked.seed is None else asked.seed
    for name in asked.fuzzers or SHORT:
        whole = asked.times or (LONG if asked.long else SHORT)[name]
        ends = [asked.first + (whole - asked.first) * n // asked.cores
                for n in range(asked.cores + 1)]  # fmt: skip
        running = [
            subprocess.Popen(
                [sys.executable, "-m", "tests.fuzz", name, "--seed", str(seed), "--first",
                 str(first), "--times", str(last), "--minutes", str(asked.minutes)]
            )
            for first, last in pairwise(ends)
        ]  # fmt: skip
        codes = [each.wait() for each in running]
        if any(codes):
            return 1
    return 0


def _asked() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__)
    parser.add_argument("fuzzers", nargs="*", choices=[[], *SHORT], default=[])
    parser.add_argument("--long", action="store_true")
    parser.add_argument("--seed", type=int)
    parser.add_argument("--times", type=int)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--cores", type=int, default=1)
    parser.add_argument("--minutes", type=float, default=1e6)
    return parser.parse_args()


def _fuzzer(name: str) -> Callable[[Pace], None]:
    """Return a fuzzer, importing what it needs only now."""
    found: Callable[[Pace], None] = import_module(f"fuzz_{name}").run
    return found


if __name__ == "__main__":
    sys.exit(main())
