"""What an event makes of a state; the station is the fold of its events."""

from __future__ import annotations

from collections.abc import Iterable

from kiosk.run.events import Event
from kiosk.run.model import State


def apply(state: State, event: Event) -> State:
    """Return the state after `event`; total: an event that does not fit changes only `last`."""
    raise NotImplementedError


def replay(events: Iterable[Event], state: State | None = None) -> State:
    """Return the state after all `events`, from `state` or from a new station."""
    raise NotImplementedError
