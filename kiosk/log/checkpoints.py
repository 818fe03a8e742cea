"""The stored state after some event: it saves reading the years, and can always be made anew."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from hashlib import sha256
from pathlib import Path

from kiosk.catalog.message import say
from kiosk.log import codec
from kiosk.log.errors import Damaged
from kiosk.log.store import Checkpoint, Store
from kiosk.log.tickets import Key, Tail, TicketRow
from kiosk.run.model import JobRun, State

_KIOSK = Path(__file__).resolve().parents[1]
_MAKES_STATES = ("catalog/message.py", "catalog/model.py", "catalog/quantities.py",
                 "plan/model.py", "run/*.py", "log/*.py")  # fmt: skip


@lru_cache(maxsize=1)
def code_version() -> str:
    """Return a digest of the source that makes and reads states: another one starts afresh."""
    digest = sha256()
    for pattern in _MAKES_STATES:
        for path in sorted(_KIOSK.glob(pattern)):
            digest.update(path.read_bytes())
    return digest.hexdigest()


def load(store: Store) -> tuple[int, State] | None:
    """Return the checkpoint's event number and state; None where none holds good for this program.

    Raises Damaged or CannotRecord when the log cannot be read.
    """
    found = store.checkpoint()
    if found is None or found.code != code_version() or found.sum != _sum(found):
        return None
    if found.seq > store.last:
        return None
    try:
        return found.seq, codec.from_json(found.state, State)
    except codec.Unreadable:
        return None


def save(store: Store, state: State, tail: Tail, anew: bool = False) -> State:
    """Store the state after the log's last event, with the rows of the tickets in `tail`.

    Jobs that are done and not at the press are put on the shelf; returns the state without
    them. `anew` first clears what was stored: `tail` then has the whole log. Raises
    CannotRecord or Damaged; nothing is changed then.
    """
    kept, shelved = _trimmed(state)
    rows = [
        row.columns() for row in tail.rows(state, lambda key: None if anew else _stored(store, key))
    ]
    made = Checkpoint(store.last, code_version(), codec.to_json(kept), "")
    with store.writing() as connection:
        if anew:
            connection.execute("DELETE FROM tickets")
            connection.execute("DELETE FROM shelf")
        connection.executemany(_upsert("tickets", 21), rows)
        connection.executemany(
            _upsert("shelf", 2), [(job.job, codec.to_json(job)) for job in shelved]
        )
        connection.execute(_upsert("checkpoint", 5), (1, *made[:3], _sum(made)))
    return kept


def shelved(store: Store, job: str) -> JobRun | None:
    """Return a job that was done and put on the shelf, None where none is there.

    Raises Damaged or CannotRecord.
    """
    row = next(store.rows("SELECT state FROM shelf WHERE job = ?", job), None)
    try:
        return None if row is None else codec.from_json(row[0], JobRun)
    except codec.Unreadable as error:
        found = f"shelf: {job}"
        raise Damaged(say("log.damaged", path=str(store.path), found=found)) from error


def shelf(store: Store) -> Iterator[JobRun]:
    """Yield every job on the shelf. Raises Damaged or CannotRecord."""
    for (job,) in list(store.rows("SELECT job FROM shelf ORDER BY job")):
        found = shelved(store, job)
        if found is not None:
            yield found


def stored_rows(store: Store) -> Iterator[TicketRow]:
    """Yield the rows of the tickets as of the checkpoint."""
    for columns in store.rows("SELECT * FROM tickets ORDER BY job, ticket"):
        yield TicketRow.of_columns(*columns)


def _stored(store: Store, key: Key) -> TicketRow | None:
    found = next(store.rows("SELECT * FROM tickets WHERE job = ? AND ticket = ?", *key), None)
    return None if found is None else TicketRow.of_columns(*found)


def _trimmed(state: State) -> tuple[State, list[JobRun]]:
    done = [job for job in state.jobs.values() if job.done and job.job != state.current]
    names = {job.job for job in done}
    return replace(state, jobs={k: v for k, v in state.jobs.items() if k not in names}), done


def _upsert(table: str, columns: int) -> str:
    return f"INSERT OR REPLACE INTO {table} VALUES ({', '.join('?' * columns)})"


def _sum(checkpoint: Checkpoint) -> str:
    text = f"{checkpoint.seq}|{checkpoint.code}|{checkpoint.state}"
    return sha256(text.encode()).hexdigest()
