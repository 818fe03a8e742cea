"""When a carrier comes off after opening, and where it waits until then."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from kiosk.catalog.model import Peel
from kiosk.heat.garment import Where
from kiosk.heat.learn import LIFTED, PAD
from kiosk.heat.peel import Cooling, PeelZones, Span, peel_zones
from kiosk.plan.group import Group
from kiosk.plan.heat.story import heat_stack, solved_pass
from kiosk.plan.heat.wait_source import FROM_ESTIMATE, FROM_PRACTICE, WRITTEN, beside_guess, is_rule
from kiosk.plan.model import PeelWait, Phase, Place, Step
from kiosk.plan.stack import HeatStack, Range
from kiosk.plan.time.handling import RACKING, work

# Seconds after opening where nobody wrote it down and no model fits: common practice, no source.
PRACTICE = {Peel.HOT: (0.0, 5.0), Peel.WARM: (8.0, 25.0), Peel.COLD: (60.0, 240.0)}
FORGOTTEN_SECONDS = 900.0  # a cold peel is never too late, but nobody means to leave it so long


def peel_wait(group: Group, steps: Sequence[Step], peel: Peel, pieces: tuple[str, ...]) -> PeelWait:
    """Return when `pieces` come off together: the latest from and the earliest to.

    Where a sheet, a trial or a published work says a wait, of what is written down; else of the
    estimates, each beside its guess. Where waits do not meet, the latest from is the one moment
    named: peeled before it, a carrier takes its film along.
    """
    written = {piece: _written(group, peel, piece) for piece in pieces}
    told = [wait for wait in written.values() if wait is not None]
    if any(is_rule(wait) for wait in told):
        return _together(told)
    return _together([_guessed(group, steps, peel, piece, written[piece]) for piece in pieces])


def _written(group: Group, peel: Peel, piece: str) -> PeelWait | None:
    """What the shop wrote down for a piece's material, with its source; None for nothing."""
    material = group.material(piece)
    if peel not in material.peel_wait:
        return None
    wait, origin = material.peel_wait[peel], material.source.of("peel_wait")
    start, end = float(wait.start.value), float(wait.end.value)
    guess = (start, end) if origin.is_guess else None
    return PeelWait(peel, start, end, WRITTEN[origin.kind], guess=guess, origin=origin)


def _guessed(
    group: Group, steps: Sequence[Step], peel: Peel, piece: str, guess: PeelWait | None
) -> PeelWait:
    """The estimate beside the guess, one of them alone, or else common practice."""
    stack = heat_stack(group, steps, piece)
    found = None if stack is None else estimated(stack, peel)
    if found is not None:
        return beside_guess(found, None if guess is None else guess.guess)
    return guess or PeelWait(peel, *PRACTICE[peel], FROM_PRACTICE)


def estimated(stack: HeatStack, peel: Peel) -> PeelWait | None:
    """Return when `peel` is due by the model, nothing learned yet; None where it never is.

    A hot peel is done on the pad, the others lie flat off the platen.
    """
    where, beta = (Where.PAD, PAD) if peel is Peel.HOT else (Where.LIFTED, LIFTED)
    solved = solved_pass(stack, where)
    cooling = Cooling(solved.cooling, solved.opened, stack.room, beta, where)
    return wait_of(peel_zones(peel, cooling, thresholds=stack.peel_at))


def wait_of(zones: PeelZones) -> PeelWait | None:
    """Return estimated zones as a plan has them, in tenths of a second; None: it never is due."""
    begin = zones.now_from
    if begin is None or zones.start is None or zones.prompt_seconds is None:
        return None
    late = None if zones.end is None else _range(zones.end)
    end = FORGOTTEN_SECONDS if late is None else late.middle
    return PeelWait(
        zones.peel,
        round(begin, 1),
        max(round(begin, 1), end),
        FROM_ESTIMATE,
        _range(zones.start),
        late,
        round(zones.prompt_seconds, 1),
    )


def _range(span: Span) -> Range:
    return Range(round(span.low, 1), round(span.middle, 1), round(span.high, 1))


def _together(waits: Sequence[PeelWait]) -> PeelWait:
    """Return the wait of the slowest piece, late as soon as the first is; practice if any is."""
    slowest = max(waits, key=lambda wait: wait.from_seconds)
    soonest = min(waits, key=lambda wait: wait.to_seconds)
    guessed = any(wait.source == FROM_PRACTICE for wait in waits)
    return replace(
        slowest,
        to_seconds=max(slowest.from_seconds, soonest.to_seconds),
        late=None if slowest.ready is None else soonest.late,
        source=FROM_PRACTICE if guessed else slowest.source,
    )


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


def watched(group: Group, steps: Sequence[Step]) -> HeatStack | None:
    """Return the stack that a pass is watched at: the last to be peeled, else the thickest."""
    ends = [step for step in steps if step.phase is Phase.PEEL]
    pieces = ends[-1].pieces if ends else group.in_order(group.final.pieces)
    stacks = [s for piece in pieces if (s := heat_stack(group, steps, piece)) is not None]
    if not ends or ends[-1].peel is None:
        return max(stacks, key=lambda stack: len(stack.films), default=None)
    peel = ends[-1].peel
    return max(stacks, key=lambda stack: _from(estimated(stack, peel)), default=None)


def _from(wait: PeelWait | None) -> float:
    return 0.0 if wait is None else wait.from_seconds
