"""The cooling rack in time: garments lie flat while the next is pressed, and are peeled meanwhile.

Played garment by garment on a made-up clock, for hands of one speed.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass, field

PLAYED = 60  # beyond so many garments each takes what the last ones took
SETTLED = 20


@dataclass(frozen=True, slots=True)
class Beat:
    """Seconds of work at the press, then seconds in which it is closed and the hands are free."""

    work: float
    closed: float = 0.0


@dataclass(frozen=True, slots=True)
class Lot:
    """Seconds until the last garment is peeled and looked over, and flat places taken at most."""

    seconds: float
    places: int


@dataclass(slots=True)
class _Bench:
    """The clock, and when each garment on the rack is ready, oldest first."""

    later: float
    least: float
    clock: float = 0.0
    rack: deque[float] = field(default_factory=deque)
    most: int = 0

    def closed(self, seconds: float) -> None:
        """Serve what is due while the press is closed, as far as there is time for it."""
        free, end = self.clock, self.clock + seconds
        while self.rack and max(free, self.rack[0]) <= end - self.least:
            free = max(free, self.rack.popleft()) + self.later
        self.clock = max(end, free)

    def racked(self, ready: float) -> None:
        """One more lies down."""
        self.rack.append(ready)
        self.most = max(self.most, len(self.rack))


def play(beats: Sequence[Beat], racking: float, later: float, wait: float, garments: int) -> Lot:
    """Return how a lot goes: each garment's `beats`, then onto the rack, ready after `wait`.

    `later` seconds of peeling and looking over are done in a closing that holds them (or in the
    longest, where none does); what lies there at the end has nothing to hide behind.
    """
    closings = [beat.closed for beat in beats if beat.closed]
    bench = _Bench(later, min(later, max(closings, default=0.0)))
    ends = [0.0]
    for _ in range(min(garments, PLAYED)):
        for beat in beats:
            bench.clock += beat.work
            bench.closed(beat.closed)
        bench.clock += racking
        bench.racked(bench.clock - racking + wait)
        ends.append(bench.clock)
    if garments > PLAYED:
        each = (ends[-1] - ends[-1 - SETTLED]) / SETTLED
        bench.clock += each * (garments - PLAYED)
        bench.rack = deque(ready + each * (garments - PLAYED) for ready in bench.rack)
    while bench.rack:
        bench.clock = max(bench.clock, bench.rack.popleft()) + later
    return Lot(bench.clock, bench.most)
