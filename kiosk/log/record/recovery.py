"""From a log to the station's state: the stored one after some event, and the tail since.

For the station itself at a start; and for whoever looks from across the room, where a reader
follows the events, so that a tap has nothing to do with it.
"""

import json
from functools import lru_cache
from hashlib import sha256
from math import inf
from pathlib import Path
from typing import Any, NamedTuple, Self

from kiosk.catalog.base import dataclass, say
from kiosk.log import facts
from kiosk.log.record.anew import Anew, Telling
from kiosk.log.store import Checkpoint, Damaged, Store, codec
from kiosk.plan.model import Phase
from kiosk.run.apply import apply
from kiosk.run.decide import settled
from kiosk.run.facts import Kind, called, kind_of, pass_of, peel_time, progress, serve_next
from kiosk.run.state import Now, State, Ticket

_KIOSK = Path(__file__).resolve().parents[2]
_MAKES_STATES = (
    "catalog/base/*.py", "catalog/model/*.py", "plan/**/*.py", "run/**/*.py", "log/**/*.py",
)  # fmt: skip


@lru_cache(maxsize=1)
def code_version() -> str:
    """Return a digest of the source that makes and reads states: another one starts afresh."""
    digest = sha256()
    for pattern in _MAKES_STATES:
        for path in sorted(_KIOSK.glob(pattern)):
            digest.update(path.read_bytes())
    return digest.hexdigest()


def load_checkpoint(store: Store) -> tuple[int, State] | None:
    """Return the checkpoint's event number and state; None where none holds good for this program.

    Raises Damaged or CannotRecord when the log cannot be read.
    """
    return _loaded(store, own=True)


def _loaded(store: Store, own: bool) -> tuple[int, State] | None:
    """Return what the checkpoint has; of another program's only what can be read as a state."""
    found = store.checkpoint()
    if found is None or found.sum != _sum(found) or (own and found.code != code_version()):
        return None
    if found.seq > store.last:  # events that were there are gone
        raise Damaged(say("log.damaged", path=str(store.path), found=f"events {store.last}"))
    try:
        return found.seq, codec.from_json(found.state, State)
    except codec.Unreadable:
        return None


ANOTHERS = "another program's"  # and not yet held against the record


def save_checkpoint(store: Store, state: State, lifted: bool = False) -> None:
    """Store the state after the log's last event; `lifted` while it rests on another program's.

    Raises CannotRecord or Damaged; nothing is changed then.
    """
    code = ANOTHERS if lifted else code_version()
    made = Checkpoint(store.last, code, codec.to_json(state), "")
    with store.writing() as connection:
        connection.execute(_upsert("checkpoint", 5), (1, *made[:3], _sum(made)))


def _upsert(table: str, columns: int) -> str:
    return f"INSERT OR REPLACE INTO {table} VALUES ({', '.join('?' * columns)})"


def _sum(checkpoint: Checkpoint) -> str:
    text = f"{checkpoint.seq}|{checkpoint.code}|{checkpoint.state}"
    return sha256(text.encode("utf-8", "surrogateescape")).hexdigest()  # rotten as it may be


@dataclass(frozen=True, slots=True)
class Recovered:
    """The state after the log's last event. `replayed` events came after the checkpoint `since`.

    `since` is 0 where no checkpoint held good. `teller` goes on telling facts, None where they
    could not be put down.
    """

    state: State
    teller: facts.Teller | None
    since: int
    replayed: int
    anew: Anew | None = None


def recover(
    store: Store, progress: facts.Progress = facts.quiet, at_once: float = inf
) -> Recovered:
    """Return where the station is by its log; bring up what is told of it.

    A record of more than `at_once` events that would have to be read anew is taken up from what
    another program stored, where that can be: what there is to read is left to `anew`.
    Raises Damaged, Newer or CannotRecord when an event cannot be read.
    """
    own, mark = load_checkpoint(store), facts.told_until(store)
    since, base = own or (0, State())
    told = mark is not None and since <= mark.seq <= store.last
    if store.last > at_once and (own is None or not told):
        kept = _loaded(store, own=False)
        if kept is not None:
            return _beside(store, *kept, mark)
    if not told:
        since, base, mark = 0, State(), None
    telling = Telling(store, mark, progress)
    state = facts.fold(base, store.told(since + 1), telling.teller, telling.put_down)
    return Recovered(state, telling.teller, since, store.last - since)


def _beside(store: Store, since: int, base: State, mark: facts.Mark | None) -> Recovered:
    """Where the facts go far enough they go on at once; else they are told anew as well."""
    if mark is not None and since <= mark.seq <= store.last:
        telling, anew = Telling(store, mark), Anew(store, mark, tells=False)
        state = facts.fold(base, store.told(since + 1), telling.teller, telling.put_down)
        return Recovered(state, telling.teller, since, store.last - since, anew)
    usable = mark if mark is not None and mark.seq <= store.last else None
    state = facts.fold(base, store.told(since + 1))
    return Recovered(state, None, since, store.last - since, Anew(store, usable, tells=True))


