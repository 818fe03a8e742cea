"""What the clock has brought about by now without anybody doing anything."""

from __future__ import annotations

from kiosk.run.events import Event
from kiosk.run.model import Now, State


def settle(state: State, now: Now) -> tuple[Event, ...]:
    """Return the events that are due at `now`: ends of time, calls, questions after a break."""
    raise NotImplementedError


def settled(state: State, now: Now) -> State:
    """Return the state with what is due at `now` counted as happened; screens draw this one."""
    raise NotImplementedError
