"""The vital few: what comes most often first, with what has been covered so far."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from typing import Generic, NamedTuple, TypeVar

K = TypeVar("K", bound=Hashable)


class Bar(NamedTuple, Generic[K]):
    """One cause: how often, and the share of all that it covers with those before it."""

    key: K
    times: int
    covered: float


def pareto(counts: Mapping[K, int]) -> tuple[Bar[K], ...]:
    """Return the bars, most frequent first, equal ones by their words; none of zero."""
    total, so_far, bars = sum(counts.values()), 0, []
    for key, count in sorted(counts.items(), key=lambda item: (-item[1], str(item[0]))):
        if count:
            so_far += count
            bars.append(Bar(key, count, so_far / total))
    return tuple(bars)
