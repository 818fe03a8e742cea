"""A whole shop in simulated time: stations, people, pedals, presses, and everything that fails."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path
from random import Random

from fuzz_pace import Pace
from sim_life import Broken
from sim_shop import World, in_memory
from sim_shrink import shrunk
from sim_story import GARMENTS, Action, Shop, actions, as_test, shop_of

MOST = 2  # events of the story per garment, before people only work


def run(pace: Pace) -> None:
    """Press `times` garments, some hundreds in each shop; a failure is shrunk to a test."""
    for dice in pace.cases(GARMENTS):
        shop = shop_of(dice, min(GARMENTS, pace.times))
        told: list[Action] = []
        try:
            _play(shop, told, dice, pace)
        except Broken as broken:
            short = shrunk(shop, tuple(told))
            text = as_test(*short, seed=f"{pace.seed}, number {pace.done}")
            raise Broken(f"{broken}\n\n{text}") from broken


def _play(shop: Shop, told: list[Action], dice: Random, pace: Pace) -> None:
    folder = Path(tempfile.mkdtemp(prefix="kiosk-fuzz-", dir=in_memory()))
    most = sum(order.garments for order in shop.orders) // MOST
    pace.at = f"{folder}, {shop}"
    world = World(shop, folder)
    try:
        for action in actions(shop, dice):
            if world.is_made or len(told) >= most:
                break
            told.append(action)
            world.do(action)
        world.finish()
    finally:
        world.close()
        shutil.rmtree(folder)
    pace.counted += world.counted
