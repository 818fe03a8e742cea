"""Shortens a failing story: leaves out or reduces everything it can."""

from __future__ import annotations

import re
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Any

from sim_shop import in_memory, play
from sim_story import Returned, Shop, Vanished, Work

Story = tuple[Shop, tuple[Any, ...]]
Play = Callable[[Shop, tuple[Any, ...], Path, bool], object]
"""Plays a story in a folder, with or without finishing it. Raises what fails."""
PATIENCE = 300.0  # seconds


def fault_of(shop: Shop, told: tuple[Any, ...], to_its_end: bool = True, how: Play = play) -> str:
    """Play a story; return what fails, "" if nothing does."""
    with tempfile.TemporaryDirectory(prefix="kiosk-fuzz-", dir=in_memory()) as folder:
        try:
            how(shop, told, Path(folder) / "shop", to_its_end)
        except AssertionError as broken:
            return str(broken) or repr(broken)
    return ""


def shrunk(
    shop: Shop, told: tuple[Any, ...], how: Play = play, patience: float = PATIENCE
) -> Story:
    """Return the shortest failing story found in `patience` seconds, or this one."""
    ends = time.monotonic() + patience
    said = fault_of(shop, told, to_its_end=False, how=how)
    at_its_end = not said
    kind = _kind(said or fault_of(shop, told, how=how))

    def fails(story: Story) -> bool:
        if not kind or time.monotonic() > ends:
            return False
        return _kind(fault_of(*story, at_its_end, how)) == kind

    story, before = (shop, told), None
    while story != before and fails(story):
        before = story
        story = _shorter(story, fails)
        for smaller in (_with_fewer_orders, _with_one_station, _with_smaller_parts):
            story = _first_that_fails(story, smaller, fails)
    return story


def _kind(said: str) -> str:
    """Return a failure's text without numbers, as a shorter story has others."""
    return re.sub(r"[\d']+", "", said.strip().splitlines()[-1][:60]) if said.strip() else ""


def _shorter(story: Story, fails: Callable[[Story], bool]) -> Story:
    """Leave out half of the actions, then quarters, down to single ones."""
    shop, told = story
    size = len(told)
    while size:
        at = 0
        while at < len(told):
            without = told[:at] + told[at + size :]
            if fails((shop, without)):
                told = without
            else:
                at += size
        size //= 2
    return shop, told


def _first_that_fails(
    story: Story, smaller: Callable[[Story], Iterator[Story]], fails: Callable[[Story], bool]
) -> Story:
    """Go from one smaller story that fails to the next."""
    found: Story | None = story
    while found is not None:
        story = found
        found = next((each for each in smaller(story) if fails(each)), None)
    return story


def _with_fewer_orders(story: Story) -> Iterator[Story]:
    shop, told = story
    for at in range(len(shop.orders)) if len(shop.orders) > 1 else ():
        orders = shop.orders[:at] + shop.orders[at + 1 :]
        kept = tuple(a for a in told if not isinstance(a, Vanished | Returned))
        yield replace(shop, orders=orders), kept
    for at, each in enumerate(shop.orders):
        for garments in {1, each.garments // 2, each.garments - 1} - {0, each.garments}:
            less = replace(each, garments=garments)
            yield replace(shop, orders=(*shop.orders[:at], less, *shop.orders[at + 1 :])), told


def _with_one_station(story: Story) -> Iterator[Story]:
    shop, told = story
    if shop.stations > 1:
        moved = tuple(replace(a, station=0) if hasattr(a, "station") else a for a in told)
        yield replace(shop, stations=1), moved


def _with_smaller_parts(story: Story) -> Iterator[Story]:
    shop, told = story
    for at, (one, other) in enumerate(pairwise(told)):
        if isinstance(one, Work) and isinstance(other, Work) and one.station == other.station:
            both = replace(other, acts=one.acts + other.acts)
            yield shop, (*told[:at], both, *told[at + 2 :])
    for at, each in enumerate(told):
        if isinstance(each, Work):
            for acts in sorted({0, each.acts // 2, each.acts - 1} - {-1, each.acts}):
                yield shop, (*told[:at], replace(each, acts=acts), *told[at + 1 :])
            if each.fault is not None:
                yield shop, (*told[:at], replace(each, fault=None), *told[at + 1 :])
