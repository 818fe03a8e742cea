"""From a log to the station's state: the last checkpoint and the tail."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from kiosk.log.record import checkpoints
from kiosk.log.record.tickets import Tail
from kiosk.log.store.store import Recorded, Store
from kiosk.run.apply import apply
from kiosk.run.state import State


@dataclass(frozen=True, slots=True)
class Recovered:
    """The state after the log's last event. `replayed` events came after the checkpoint `since`.

    `since` is 0 where no checkpoint held good: `tail` then has the whole log.
    """

    state: State
    tail: Tail
    since: int
    replayed: int


def recover(store: Store) -> Recovered:
    """Return where the station is by its log.

    Raises Damaged, Newer or CannotRecord when an event cannot be read.
    """
    since, base = checkpoints.load(store) or (0, State())
    state, tail = fold(base, store.events(since + 1))
    return Recovered(state, tail, since, store.last - since)


def fold(base: State, events: Iterable[Recorded]) -> tuple[State, Tail]:
    """Return the state after `events` from `base`, and what they mean for the tickets."""
    state, tail = base, Tail(base)
    for _, event in events:
        after = apply(state, event)
        tail.note(event, state, after)
        state = after
    return state, tail
