"""The Western Electric rules (NIST/SEMATECH e-Handbook 6.3.2)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Signal:
    """Rule 1 to 4 has come true with value `at`, counted from 0; `above` the centre or below."""

    rule: int
    at: int
    above: bool


# Rule: how many of the last so many values lie more than so many standard deviations out.
RULES = {1: (1, 1, 3.0), 2: (2, 3, 2.0), 3: (4, 5, 1.0), 4: (8, 8, 0.0)}


def signals(distances: Sequence[float]) -> tuple[Signal, ...]:
    """Return all signals of values given as standard deviations from the centre, in order."""
    return tuple(
        Signal(rule, at, above)
        for at in range(len(distances))
        for rule in RULES
        for above in (True, False)
        if _comes_true(rule, distances[max(0, at - 7) : at + 1], 1 if above else -1)
    )


def _comes_true(rule: int, so_far: Sequence[float], side: int) -> bool:
    """The last value itself must lie out there: a signal is told once, where it arises."""
    enough, of, far = RULES[rule]
    last = so_far[-of:]
    out = [side * value > far for value in last]
    return out[-1] and sum(out) >= enough
