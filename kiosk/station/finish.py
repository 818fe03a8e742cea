"""When a job will be done, by the wall clock: a range, and what it rests on."""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from math import ceil, floor

from kiosk.catalog.message import Message, say
from kiosk.log.cycles import cycles
from kiosk.log.errors import LogFault
from kiosk.log.store import Store
from kiosk.plan.model import Plan
from kiosk.plan.past import Past, past_by_run
from kiosk.plan.schedule import Left, time_left, whole_job
from kiosk.run.model import JobRun
from kiosk.run.views import Kind, View

ROUND_SECONDS = 300  # finer than five minutes nobody can foresee it


class Forecast:
    """Looks at the shop's own cycles in `store` when a job is looked at or taken up."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._cycles: Mapping[str, tuple[float, ...]] | None = None

    def look(self) -> None:
        """Read the cycles of the log anew the next time they are needed."""
        self._cycles = None

    def of_job(self, plan: Plan, garments: int, wall: float) -> Message:
        """Return when a job that is begun at `wall` (seconds since 1970) will be done."""
        return finish(whole_job(plan, garments, self._past(plan)), wall)

    def of_run(self, job: JobRun, wall: float) -> Message:
        """Return when the garments of a job under way that wait or are at the press are done."""
        names = (*job.queue, *((job.slot,) if job.slot else ()))
        left = Counter(job.tickets[name].passage for name in names)
        return finish(time_left(job.plan, left, self._past(job.plan)), wall)

    def on_hold(self, view: View, job: JobRun | None, wall: float) -> View:
        """Return a held view with when its job will be done: there is time to read it."""
        if view.kind is not Kind.HELD or job is None:
            return view
        return replace(view, lines=(*view.lines, self.of_run(job, wall)))

    def _past(self, plan: Plan) -> Mapping[int, Past]:
        if self._cycles is None:
            try:
                self._cycles = cycles(self._store)
            except LogFault:
                self._cycles = {}  # the plain times do where the log cannot be read
        return past_by_run(plan, self._cycles)


def finish(left: Left, wall: float) -> Message:
    """Return the range as hours and minutes of the wall clock, rounded away from each other."""
    first = floor((wall + left.seconds.low) / ROUND_SECONDS) * ROUND_SECONDS
    last = ceil((wall + left.seconds.high) / ROUND_SECONDS) * ROUND_SECONDS
    values = {"first": _clock(max(first, wall)), "last": _clock(last)}
    if left.cycles:
        return say("station.finish.own", count=left.cycles, **values)
    return say("station.finish.plain", **values)


def _clock(wall: float) -> str:
    return time.strftime("%H:%M", time.localtime(wall))
