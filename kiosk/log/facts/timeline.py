"""How long a shift went on, by the clock that never jumps, and where the wall clock was set."""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping
from typing import NamedTuple

from kiosk.log.facts.shift import Jump, Shift
from kiosk.log.store.store import Store

JUMP_SECONDS = 60.0
"""A smaller difference is a clock that is kept right in steps."""

# Within a boot the machine's own clock counts. Between two only the wall clock tells how long
# the machine was off, and where that went back nothing does.
_GAPS = """
WITH moments AS (
    SELECT seq, wall, boot = lag(boot) OVER w AS same, clock - lag(clock) OVER w AS went,
           wall - lag(wall) OVER w AS by_wall
    FROM events WHERE seq BETWEEN ?1 AND ?2 WINDOW w AS (ORDER BY seq)
), gaps AS (
    SELECT seq, total(CASE WHEN same THEN went ELSE max(by_wall, 0.0) END) OVER (ORDER BY seq)
               AS gone,
           CASE WHEN same THEN by_wall - went ELSE min(by_wall, 0.0) END AS jump
    FROM moments
)
SELECT seq, gone, jump FROM gaps
WHERE abs(jump) >= ?3 OR seq IN (SELECT value FROM json_each(?4))
"""


class Timeline(NamedTuple):
    """Seconds since the shift's first event at some of its events, and the clock's jumps."""

    gone: Mapping[int, float]
    jumps: tuple[Jump, ...]


def timeline(store: Store, shift: Shift, at: Collection[int]) -> Timeline:
    """Return how far the shift was at the events numbered `at`. Raises Damaged, CannotRecord."""
    wanted, gone, jumps = json.dumps(sorted(at)), {}, []
    for seq, seconds, jump in store.rows(_GAPS, shift.first, shift.last, JUMP_SECONDS, wanted):
        gone[seq] = seconds
        if jump is not None and abs(jump) >= JUMP_SECONDS:
            jumps.append(Jump(seq, jump))
    return Timeline(gone, tuple(jumps))
