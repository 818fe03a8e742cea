"""When a carrier comes off after opening, where it waits until then, and what the wait rests on.

A sheet, a trial and a published wait are rules: they win over any estimate. A guess never does:
of the two beginnings the later one counts. The end is the estimate's; where it lies before the
beginning, the guess's. A guess that ends earlier only brings the last call forward: a warm peel
that is hurried spoils less than one that nobody called, and nothing is called late by a guess
while the estimate has it in time.
"""

from collections.abc import Sequence
from dataclasses import replace
from itertools import takewhile
from math import inf

from kiosk.catalog.base import Message, say
from kiosk.catalog.model import Peel, Range, SourceKind, source_told
from kiosk.heat.garment import Cooling, PeelZones, Where, peel_zones
from kiosk.heat.learn import LIFTED, PAD
from kiosk.plan.group import Group
from kiosk.plan.heat.story import heat_stack, solved_pass
from kiosk.plan.model import PeelWait, Phase, Place, Step
from kiosk.plan.sources import HeatStack
from kiosk.plan.time.handling import RACKING, carrier_waits, work

FROM_SHEET = "plan.wait.sheet"
FROM_TRIAL = "plan.wait.trial"
FROM_PUBLISHED = "plan.wait.published"
FROM_GUESS = "plan.wait.guess"
FROM_ESTIMATE = "plan.wait.estimate"
FROM_PRACTICE = "plan.wait.practice"

WRITTEN = {
    SourceKind.SUPPLIER_SHEET: FROM_SHEET,
    SourceKind.SHOP_TRIAL: FROM_TRIAL,
    SourceKind.PUBLISHED: FROM_PUBLISHED,
    SourceKind.GUESS: FROM_GUESS,
}
RULES = frozenset({FROM_SHEET, FROM_TRIAL, FROM_PUBLISHED})
GUESSES = frozenset({FROM_GUESS, FROM_PRACTICE})


def is_rule(wait: PeelWait) -> bool:
    """Return whether a sheet, a trial or a published work says this wait."""
    return wait.source in RULES


def is_guessed(wait: PeelWait) -> bool:
    """Return whether the beginning of this wait is a guess, the trade's habit included."""
    return wait.source in GUESSES


def wait_told(wait: PeelWait) -> Message:
    """Return what a wait rests on, in a few words; where a guess meets an estimate, both."""
    if is_rule(wait):
        return source_told(wait.origin)
    if wait.guess is None or wait.ready is None:
        return Message(wait.source, otherwise=wait.source)
    if is_guessed(wait):
        return say("plan.wait.guess_beside", low=round(wait.ready.low), high=round(wait.ready.high))
    start, end = wait.guess
    return say("plan.wait.estimate_beside", start=round(start), end=round(end))


def rests_on(wait: PeelWait, brief: bool = False) -> Message:
    """Return what the beginning of a wait rests on, without seconds: a source, or an estimate."""
    if is_rule(wait):
        return source_told(wait.origin, brief)
    return say("source.guess" if is_guessed(wait) else "source.estimate")


def beside_words(wait: PeelWait) -> Message | None:
    """Return what the work screen says beside the time: what it rests on, or what else is said.

    None where a guess stands alone: the time itself says that it is one.
    """
    if is_guessed(wait):
        if wait.ready is None:
            return None
        low, high = round(wait.ready.low), round(wait.ready.high)
        return say("line.beside.estimate", low=low, high=high)
    if wait.guess is None:
        return rests_on(wait, brief=True)
    start, end = (round(seconds) for seconds in wait.guess)
    return say("line.beside.guess", start=start, end=end)


def beside_guess(estimate: PeelWait, guess: tuple[float, float] | None) -> PeelWait:
    """Return the wait that counts where the shop has guessed `guess`, seconds from and to."""
    if guess is None:
        return estimate
    start, end = guess
    if start <= estimate.from_seconds:
        return replace(estimate, guess=guess)
    late = estimate.to_seconds if estimate.to_seconds > start else end
    prompt = None if estimate.prompt_seconds is None else max(estimate.prompt_seconds, start)
    return replace(
        estimate,
        from_seconds=start,
        to_seconds=max(start, late),
        source=FROM_GUESS,
        guess=guess,
        prompt_seconds=prompt,
    )


def last_call(wait: PeelWait) -> tuple[float, bool]:
    """Return when an estimated window may be over, in seconds after opening, infinite for never.

    With it whether it is the guess that says so; a peel that is never too late has no last call.
    """
    if wait.late is None:
        return inf, False
    own = wait.late.low
    if wait.guess is None:
        return own, False
    if is_guessed(wait) and own <= wait.from_seconds:
        own = inf
    end = wait.guess[1]
    return (end, True) if wait.from_seconds < end < own else (own, False)


