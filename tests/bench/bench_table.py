"""A line of the table, and a window in its own process, measured for it."""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import AbstractContextManager, nullcontext
from pathlib import Path
from typing import Any

from bench_shop import PILE, Moments, begin_shift, make_shop

HERE = Path(__file__).resolve().parent
ROWS: list[tuple[str, bool | None]] = []  # description, whether the goal was met
Beside = Callable[[Path], AbstractContextManager[None]]


def window(
    which: str, what: str, count: float, job: str = PILE, garments: int = 400,
    beside: Beside | None = None,
) -> Any:  # fmt: skip
    """Return what a window in its own process measured, and when it was spawned.

    `beside` runs at the same time, in the shop's folder.
    """
    with tempfile.TemporaryDirectory(prefix="kiosk-bench-") as place:
        folder = Path(place)
        make_shop(folder, job, garments)
        begin_shift(folder, job, Moments()).close()
        command = [sys.executable, str(HERE / "bench_window.py"), which, what, place, str(count)]
        began = time.monotonic()
        with nullcontext() if beside is None else beside(folder):
            done = subprocess.run(command, capture_output=True, text=True, timeout=600, check=True)
        return {"spawned": began, **json.loads(done.stdout.splitlines()[-1])}


def row(what: str, bare: str, station: str, ratio: float, goal: float) -> None:
    """Print one line of the table."""
    met = "met" if ratio <= goal else "NOT met"
    ROWS.append((what, ratio <= goal))
    line(f"| {what} | {bare} | {station} | {ratio:.2f} | {goal:g} | {met} |")


LINES: list[str] = []  # as printed


def line(text: str) -> None:
    """Print a line of the table at once, and keep it."""
    LINES.append(text)
    print(text, flush=True)


def not_measured(what: str, why: str) -> None:
    """Print a line for something that could not be measured, so that no row is silently missing."""
    ROWS.append((what, None))
    line(f"| {what} | | | | | NOT measured: {why} |")


def ms(seconds: float) -> str:
    """Return seconds as milliseconds."""
    return f"{seconds * 1000:.1f} ms"