class Cooling(NamedTuple):
    """A garment on the rack: its number, how it peels, from when to when (wall seconds).

    `low` to `high` is the range that is told of the beginning; `late` None where no lateness is
    known; `guess` where it rests on one, or on the wall clock alone.
    """

    number: str
    peel: str
    low: float
    high: float
    begins: float
    late: float | None
    guess: bool


class Doing(NamedTuple):
    """A station after event `seq` at the moment `wall`, seconds since 1970 by its own clock.

    `number` is "" while it is to be read from the garment: a wall must not give it away.
    `kind` is what it is in the middle of (`Kind`), `phase` the one at hand ("" for none) of
    garment `nth` of `many`, both so since `since`; `due` is when the press's time is up.
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
    rack: tuple[Cooling, ...] = ()

    @classmethod
    def of_row(cls, *cells: Any) -> Self:
        """Return it from the row that `as_row` made; what a newer program added is left out."""
        told = dict(zip(cls._fields, cells, strict=True))
        known = len(Cooling._fields)
        rack = tuple(Cooling(*each[:known]) for each in json.loads(cells[-1]))
        return cls(**{**told, "rack": rack})

    def as_row(self) -> tuple[object, ...]:
        """Return the values as a database takes them, the rack as JSON."""
        return (*self[:-1], json.dumps(self.rack))


class Look(NamedTuple):
    """One station as it is seen from elsewhere: its rows, and what it was last heard to do.

    `passed` are the seconds since then, by one good clock; `key` tells it from the others.
    """

    key: str
    name: str
    source: facts.Source
    doing: Doing
    passed: float


class Follower:
    """Follows the events of a log that a station may go on writing."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._seq, self._state = load_checkpoint(store) or (0, State())
        self._doing: Doing | None = None

    def doing(self) -> Doing | None:
        """Return the station as of the log's last event; None before any.

        Call it within `store.reading()`. Raises Damaged or Newer.
        """
        if self._seq == 0:  # its first events say nothing of since when
            self._state = facts.fold(State(), self._store.told())
            self._seq = self._store.last
        for seq, event in self._store.events(self._seq + 1):
            self._seq, self._state = seq, apply(self._state, event)
            self._see(event.at)
        if self._doing is None and self._state.last is not None:
            self._see(self._state.last)
        return self._doing

    def _see(self, at: Now) -> None:
        """A later row has the `since` of the one before where nothing but time went on."""
        found, was = _doing(self._seq, self._state, at), self._doing
        if was is not None and _what(was) == _what(found):
            found = found._replace(since=was.since)
        self._doing = found


def _what(of: Doing) -> tuple[object, ...]:
    return of.kind, of.phase, of.shift, of.job, of.number, of.nth


def _doing(seq: int, state: State, at: Now) -> Doing:
    state = settled(state, at)
    kind, job, ticket = kind_of(state, at), state.job, _at_hand(state, at)
    nth, many = (0, 0) if job is None else progress(job, ticket)
    deadline = None if state.heat is None else state.heat.deadline
    return Doing(
        seq, at.wall, kind.value, _phase(state, ticket), at.wall,
        None if deadline is None else at.wall + deadline - at.clock,
        state.shift if state.operator else 0, state.current,
        "" if ticket is None or kind is Kind.ASK else called(ticket), nth, many,
        tuple(_rack(state, at)),
    )  # fmt: skip


def _at_hand(state: State, at: Now) -> Ticket | None:
    """The garment under the press, else that of the hands, else the next of the rack."""
    job = state.job
    if job is None:
        return None
    name = state.heat.ticket if state.heat is not None else job.slot
    return job.tickets.get(name or serve_next(job, at))


def _phase(state: State, ticket: Ticket | None) -> str:
    job = state.job
    if job is None or ticket is None:
        return ""
    if not job.slot and state.heat is None:
        return Phase.PEEL.value
    step = ticket.step if state.heat is None else state.heat.step
    steps = pass_of(job, ticket).steps
    return steps[step].phase.value if step < len(steps) else ""


def _rack(state: State, at: Now) -> list[Cooling]:
    job, found = state.job, list[Cooling]()
    if job is None:
        return found
    for name in job.rack:
        ticket = job.tickets[name]
        time = peel_time(job, ticket, at)
        if time is None or time.basis is None or time.from_seconds == inf:
            continue
        late = None if time.to_seconds == inf else at.wall + time.to_seconds
        begins, low, high = (at.wall + s for s in (time.from_seconds, time.low, time.high))
        found.append(Cooling(called(ticket), time.basis.peel.word, low, high, begins, late,
                             time.guessed or time.uncertain or time.assumed))  # fmt: skip
    return found
