"""When a carrier comes off after opening, where it waits until then, and what the wait rests on.

A wait from a sheet, a trial or published work is a rule and wins over any estimate. A guess does
not: of the guessed and the estimated start, the later one counts. The end is the estimate's, or the
guess's if the estimate ends before the start. A guess that ends earlier only brings the last call
forward: a hurried warm peel spoils less than one never called, and a guess never makes a garment
late that the estimate still has in time.
"""

from collections.abc import Sequence
from dataclasses import replace
from itertools import takewhile
from math import inf

from kiosk.catalog.base import Message, say
from kiosk.catalog.model import Peel, Range, SourceKind, source_in_words
from kiosk.heat.garment import Cooling, GarmentPlace, PeelZones, peel_zones
from kiosk.heat.learn import LIFTED, PAD
from kiosk.plan.group import ClosingGroup
from kiosk.plan.heat.story import heat_stack, solved_pass
from kiosk.plan.model import PeelPlace, PeelWait, Phase, Step
from kiosk.plan.sources import HeatStack
from kiosk.plan.time.handling import RACKING, carrier_waits, work

FROM_SHEET = "plan.wait.sheet"
FROM_TRIAL = "plan.wait.trial"
FROM_PUBLISHED = "plan.wait.published"
FROM_GUESS = "plan.wait.guess"
FROM_ESTIMATE = "plan.wait.estimate"
FROM_PRACTICE = "plan.wait.practice"

SOURCE_IDS = {
    SourceKind.SUPPLIER_SHEET: FROM_SHEET,
    SourceKind.SHOP_TRIAL: FROM_TRIAL,
    SourceKind.PUBLISHED: FROM_PUBLISHED,
    SourceKind.GUESS: FROM_GUESS,
}
RULES = frozenset({FROM_SHEET, FROM_TRIAL, FROM_PUBLISHED})
GUESSES = frozenset({FROM_GUESS, FROM_PRACTICE})


def is_rule(wait: PeelWait) -> bool:
    """Return whether this wait comes from a sheet, a trial or published work."""
    return wait.source in RULES


def is_guessed(wait: PeelWait) -> bool:
    """Return whether the start of this wait is a guess or common practice."""
    return wait.source in GUESSES


def wait_words(wait: PeelWait) -> Message:
    """Return in a few words what a wait rests on; a guess and an estimate are both given."""
    if is_rule(wait):
        return source_in_words(wait.origin)
    if wait.guess is None or wait.ready is None:
        return Message(wait.source, otherwise=wait.source)
    if is_guessed(wait):
        return say("plan.wait.guess_beside", low=round(wait.ready.low), high=round(wait.ready.high))
    start, end = wait.guess
    return say("plan.wait.estimate_beside", start=round(start), end=round(end))


def wait_basis(wait: PeelWait, brief: bool = False) -> Message:
    """Return what the start of a wait rests on, without seconds: a source, or an estimate."""
    if is_rule(wait):
        return source_in_words(wait.origin, brief)
    return say("source.guess" if is_guessed(wait) else "source.estimate")


def time_note(wait: PeelWait) -> Message | None:
    """Return the work screen's words beside the time: its source, or the other value.

    None for a guess alone: the time itself is already marked as a guess.
    """
    if is_guessed(wait):
        if wait.ready is None:
            return None
        low, high = round(wait.ready.low), round(wait.ready.high)
        return say("line.beside.estimate", low=low, high=high)
    if wait.guess is None:
        return wait_basis(wait, brief=True)
    start, end = (round(seconds) for seconds in wait.guess)
    return say("line.beside.guess", start=start, end=end)


