"""A fuzzer's progress and limits."""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from random import Random

TOLD_EVERY = 60.0  # seconds


@dataclass
class Pace:
    """A fuzzer's count: `done` of `times`, until `ends` (seconds of the monotonic clock).

    `at` describes the current case, for investigating a failure; `counted` the outcomes.
    """

    name: str
    seed: int
    times: int
    ends: float = float("inf")
    done: int = 0
    at: str = ""
    counted: Counter[str] = field(default_factory=Counter)
    began: float = field(default_factory=time.monotonic)
    _told: float = field(default_factory=time.monotonic)

    def cases(self, each: int = 1) -> Iterator[Random]:
        """Yield dice for one case after another, each counting for `each`."""
        while self.done < self.times and time.monotonic() < self.ends:
            yield Random(f"{self.name}/{self.seed}/{self.done}")
            self.done += each
            if time.monotonic() - self._told > TOLD_EVERY:
                self._told = time.monotonic()
                print(f"{self.name}: {self.told()}", flush=True)

    def told(self) -> str:
        """Return how many cases were done and in what time."""
        counted = "".join(f", {many} {what}" for what, many in sorted(self.counted.items()))
        return f"{self.done} of {self.times} in {time.monotonic() - self.began:.0f} s{counted}"
