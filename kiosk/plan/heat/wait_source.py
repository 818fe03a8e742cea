"""What a peel's wait rests on, and how a guess and an estimate go together.

A sheet, a trial and a published wait are rules: they win over any estimate. A guess never does:
of the two beginnings the later one counts. The end is the estimate's; where it lies before the
beginning, the guess's. A guess that ends earlier only brings the last call forward: a warm peel
that is hurried spoils less than one that nobody called, and nothing is called late by a guess
while the estimate has it in time.
"""

from __future__ import annotations

from dataclasses import replace
from math import inf

from kiosk.catalog.base import Message, say
from kiosk.catalog.model import SourceKind, source_told
from kiosk.plan.model import PeelWait

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
        return Message(wait.source)
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