def with_guess(estimate: PeelWait, guess: tuple[float, float] | None) -> PeelWait:
    """Return the wait that counts if the shop guessed `guess`, seconds from and to."""
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
    """Return when an estimated window may end, in seconds after opening; infinite for never.

    The second value is whether that end is the guess's. A peel that is never too late has no last
    call.
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


def call_rests_on_guess(wait: PeelWait, waited: float) -> bool:
    """Return whether the call due `waited` seconds after opening rests on a guess."""
    if waited > wait.to_seconds and wait.ready is not None:
        return wait.guess is not None and wait.to_seconds == wait.guess[1]
    end, by_guess = last_call(wait)
    return by_guess if waited >= end else is_guessed(wait)


# Seconds after opening if nothing is written and no model fits: common practice, no source.
PRACTICE = {Peel.HOT: (0.0, 5.0), Peel.WARM: (8.0, 25.0), Peel.COLD: (60.0, 240.0)}
FORGOTTEN_SECONDS = 900.0  # a cold peel is never too late, but by now it is forgotten


def peel_wait(
    group: ClosingGroup,
    steps: Sequence[Step],
    peel: Peel,
    pieces: tuple[str, ...],
    where: GarmentPlace = GarmentPlace.LIFTED,
) -> PeelWait:
    """Return when `pieces` come off together after the last closing of `steps`.

    The start is the latest of all pieces, the end the earliest; for a warm or cold peel the garment
    cools `where`. If any piece has a rule (sheet, trial or published), only written waits count,
    and guesses only if they start later than every rule. Otherwise each piece counts with its
    estimate, adjusted by its guess. If the waits do not overlap, the latest start is the only
    moment given: peeled earlier, a carrier takes its film along.
    """
    written = {piece: _written_wait(group, peel, piece) for piece in pieces}
    known = [wait for wait in written.values() if wait is not None]
    rules = [wait for wait in known if is_rule(wait)]
    if rules:
        latest_start = max(wait.from_seconds for wait in rules)
        return _joint_wait([*rules, *(wait for wait in known if wait.from_seconds > latest_start)])
    found = ((heat_stack(group, steps, piece), written[piece]) for piece in pieces)
    return _joint_wait([_estimate_or_guess(stack, peel, guess, where) for stack, guess in found])


def _written_wait(group: ClosingGroup, peel: Peel, piece: str) -> PeelWait | None:
    """The wait that the shop wrote down for a piece's material, or None."""
    material = group.material(piece)
    if peel not in material.peel_wait:
        return None
    wait, origin = material.peel_wait[peel], material.source.of("peel_wait")
    start, end = float(wait.start.value), float(wait.end.value)
    guess = (start, end) if origin.is_guess else None
    return PeelWait(peel, start, end, SOURCE_IDS[origin.kind], guess=guess, origin=origin)


def _estimate_or_guess(
    stack: HeatStack | None, peel: Peel, guess: PeelWait | None, where: GarmentPlace
) -> PeelWait:
    """The estimate adjusted by the guess, either one alone, or else common practice."""
    found = None if stack is None else estimated_wait(stack, peel, where)
    if found is not None:
        return with_guess(found, None if guess is None else guess.guess)
    return guess or PeelWait(peel, *PRACTICE[peel], FROM_PRACTICE)


def estimated_wait(
    stack: HeatStack, peel: Peel, where: GarmentPlace = GarmentPlace.LIFTED
) -> PeelWait | None:
    """Return when `peel` is due by the model, a hot one on the pad; None if it never is."""
    where = GarmentPlace.PAD if peel is Peel.HOT else where
    solved = solved_pass(stack, where)
    beta = PAD if where is GarmentPlace.PAD else LIFTED
    cooling = Cooling(solved.cooling, solved.opened, stack.room, beta)
    return wait_of(peel_zones(peel, cooling, thresholds=stack.peel_at))


def wait_of(zones: PeelZones) -> PeelWait | None:
    """Return estimated zones as a plan's wait, in tenths of a second; None if never due."""
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


def _joint_wait(waits: Sequence[PeelWait]) -> PeelWait:
    """Return the slowest piece's wait, late once any piece is; practice if any rests on that."""
    slowest = max(waits, key=lambda wait: wait.from_seconds)
    soonest = min(waits, key=lambda wait: wait.to_seconds)
    guessed = any(wait.source == FROM_PRACTICE for wait in waits)
    return replace(
        slowest,
        to_seconds=max(slowest.from_seconds, soonest.to_seconds),
        late=None if slowest.ready is None else soonest.late,
        source=FROM_PRACTICE if guessed else slowest.source,
    )


def peel_place(wait: PeelWait | None, seconds_to_next_final: float) -> PeelPlace:
    """Return where the last peel happens: at the press, in hand or on the rack."""
    if wait is None or wait.peel is Peel.HOT:
        return PeelPlace.PRESS
    return PeelPlace.HAND if wait.to_seconds < seconds_to_next_final else PeelPlace.RACK


def slow_seconds_to_final(steps: Sequence[Step], closes_in_seconds: float) -> float:
    """Return a slow operator's seconds from opening until the final of `steps` begins."""
    before = tuple(takewhile(lambda step: step.phase is not Phase.FINAL, steps))
    wait_seconds = sum(each.high for each in carrier_waits(before))
    hand_seconds = sum(work(step, closes_in_seconds).high for step in before)
    return RACKING.high + closes_in_seconds + hand_seconds + wait_seconds


def watched_stack(group: ClosingGroup, steps: Sequence[Step]) -> HeatStack | None:
    """Return the stack to watch a pass at: the last peeled, else the thickest; None if no model."""
    peels = [step for step in steps if step.phase is Phase.PEEL]
    pieces = peels[-1].pieces if peels else group.in_order(group.final.pieces)
    stacks = [s for piece in pieces if (s := heat_stack(group, steps, piece)) is not None]
    if not peels or peels[-1].peel is None:
        return max(stacks, key=lambda stack: len(stack.films), default=None)
    peel = peels[-1].peel

    def start(stack: HeatStack) -> float:
        wait = estimated_wait(stack, peel)
        return 0.0 if wait is None else wait.from_seconds

    if len({replace(stack, piece="") for stack in stacks}) < 2:
        return next(iter(stacks), None)  # equal stacks: no need to solve any
    return max(stacks, key=start)
