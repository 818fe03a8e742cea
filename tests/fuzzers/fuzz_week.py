"""A week of twenty stations with their server: kills, cuts, lost tablets, one order for all."""

from __future__ import annotations

import tempfile
from functools import partial
from pathlib import Path

from fuzz_pace import Pace
from shop_server import Postgres
from sim_server import play_served, shop_of_week, week
from sim_shop import in_memory
from sim_shrink import shrunk
from sim_story import as_test

STATIONS = 20
GARMENTS = 1_500  # in a week: three quarters are in the shared order
WORKS = 150  # in a day


def run(pace: Pace) -> None:
    """Press `times` garments, some hundreds in each week; each week in its own database."""
    postgres = Postgres()
    how = partial(play_served, postgres)
    try:
        for dice in pace.cases(min(GARMENTS, pace.times)):
            garments = min(GARMENTS, pace.times)
            shop = shop_of_week(STATIONS, garments * 3 // 4, garments // 4)
            told = tuple(week(shop, dice, max(1, WORKS * garments // GARMENTS)))
            folder = Path(tempfile.mkdtemp(prefix="kiosk-fuzz-", dir=in_memory()))
            pace.at = f"{folder}, {shop}"
            try:
                pace.counted += how(shop, told, folder)
            except AssertionError as broken:
                short = shrunk(shop, told, how)
                text = as_test(*short, f"{pace.seed}, number {pace.done}", "play_served")
                raise AssertionError(f"{broken}\n\n{text}") from broken
    finally:
        postgres.stop()
