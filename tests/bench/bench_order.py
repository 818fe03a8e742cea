"""The time to order a lot that consists only of twins."""

from __future__ import annotations

import time

from kiosk.catalog.model.orders import RosterLine
from kiosk.plan.time.order import in_order

PAIRS = ("6", "9", "16", "91", "18", "81", "68", "89", "66", "99", "86", "98")


def order(garments: int) -> float:
    """Return the seconds for that many garments in two pairs and in six; the longer of both."""
    return max(_seconds(garments, PAIRS[:4]), _seconds(garments, PAIRS))


def _seconds(garments: int, numbers: tuple[str, ...]) -> float:
    roster = [
        RosterLine(str(n), ("YM", "AS", "AL")[n % 3], "FENN", numbers[n * n % len(numbers)])
        for n in range(garments)
    ]
    began = time.perf_counter()
    in_order(roster)
    return time.perf_counter() - began