def told_by_guess(wait: PeelWait, waited: float) -> bool:
    """Return whether what is to be told `waited` seconds after opening rests on a guess."""
    if waited > wait.to_seconds and wait.ready is not None:
        return wait.guess is not None and wait.to_seconds == wait.guess[1]
    end, by_guess = last_call(wait)
    return by_guess if waited >= end else is_guessed(wait)


# Seconds after opening where nobody wrote it down and no model fits: common practice, no source.
PRACTICE = {Peel.HOT: (0.0, 5.0), Peel.WARM: (8.0, 25.0), Peel.COLD: (60.0, 240.0)}
FORGOTTEN_SECONDS = 900.0  # a cold peel is never too late, but nobody means to leave it so long


def peel_wait(
    group: Group,
    steps: Sequence[Step],
    peel: Peel,
    pieces: tuple[str, ...],
    where: Where = Where.LIFTED,
) -> PeelWait:
    """Return when `pieces` come off together after the last closing of `steps`.

    The latest from and the earliest to; what is peeled warm or cold cools `where`.
    Where a sheet, a trial or a published work says a wait, of what is written down, but a guess
    that begins no later says nothing there; else of the estimates, each beside its guess. Where
    waits do not meet, the latest from is the one moment named: peeled before it, a carrier takes
    its film along.
    """
    written = {piece: _written(group, peel, piece) for piece in pieces}
    told = [wait for wait in written.values() if wait is not None]
    rules = [wait for wait in told if is_rule(wait)]
    if rules:
        begins = max(wait.from_seconds for wait in rules)
        return _together([*rules, *(wait for wait in told if wait.from_seconds > begins)])
    found = ((heat_stack(group, steps, piece), written[piece]) for piece in pieces)
    return _together([_guessed(stack, peel, guess, where) for stack, guess in found])


def _written(group: Group, peel: Peel, piece: str) -> PeelWait | None:
    """What the shop wrote down for a piece's material, with its source; None for nothing."""
    material = group.material(piece)
    if peel not in material.peel_wait:
        return None
    wait, origin = material.peel_wait[peel], material.source.of("peel_wait")
    start, end = float(wait.start.value), float(wait.end.value)
    guess = (start, end) if origin.is_guess else None
    return PeelWait(peel, start, end, WRITTEN[origin.kind], guess=guess, origin=origin)


def _guessed(stack: HeatStack | None, peel: Peel, guess: PeelWait | None, where: Where) -> PeelWait:
    """The estimate beside the guess, one of them alone, or else common practice."""
    found = None if stack is None else estimated(stack, peel, where)
    if found is not None:
        return beside_guess(found, None if guess is None else guess.guess)
    return guess or PeelWait(peel, *PRACTICE[peel], FROM_PRACTICE)


def estimated(stack: HeatStack, peel: Peel, where: Where = Where.LIFTED) -> PeelWait | None:
    """Return when `peel` is due by the model, a hot one on the pad; None where it never is."""
    where = Where.PAD if peel is Peel.HOT else where
    solved = solved_pass(stack, where)
    beta = PAD if where is Where.PAD else LIFTED
    cooling = Cooling(solved.cooling, solved.opened, stack.room, beta)
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


def _range(span: Range) -> Range:
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
    before = tuple(takewhile(lambda step: step.phase is not Phase.FINAL, steps))
    waited = sum(each.high for each in carrier_waits(before))
    took = sum(work(step, closes_in_seconds).high for step in before)
    return RACKING.high + closes_in_seconds + took + waited


def watched(group: Group, steps: Sequence[Step]) -> HeatStack | None:
    """Return the stack that a pass is watched at: the last to be peeled, else the thickest."""
    ends = [step for step in steps if step.phase is Phase.PEEL]
    pieces = ends[-1].pieces if ends else group.in_order(group.final.pieces)
    stacks = [s for piece in pieces if (s := heat_stack(group, steps, piece)) is not None]
    if not ends or ends[-1].peel is None:
        return max(stacks, key=lambda stack: len(stack.films), default=None)
    peel = ends[-1].peel

    def begins(stack: HeatStack) -> float:
        wait = estimated(stack, peel)
        return 0.0 if wait is None else wait.from_seconds

    if len({replace(stack, piece="") for stack in stacks}) < 2:
        return next(iter(stacks), None)  # which of two alike comes last need not be solved
    return max(stacks, key=begins)
