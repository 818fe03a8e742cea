"""A real Kivy window without a screen, on a clock that the tests own (kivy.md section 10)."""

from __future__ import annotations

import os
import tempfile

os.environ["SDL_VIDEODRIVER"] = "offscreen"
os.environ["SDL_AUDIODRIVER"] = "dummy"
os.environ["KIVY_HOME"] = tempfile.mkdtemp(prefix="kivy-home-")

from kiosk.station.header import prepare

prepare(window=(1920, 1920), fingers=False)  # the offscreen surface cannot grow later

from kivy.config import Config

Config.set("graphics", "maxfps", "0")

from collections.abc import Iterator

import pytest

from station_harness import Bench


@pytest.fixture(scope="session")
def _bench() -> Iterator[Bench]:
    yield Bench()


@pytest.fixture
def bench(_bench: Bench) -> Iterator[Bench]:
    """The window, its clock, fingers and keys; left empty for the next test."""
    yield _bench
    _bench.clear()
