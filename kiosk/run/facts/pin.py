"""How long the PIN may not be tried after wrong ones, and how long names are kept."""

from kiosk.run.state import Now, State, elapsed

FREE_TRIES = 3
"""Wrong entries before the first wait: slips of a gloved finger."""

FIRST_WAIT_SECONDS = 30.0
LONGEST_WAIT_SECONDS = 900.0


def pin_wait(state: State, now: Now) -> float:
    """Return the seconds until the PIN may be tried again, 0 if it may be now.

    After another boot only the time since the machine came up counts: whoever can set the wall
    clock would end the wait with it.
    """
    if state.tries is None or state.tries.wrong < FREE_TRIES:
        return 0.0
    seconds, certain = elapsed(state.tries.at, now)
    gone = seconds if certain else now.clock
    return max(0.0, _wait_after(state.tries.wrong) - gone)


def _wait_after(wrong: int) -> float:
    doubled = FIRST_WAIT_SECONDS * 2.0 ** min(wrong - FREE_TRIES, 10)
    return min(doubled, LONGEST_WAIT_SECONDS)


KEPT_SECONDS = 30 * 24 * 3600.0


def jobs_to_forget(state: State, wall: float) -> tuple[str, ...]:
    """Return the jobs closed 30 days or more before `wall` (since 1970) and not taken up again."""
    return tuple(
        name
        for name, closed in state.closed.items()
        if wall - closed >= KEPT_SECONDS and _is_closed(state, name)
    )


def _is_closed(state: State, name: str) -> bool:
    job = state.jobs.get(name)
    return name in state.finished if job is None else job.done
