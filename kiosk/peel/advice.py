"""What to know of heat while the press is set: a tack under the sheet, a cold pad."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Executor, Future

from kiosk.catalog.base import Degrees, Message
from kiosk.plan.heat import heat_told
from kiosk.plan.model import Pass
from kiosk.run.facts import Kind
from kiosk.run.show import View
from kiosk.run.state import JobRun, Now, State, elapsed, replace

PRESS_COLD_SECONDS = 1800.0  # by then an open press has cooled its pad: some 20 °C are left
OF_THE_PAD = "heat.pad."


class Advice:
    """Advice for the first garment of a setting; worked out on `executor`, never waited for.

    It never changes a dwell.
    """

    def __init__(self) -> None:
        self._asked: tuple[Pass, Degrees] | None = None
        self._found: Future[tuple[Message, ...]] | None = None

    def on_setting(
        self, view: View, state: State, now: Now, executor: Callable[[], Executor]
    ) -> View:
        """Return a view of the press being set with what is to be advised, once it is known."""
        job = state.job
        if view.kind is not Kind.SETTING or job is None:
            return view
        found = self._of(job, executor())
        cold = is_cold(state, now)
        told = tuple(m for m in found if cold or not m.id.startswith(OF_THE_PAD))
        return replace(view, warnings=(*view.warnings, *told)) if told else view

    def _of(self, job: JobRun, executor: Executor) -> tuple[Message, ...]:
        ticket = job.tickets.get(job.slot)
        if ticket is None:
            return ()
        asked = (job.plan.passes[ticket.passage], job.plan.unit)
        if self._asked is None or self._asked[0] is not asked[0]:
            self._asked = asked
            self._found = executor.submit(_advice, *asked)
        if self._found is None or not self._found.done():
            return ()
        return self._found.result()


def _advice(each: Pass, unit: Degrees) -> tuple[Message, ...]:
    told = heat_told(each, unit)
    return () if told is None else told.advice


def is_cold(state: State, now: Now) -> bool:
    """Whether the pad has had no heat for long: the first garment of the day."""
    if state.pressings:
        return elapsed(state.pressings[-1].ended, now)[0] > PRESS_COLD_SECONDS
    return state.pad is None or elapsed(state.pad.at, now)[0] > PRESS_COLD_SECONDS
