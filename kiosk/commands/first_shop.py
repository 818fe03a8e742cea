"""The shop's folder of an installed station: made from the examples at its first start."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

from kiosk.catalog.base import Message, say
from kiosk.log.store import CannotRecord, fault_of_system

EXAMPLES = ("recipes", "shared")


def enter(shop: Path, examples: Path) -> None:
    """Work in the folder `shop`, made from `examples` if it does not exist.

    Raises CannotRecord if it cannot be made, as on a full disk.
    """
    try:
        if not shop.is_dir():
            _make(shop, examples)
        os.chdir(shop)
    except OSError as problem:
        why = fault_of_system(problem, shop).message.values["why"]
        full = isinstance(why, Message) and why.id == "log.why.full"
        id_ = "command.run.no_room" if full else "command.run.no_shop"
        raise CannotRecord(say(id_, path=str(shop), why=why)) from problem


def _make(shop: Path, examples: Path) -> None:
    """Copy the examples beside `shop` first, so that an interrupted start leaves no half shop."""
    half = shop.with_name(f"{shop.name}.new")
    shutil.rmtree(half, ignore_errors=True)  # left over from an interrupted first start
    for folder in EXAMPLES:
        for each in (examples / folder, *sorted((examples / folder).rglob("*"))):
            place = half / each.relative_to(examples)
            if each.is_dir():
                place.mkdir(parents=True, exist_ok=True)
            else:
                shutil.copy(each, place)  # not copytree, whose errors do not tell a full disk
    half.rename(shop)
