"""How long the names of players are kept."""

from __future__ import annotations

from kiosk.run.model import State

KEPT_SECONDS = 30 * 24 * 3600.0


def jobs_to_forget(state: State, wall: float) -> tuple[str, ...]:
    """Return the jobs that were closed 30 days before `wall` (seconds since 1970), or longer ago.

    One that was taken up again is not closed.
    """
    return tuple(
        name
        for name, closed in state.closed.items()
        if wall - closed >= KEPT_SECONDS and _is_closed(state, name)
    )


def _is_closed(state: State, name: str) -> bool:
    job = state.jobs.get(name)
    return name in state.finished if job is None else job.done
