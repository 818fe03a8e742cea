"""From a log to the station's state: the last checkpoint and the tail."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from kiosk.log import checkpoints
from kiosk.log.store import Recorded, Store
from kiosk.log.tickets import Tail
from kiosk.run.apply import apply
from kiosk.run.events import Event, JobTaken
from kiosk.run.model import State


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
    state, tail = fold(store, base, store.events(since + 1))
    return Recovered(state, tail, since, store.last - since)


def fold(store: Store, base: State, events: Iterable[Recorded]) -> tuple[State, Tail]:
    """Return the state after `events` from `base`, and what they mean for the tickets."""
    state, tail = base, Tail(base)
    for _, event in events:
        state = step(store, state, event)
        tail.note(event, state)
    return state, tail


def step(store: Store, state: State, event: Event) -> State:
    """Return the state after `event`; a job that is taken up again comes down from the shelf."""
    if isinstance(event, JobTaken):
        state = taken_down(store, state, event.job)
    return apply(state, event)


def taken_down(store: Store, state: State, job: str) -> State:
    """Return the state with `job` in it, if the log knows it."""
    if job in state.jobs:
        return state
    found = checkpoints.shelved(store, job)
    return state if found is None else replace(state, jobs={**state.jobs, job: found})
