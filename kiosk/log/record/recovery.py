"""From a log to the station's state: the stored one after some event, and the tail since."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields
from functools import lru_cache, partial
from hashlib import sha256
from pathlib import Path

from kiosk.catalog.base import say
from kiosk.log.record.tickets import Key, Tail, TicketRow
from kiosk.log.store import Checkpoint, Damaged, Recorded, Store, codec
from kiosk.run.apply import apply
from kiosk.run.state import State

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
    found = store.checkpoint()
    if found is None or found.code != code_version() or found.sum != _sum(found):
        return None
    if found.seq > store.last:  # events that were there are gone
        raise Damaged(say("log.damaged", path=str(store.path), found=f"events {store.last}"))
    try:
        return found.seq, codec.from_json(found.state, State)
    except codec.Unreadable:
        return None


def save_checkpoint(store: Store, state: State, tail: Tail, anew: bool = False) -> None:
    """Store the state after the log's last event, with the rows of the tickets in `tail`.

    `anew` first clears what was stored: `tail` then has the whole log. Raises CannotRecord or
    Damaged; nothing is changed then.
    """
    stored = no_row if anew else partial(stored_row, store)
    rows = [row.columns() for row in tail.rows(state, stored)]
    made = Checkpoint(store.last, code_version(), codec.to_json(state), "")
    with store.writing() as connection:
        if anew:
            connection.execute("DELETE FROM tickets")
        connection.executemany("DELETE FROM tickets WHERE job = ? AND ticket = ?", tail.gone(state))
        connection.executemany(_upsert("tickets", len(fields(TicketRow))), rows)
        connection.execute(_upsert("checkpoint", 5), (1, *made[:3], _sum(made)))


def stored_rows(store: Store) -> Iterator[TicketRow]:
    """Yield the rows of the tickets as of the checkpoint."""
    for columns in store.rows("SELECT * FROM tickets ORDER BY job, ticket"):
        yield TicketRow.of_columns(*columns)


def stored_row(store: Store, key: Key) -> TicketRow | None:
    """Return the row that a ticket had as of the checkpoint."""
    found = next(store.rows("SELECT * FROM tickets WHERE job = ? AND ticket = ?", *key), None)
    return None if found is None else TicketRow.of_columns(*found)


def no_row(_: Key) -> None:
    """Return that a ticket has no row yet: there is no checkpoint."""


def _upsert(table: str, columns: int) -> str:
    return f"INSERT OR REPLACE INTO {table} VALUES ({', '.join('?' * columns)})"


def _sum(checkpoint: Checkpoint) -> str:
    text = f"{checkpoint.seq}|{checkpoint.code}|{checkpoint.state}"
    return sha256(text.encode()).hexdigest()


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
    since, base = load_checkpoint(store) or (0, State())
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
