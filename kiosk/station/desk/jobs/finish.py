"""When a job will be done, by the wall clock: a range, and what it rests on."""

import time
from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise
from math import ceil, floor

from kiosk.catalog.base import Message, say
from kiosk.log.facts import LONGEST_SECONDS, cycles
from kiosk.log.store import LogFault, Store
from kiosk.plan.model import Plan
from kiosk.plan.time import (
    Garments,
    PastCycles,
    Spared,
    TimeLeft,
    past_by_run,
    procedure,
    spared_by,
    time_left,
    whole_job,
    with_setting,
)
from kiosk.run.facts import ScreenKind
from kiosk.run.show import View
from kiosk.run.state import JobRun

ROUND_SECONDS = 300  # no one can predict it closer than five minutes
FORECAST_KINDS = (
    ScreenKind.HANDS,
    ScreenKind.HEAT,
    ScreenKind.ASK,
    ScreenKind.SETTING,
    ScreenKind.HELD,
)


class Forecast:
    """Predicts when a job is done, from the shop's own cycles in `store`."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._cycles: Mapping[str, tuple[float, ...]] | None = None
        self._read_at = 0.0
        self._messages: dict[tuple[object, ...], Message] = {}  # now, and after forward

    def forget_cycles(self) -> None:
        """Read the cycles from the log again when they are next needed."""
        self._cycles = None

    def of_job(self, plan: Plan, garments: Garments, wall: float, spared: Spared) -> Message:
        """Return when a job begun at `wall` (seconds since 1970) will be done."""
        return finish(whole_job(plan, garments, self._past(plan), spared), wall)

    def of_run(self, job: JobRun, wall: float) -> Message:
        """Return when the garments of a job that are queued or at the press will be done."""
        return finish(self._remaining(job, self._past(job.plan, job)), wall)

    def on_screen(self, view: View, job: JobRun | None, wall: float) -> View:
        """Return the view with its job's finish time; on hold also with what that rests on.

        The header's time is computed once a minute and for each garment, and never waits for the
        log: it does without the log's cycles until they are read.
        """
        if job is None or view.kind not in FORECAST_KINDS:
            return view
        if view.kind is ScreenKind.HELD:
            return replace(view, lines=(*view.lines, self.of_run(job, wall)))
        set_now = view.kind is ScreenKind.SETTING
        key = (job.job, job.slot, len(job.queue), floor(wall / 60), self._cycles is None, set_now)
        if key not in self._messages:
            logged = {} if self._cycles is None else self._cycles
            remaining = self._remaining(
                job, past_by_run(job.plan, self._with_own_cycles(logged, job))
            )
            remaining = with_setting(remaining) if set_now else remaining
            last = list(self._messages.items())[-1:]
            self._messages = dict((*last, (key, finish(remaining, wall, "station.finish.header"))))
        return replace(view, finish=self._messages[key])

    def _remaining(self, job: JobRun, past: Mapping[int, PastCycles]) -> TimeLeft:
        names = (*job.queue, *((job.slot,) if job.slot else ()))
        tickets = [job.tickets[name] for name in names]
        lacks = ((t.passage, t.garment.lacks) for t in tickets if job.spares)
        spared = spared_by(job.plan, lacks)
        return time_left(job.plan, Counter(t.passage for t in tickets), past, spared)

    def _past(self, plan: Plan, job: JobRun | None = None) -> Mapping[int, PastCycles]:
        if self._cycles is None:
            self._read_at = _last_tone(job)
            try:
                self._cycles = cycles(self._store)
            except LogFault:
                self._cycles = {}  # typical times have to do
        return past_by_run(plan, self._with_own_cycles(self._cycles, job))

    def _with_own_cycles(
        self, logged: Mapping[str, tuple[float, ...]], job: JobRun | None
    ) -> Mapping[str, tuple[float, ...]]:
        """Return the log's cycles, plus those of the job at the press since they were read."""
        if job is None:
            return logged
        found = dict(logged)
        since = self._read_at if self._cycles is not None else 0.0
        for run, passes in enumerate(job.plan.runs):
            key = procedure(job.plan, run)
            found[key] = (*found.get(key, ()), *_between(_tones(job, passes[-1]), since))
        return found


def _tones(job: JobRun, passage: int) -> list[float]:
    """Return when each garment of a pass had its last tone, wall seconds in order."""
    tickets = (t for t in job.tickets.values() if t.passage == passage and not t.represses)
    return sorted(ticket.opened.wall for ticket in tickets if ticket.opened is not None)


def _between(tones: list[float], since: float) -> tuple[float, ...]:
    """Return the seconds between consecutive tones, if the second came after `since`."""
    gaps = (b - a for a, b in pairwise(tones) if b > since)
    return tuple(seconds for seconds in gaps if 0 < seconds <= LONGEST_SECONDS)


def _last_tone(job: JobRun | None) -> float:
    tickets = () if job is None else job.tickets.values()
    return max((each.opened.wall for each in tickets if each.opened is not None), default=0.0)


def finish(remaining: TimeLeft, wall: float, header: str = "") -> Message:
    """Return the range as hours and minutes of the wall clock, rounded outwards.

    The sentence states what it rests on, unless `header` names a shorter one.
    """
    first = floor((wall + remaining.seconds.low) / ROUND_SECONDS) * ROUND_SECONDS
    last = ceil((wall + remaining.seconds.high) / ROUND_SECONDS) * ROUND_SECONDS
    values = {"first": _clock(max(first, wall)), "last": _clock(last)}
    if header:
        return say(header, **values)
    if remaining.cycles:
        return say("station.finish.own", count=remaining.cycles, **values)
    return say("station.finish.plain", **values)


def _clock(wall: float) -> str:
    return time.strftime("%H:%M", time.localtime(wall))
