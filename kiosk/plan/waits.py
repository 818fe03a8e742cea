"""When a carrier comes off after opening, and where it waits until then."""

from __future__ import annotations

from collections.abc import Sequence

from kiosk.catalog.model import Peel
from kiosk.plan.group import Group
from kiosk.plan.handling import RACKING, work
from kiosk.plan.model import PeelWait, Phase, Place, Step

# Seconds after opening, for a material whose sheet says nothing: common practice, no source.
PRACTICE = {Peel.HOT: (0.0, 5.0), Peel.WARM: (8.0, 25.0), Peel.COLD: (60.0, 240.0)}
FROM_SHEET = "plan.wait.sheet"
FROM_PRACTICE = "plan.wait.practice"


def peel_wait(group: Group, peel: Peel, pieces: tuple[str, ...]) -> PeelWait:
    """Return when `pieces` come off together: latest from, earliest to of their own sheets.

    Where no sheet says it, by practice. Where the sheets' waits do not meet, the latest from
    is the one moment named: peeled before it, a carrier takes its film along.
    """
    own = [w[peel] for piece in pieces if peel in (w := group.material(piece).peel_wait)]
    if not own:
        return PeelWait(peel, *PRACTICE[peel], FROM_PRACTICE)
    start = max(float(wait.start.value) for wait in own)
    end = min(float(wait.end.value) for wait in own)
    return PeelWait(peel, start, max(start, end), FROM_SHEET)


def peel_place(wait: PeelWait | None, seconds_to_next_final: float) -> Place:
    """Return where the last peel happens (design.md section 3, Rack)."""
    if wait is None or wait.peel is Peel.HOT:
        return Place.PRESS
    return Place.HAND if wait.to_seconds < seconds_to_next_final else Place.RACK


def slow_seconds_to_final(steps: Sequence[Step], closes_in_seconds: float) -> float:
    """Return how long a slow operator takes from opening until the final of `steps` begins."""
    before = [s for n, s in enumerate(steps) if n < _first_final(steps)]
    return RACKING.high + closes_in_seconds + sum(work(s, closes_in_seconds).high for s in before)


def _first_final(steps: Sequence[Step]) -> int:
    return next(n for n, step in enumerate(steps) if step.phase is Phase.FINAL)
