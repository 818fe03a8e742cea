"""What a station is doing, for people elsewhere in the shop: a reader follows its events."""

import json
from math import inf
from typing import Any, NamedTuple, Self

from kiosk.log import facts
from kiosk.log.record.recovery import load_checkpoint
from kiosk.log.store import Store
from kiosk.plan.model import Phase
from kiosk.run.apply import apply
from kiosk.run.decide import settled
from kiosk.run.facts import (
    ScreenKind,
    hot_at_press,
    kind_of,
    label_of,
    lot_hold,
    pass_of,
    peel_time,
    progress,
    serve_next,
)
from kiosk.run.state import JobRun, Now, State, Ticket


class RackItem(NamedTuple):
    """A garment on the rack: its number, how it peels, from when to when (wall seconds).

    The peel is due at `begins`; `low` to `high` is the range shown of that time, a single moment
    if the sheet gives its own window. `late` is None if no end is known; `guess` if the times rest
    on a guess, on an assumed place of the garment, or on the wall clock alone.
    """

    number: str
    peel: str
    low: float
    high: float
    begins: float
    late: float | None
    guess: bool


HOLDS = ("plan", "met", "scraps", "first")


class StationActivity(NamedTuple):
    """A station after event `seq`; `wall` is the time in seconds since 1970 by its own clock.

    `number` is "" while the operator must read it from the garment, so that no wall screen shows
    it. `kind` is the current activity (`ScreenKind`); `phase` is the current phase ("" for none) of
    garment `nth` of `many`, or what holds the lot (`HOLDS`); both have lasted since `since`. `due`
    is when the press's time is up.
    """

    seq: int
    wall: float
    kind: str
    phase: str
    since: float
    due: float | None
    shift: int
    job: str
    number: str
    nth: int
    many: int
    rack: tuple[RackItem, ...] = ()

    @classmethod
    def of_row(cls, *cells: Any) -> Self:
        """Return it from a row made by `as_row`, ignoring what a newer program added."""
        fields = dict(zip(cls._fields, cells, strict=True))
        width = len(RackItem._fields)
        rack = tuple(RackItem(*each[:width]) for each in json.loads(cells[-1]))
        return cls(**{**fields, "rack": rack})

    def as_row(self) -> tuple[object, ...]:
        """Return the values as database columns, the rack as JSON."""
        return (*self[:-1], json.dumps(self.rack))


class StationLook(NamedTuple):
    """One station as seen from elsewhere: its rows, and its last known activity.

    `passed` is the seconds since then, measured on one reliable clock; `key` identifies the
    station.
    """

    key: str
    name: str
    source: facts.FactSource
    activity: StationActivity
    passed: float


class Follower:
    """Follows the events of a log that a station may still be writing."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._seq, self._state = load_checkpoint(store) or (0, State())
        self._activity: StationActivity | None = None

    def activity(self) -> StationActivity | None:
        """Return the station as of the log's last event, or None if there are no events.

        Call it within `store.reading()`. Raises Damaged or Newer.
        """
        if self._seq == 0:  # no checkpoint: the first events do not set `since`
            self._state = facts.fold(State(), self._store.entries())
            self._seq = self._store.last
        for seq, event in self._store.events(self._seq + 1):
            self._seq, self._state = seq, apply(self._state, event)
            self._see(event.at)
        if self._activity is None and self._state.last is not None:
            self._see(self._state.last)
        return self._activity

    def _see(self, at: Now) -> None:
        """Update what is seen, keeping the previous `since` if only time has passed."""
        found, before = _activity_of(self._seq, self._state, at), self._activity
        if before is not None and _without_times(before) == _without_times(found):
            found = found._replace(since=before.since)
        self._activity = found


def _without_times(activity: StationActivity) -> tuple[object, ...]:
    return (
        activity.kind,
        activity.phase,
        activity.shift,
        activity.job,
        activity.number,
        activity.nth,
    )


def _activity_of(seq: int, state: State, at: Now) -> StationActivity:
    state = settled(state, at)
    kind, job, ticket = kind_of(state, at), state.job, _at_hand(state, at)
    nth, many = (0, 0) if job is None else progress(job, ticket)
    deadline = None if state.heat is None else state.heat.deadline
    return StationActivity(
        seq, at.wall, kind.value,
        _held_by(job) if kind is ScreenKind.LOT else _phase(state, ticket), at.wall,
        None if deadline is None else at.wall + deadline - at.clock,
        state.shift if state.operator else 0, state.current,
        "" if ticket is None or kind is ScreenKind.ASK else label_of(ticket), nth, many,
        tuple(_rack(state, at)),
    )  # fmt: skip


def _at_hand(state: State, at: Now) -> Ticket | None:
    """Return the garment in press or hand, else one leaving hot, else the rack's next, or None."""
    job = state.job
    if job is None:
        return None
    name = state.heat.ticket if state.heat is not None else job.slot
    hot = None if name else hot_at_press(job)
    return hot or job.tickets.get(name or serve_next(job, at))


def _held_by(job: JobRun | None) -> str:
    """Return what holds the lot: another station's plan or garments, scraps, or first garment."""
    hold = None if job is None else lot_hold(job)
    if hold is None or hold.met is None:
        return "" if hold is None else "first" if hold.first else "scraps"
    return "plan" if hold.met.by_plan else "met"


def _phase(state: State, ticket: Ticket | None) -> str:
    job = state.job
    if job is None or ticket is None:
        return ""
    if not job.slot and state.heat is None:
        return Phase.PEEL.value
    step = ticket.step if state.heat is None else state.heat.step
    steps = pass_of(job, ticket).steps
    return steps[step].phase.value if step < len(steps) else ""


def _rack(state: State, at: Now) -> list[RackItem]:
    job, found = state.job, list[RackItem]()
    if job is None:
        return found
    for name in job.rack:
        ticket = job.tickets[name]
        time = peel_time(job, ticket, at)
        if time is None or time.basis is None or time.from_seconds == inf:
            continue
        late = None if time.to_seconds == inf else at.wall + time.to_seconds
        latest = time.low if time.window else time.high
        begins, low, high = (at.wall + s for s in (time.from_seconds, time.low, latest))
        found.append(RackItem(label_of(ticket), time.basis.peel.word, low, high, begins, late,
                              time.guessed or time.uncertain or time.assumed))  # fmt: skip
    return found
