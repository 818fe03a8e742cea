"""The smallest set of limits that rules every point out: a smallest hitting set."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import count

# A set of limits is a whole number with a bit for each of them.


def least_broken(sets: Iterable[int]) -> list[int]:
    """Return those of `sets` that hold no other one of them."""
    kept: list[int] = []
    for each in sorted(set(sets), key=int.bit_count):
        if not any(smaller & each == smaller for smaller in kept):
            kept.append(each)
    return kept


def either(first: Iterable[int], second: Iterable[int]) -> list[int]:
    """Return what is broken at the points that pair any of `first` with any of `second`."""
    seconds = list(second)
    return least_broken(a | b for a in first for b in seconds)


def smallest_hitting(sets: Iterable[int]) -> list[int]:
    """Return all smallest sets that share a limit with each of `sets`, none of which is empty."""
    needed = least_broken(sets)
    for size in count():
        found = _hitting(needed, 0, size)
        if found:
            return sorted(found)
    raise AssertionError("unreachable")  # a set of all limits hits every set


def _hitting(needed: list[int], chosen: int, more: int) -> set[int]:
    missed = next((each for each in needed if not each & chosen), None)
    if missed is None:
        return {chosen}
    if not more:
        return set()
    return {
        found for limit in bits(missed) for found in _hitting(needed, chosen | 1 << limit, more - 1)
    }


def bits(limits: int) -> list[int]:
    """Return the places of the limits in a set, in order."""
    return [place for place in range(limits.bit_length()) if limits >> place & 1]
