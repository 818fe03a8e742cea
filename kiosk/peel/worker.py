"""Solves on a thread what an event asks for, and shows heat advice at set-up."""

import sys
from collections.abc import Callable, Iterable
from concurrent.futures import Executor, Future, ThreadPoolExecutor

from kiosk.catalog.base import Degrees, Message
from kiosk.peel.estimate import changed_estimates, estimate, to_estimate
from kiosk.peel.lessons import lesson
from kiosk.plan.heat import heat_summary
from kiosk.plan.model import Pass
from kiosk.run.facts import ScreenKind
from kiosk.run.show import View
from kiosk.run.state import Event, JobRun, Now, State, elapsed, replace
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state import events as e
from kiosk.run.state import events_station as st

PRESS_COLD_SECONDS = 1800.0  # by then an open press has cooled its pad: some 20 °C are left
OF_THE_PAD = "heat.pad."


class Advice:
    """Advice for a setting's first garment, computed on an executor; it never changes a dwell."""

    def __init__(self) -> None:
        self._asked: tuple[Pass, Degrees] | None = None
        self._found: Future[tuple[Message, ...]] | None = None
        self._advice: tuple[Message, ...] = ()

    def on_setting(
        self, view: View, state: State, now: Now, executor: Callable[[], Executor]
    ) -> View:
        """Return the press-setting view with the advice added, once it is known."""
        job = state.job
        if view.kind is not ScreenKind.SETTING or job is None:
            return view
        found = self._of(job, executor())
        cold = is_cold(state, now)
        advice = tuple(m for m in found if cold or not m.id.startswith(OF_THE_PAD))
        return replace(view, warnings=(*view.warnings, *advice)) if advice else view

    def _of(self, job: JobRun, executor: Executor) -> tuple[Message, ...]:
        ticket = job.tickets.get(job.slot)
        if ticket is None:
            return ()
        problem = (job.plan.passes[ticket.passage], job.plan.unit)
        if self._asked is None or self._asked[0] is not problem[0]:
            self._asked, self._advice = problem, ()
            self._found = executor.submit(_advice, *problem)
        if self._found is not None and self._found.done():
            found, self._found = self._found, None
            self._advice = found.result()  # a failed computation raises, once
        return self._advice


def _advice(each: Pass, unit: Degrees) -> tuple[Message, ...]:
    summary = heat_summary(each, unit)
    return () if summary is None else summary.advice


def is_cold(state: State, now: Now) -> bool:
    """Return whether the pad has had no heat for long, as for the first garment of the day."""
    if state.pressings:
        return elapsed(state.pressings[-1].ended, now)[0] > PRESS_COLD_SECONDS
    return state.pad is None or elapsed(state.pad.at, now)[0] > PRESS_COLD_SECONDS


SHARED_SECONDS = 0.0005
"""How long the solver may keep the window waiting: Python runs one thread at a time."""


class ImmediateExecutor(Executor):
    """Runs submitted work immediately: for a stage whose clock is paused meanwhile."""

    def submit(self, fn, /, *args, **kwargs):  # type: ignore[no-untyped-def]  # as in Executor
        """Return a finished future."""
        future: Future[object] = Future()
        try:
            future.set_result(fn(*args, **kwargs))
        except Exception as problem:
            future.set_exception(problem)
        return future


class Estimates:
    """Looks at each new state, solves what it asks for, and hands out the results."""

    def __init__(self, executor: Executor | None = None) -> None:
        self._executor = executor
        self._running: Future[s.GiveEstimate | None] | None = None

    def wanted(self, state: State) -> bool:
        """Return whether `state` asks for something and nothing is being solved."""
        return self._running is None and to_solve(state) is not None

    def start_solving(self, state: State) -> None:
        """Start solving what `state` asks for; never blocks."""
        if self._running is not None:
            return
        work = to_solve(state)
        if work is None:
            return
        self._running = self.executor().submit(work)

    def executor(self) -> Executor:
        """Return the executor; its thread is made on first use, to keep start-up fast."""
        if self._executor is None:
            self._executor = ThreadPoolExecutor(1, "peel")
            sys.setswitchinterval(SHARED_SECONDS)
        return self._executor

    @property
    def ready(self) -> bool:
        """Whether a result is waiting to be taken."""
        return self._running is not None and self._running.done()

    def take(self) -> s.GiveEstimate | None:
        """Return the result, or None if there is none; a failed solve raises, once."""
        running = self._running
        if running is None or not running.done():
            return None
        self._running = None
        return running.result()

    def close(self) -> None:
        """End the thread."""
        if self._executor is not None:
            self._executor.shutdown(wait=True, cancel_futures=True)
        if self._running is not None and self._running.cancelled():
            self._running = None


CHANGING = (st.PlaceSaid, st.PeelLearned, st.LearningReset, e.TakenBack)

Solve = Callable[[], s.GiveEstimate | None]


def changes_estimates(events: Iterable[Event]) -> bool:
    """Return whether these events may change the estimates of garments still cooling."""
    return any(isinstance(x, CHANGING) or (isinstance(x, e.Closed) and x.racked) for x in events)


def lessons(before: State, events: Iterable[Event]) -> tuple[s.LearnPeel, ...]:
    """Return what `events` taught a station whose state was `before`."""
    found = (lesson(before, event) for event in events)
    return tuple(each for each in found if each is not None)


def follow(
    before: State,
    events: tuple[Event, ...],
    state: Callable[[], State],
    do: Callable[[c.Command], object],
) -> None:
    """Do at once what `events` teach and ask for, including solving."""
    taught = lessons(before, events)
    for learn in taught:
        do(learn)
    if taught or changes_estimates(events):
        for changed in changed_estimates(state()):
            do(changed)
    work = to_solve(state())
    solved = None if work is None else work()
    if solved is not None:
        do(solved)


def to_solve(state: State) -> Solve | None:
    """Return the work for a garment whose last closing has ended; None if there is none."""
    return None if to_estimate(state) is None else lambda: estimate(state)
