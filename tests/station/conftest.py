"""A real Kivy window without a screen, on a clock that the tests own (kivy.md section 10)."""

from __future__ import annotations

import gc
import os
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from kiosk.station.glass.open import prepare

if TYPE_CHECKING:
    from station_harness import Bench

os.environ["SDL_VIDEODRIVER"] = "offscreen"
os.environ["SDL_AUDIODRIVER"] = "dummy"
os.environ["LP_NUM_THREADS"] = "0"  # no threads of the software renderer: the tests use every core
os.environ["KIVY_HOME"] = tempfile.mkdtemp(prefix="kivy-home-")
prepare(window=(1920, 1920), fingers=False)  # the offscreen surface cannot grow later

# These screens draw the views of the run room's tests; the log's tests damage disks.
sys.path[:0] = [str(Path(__file__).resolve().parents[1] / room) for room in ("run", "log")]


@pytest.fixture(scope="session")
def _bench() -> Bench:
    from station_harness import Bench  # makes the window: only where a test asks for it

    bench = Bench()
    gc.collect()
    gc.freeze()  # as the station does after its first frame
    # Kivy searches all live canvases for each one that goes. Uncollected cycles made each later one
    # slower: 40 ms for a hundred thousand objects became 1 s.
    gc.set_threshold(100_000, 2, 2)
    return bench


@pytest.fixture
def bench(_bench: Bench) -> Iterator[Bench]:
    """The window, its clock, fingers and keys; at the usual size, cleared after each test."""
    _bench.resize(1280, 800)
    yield _bench
    _bench.clear()
