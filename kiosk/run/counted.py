"""How often each press was closed: what its upkeep goes by."""

from __future__ import annotations

from kiosk.run.anew import replace
from kiosk.run.model import State


def counted(state: State, more: int = 1) -> State:
    """Return the state with `more` closings of the press of the job at hand, none below 0."""
    if state.job is None:
        return state
    press = state.job.plan.press
    closings = max(0, state.closings.get(press, 0) + more)
    return replace(state, closings={**state.closings, press: closings})
