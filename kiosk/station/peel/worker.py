"""Solves beside the tapping: one estimate at a time, on a thread of its own."""

from __future__ import annotations

import sys
from concurrent.futures import Executor, Future, ThreadPoolExecutor

from kiosk.run.state import State, commands_shift
from kiosk.station.peel.follow import to_solve

SHARED_SECONDS = 0.0005
"""How long the solver may keep the window waiting: Python lets one thread run at a time."""


class AtOnce(Executor):
    """Does what is submitted right away: for a stage whose clock stands still meanwhile."""

    def submit(self, fn, /, *args, **kwargs):  # type: ignore[no-untyped-def]  # as in Executor
        """Return a future that is done."""
        done: Future[object] = Future()
        try:
            done.set_result(fn(*args, **kwargs))
        except Exception as problem:
            done.set_exception(problem)
        return done


class Estimates:
    """Looks at each new state, solves what it asks for, and has the results when asked."""

    def __init__(self, executor: Executor | None = None) -> None:
        self._executor = executor
        self._running: Future[commands_shift.GiveEstimate | None] | None = None

    def wanted(self, state: State) -> bool:
        """Whether `state` asks for something that is not being solved."""
        return self._running is None and to_solve(state) is not None

    def look(self, state: State) -> None:
        """Begin to solve what `state` asks for; never waits."""
        if self._running is not None:
            return
        work = to_solve(state)
        if work is None:
            return
        self._running = self.executor().submit(work)

    def executor(self) -> Executor:
        """What solves; a thread is made when first there is something to do, not by the start."""
        if self._executor is None:
            self._executor = ThreadPoolExecutor(1, "peel")
            sys.setswitchinterval(SHARED_SECONDS)
        return self._executor

    @property
    def ready(self) -> bool:
        """Whether something is solved and was not taken yet."""
        return self._running is not None and self._running.done()

    def take(self) -> commands_shift.GiveEstimate | None:
        """Return what was solved; what could not be solved raises, once."""
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
