"""Runs the fuzzers: `python -m tests.fuzz` for a minute, `python -m tests.fuzz --long` once.

Options: names of fuzzers (all without), `--seed N` (printed at the start, another each time
without), `--times N` instead of its own number, `--first N` to go on there, `--minutes M` for
each at most. Ends with 1 at the first failure, after its seed and number.
"""

from __future__ import annotations

import argparse
import random
import sys
import time
import traceback
from collections.abc import Callable
from importlib import import_module
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE / room) for room in ("fuzzers", "run", "log", "station", "catalog")]

from fuzz_pace import Pace  # noqa: E402 - the path above leads there

LONG = {"commands": 20_000, "garments": 1_000_000, "kills": 10_000, "damage": 20_000,
        "inputs": 200_000}  # fmt: skip
SHORT = {"commands": 20, "garments": 500, "kills": 10, "damage": 20, "inputs": 300}


def main() -> int:
    """Run what is asked for and print what was done."""
    asked = _asked()
    seed = random.SystemRandom().randrange(10**9) if asked.seed is None else asked.seed
    for name in asked.fuzzers or SHORT:
        times = asked.times or (LONG if asked.long else SHORT)[name]
        pace = Pace(name, seed, times, time.monotonic() + 60 * asked.minutes, asked.first)
        print(f"{name}: seed {seed}, {times} times", flush=True)
        try:
            _fuzzer(name)(pace)
        except Exception:
            traceback.print_exc()
            print(f"{name}: FAILED at seed {seed}, number {pace.done}: {pace.at}", flush=True)
            return 1
        print(f"{name}: seed {seed}, {pace.told()}", flush=True)
    return 0


def _asked() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__)
    parser.add_argument("fuzzers", nargs="*", choices=[[], *SHORT], default=[])
    parser.add_argument("--long", action="store_true")
    parser.add_argument("--seed", type=int)
    parser.add_argument("--times", type=int)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--minutes", type=float, default=1e6)
    return parser.parse_args()


def _fuzzer(name: str) -> Callable[[Pace], None]:
    """Return a fuzzer; what it needs is imported only then."""
    found: Callable[[Pace], None] = import_module(f"fuzz_{name}").run
    return found


if __name__ == "__main__":
    sys.exit(main())
