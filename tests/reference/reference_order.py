"""The best order of garments, by trying all orders: slow, written from the rules alone."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from kiosk.catalog.roster.upside_down import twin

Garment = tuple[str, str]
"""Number and size."""


def fewest(garments: Sequence[Garment]) -> tuple[int, int]:
    """Return (adjacent twins, changes of size) of the best of all orders.

    Every order is tried; how it can go on depends only on what is left and what came last, so each
    of these pairs is computed once (dynamic programming of Held and Karp, 1962).
    """

    @cache
    def onward(left: tuple[Garment, ...], last: Garment | None) -> tuple[int, int]:
        return min(map(joined, [left] * len(left), [last] * len(left), left), default=(0, 0))

    def joined(left: tuple[Garment, ...], last: Garment | None, here: Garment) -> tuple[int, int]:
        n = left.index(here)
        twins, changes = onward(left[:n] + left[n + 1 :], here)
        if last is None:
            return twins, changes
        return twins + (twin(last[0]) == here[0]), changes + (last[1] != here[1])

    return onward(tuple(sorted(garments)), None)
