"""Folds events into the state, and puts down what each makes true: on disk, or beside a reader."""

import sqlite3
from collections.abc import Callable, Iterable
from itertools import zip_longest

from kiosk.log.facts.tables import TABLES, VERSION, Mark, Op, statements
from kiosk.log.facts.tell import Before, Teller
from kiosk.log.store.store import Recorded, Store
from kiosk.run.apply import apply
from kiosk.run.state import State

Progress = Callable[[int, int], None]
"""Is told now and then how many of how many events are folded."""
_THERE = "SELECT name FROM main.sqlite_schema WHERE type = 'table'"
BATCH = 5_000  # events whose facts go to disk together


def quiet(_: int, __: int) -> None:
    """Tell nobody."""


def told_until(store: Store) -> Mark | None:
    """Return how far the facts on disk go; None where there are none of this version."""
    if not {name.strip('"') for name in TABLES} <= {name for (name,) in store.rows(_THERE)}:
        return None
    row = next(store.rows("SELECT version, seq, shift, stint, gone FROM main.mark"), None)
    return Mark(*row[1:]) if row is not None and row[0] == VERSION else None


def teller_from(store: Store, mark: Mark) -> Teller:
    """Return what goes on telling behind `mark`."""
    row = next(store.stored(mark.seq, mark.seq), None)
    return Teller(mark, None if row is None else Before.of(row.row))


def fold(
    base: State,
    events: Iterable[Recorded],
    teller: Teller | None = None,
    put_down: Callable[[list[Op]], None] | None = None,
) -> State:
    """Return the state after `events` from `base`.

    What each made true goes to `put_down` in batches, but for those that `teller` told before.
    """
    state, waiting, count = base, list[Op](), 0
    for seq, event in events:
        after = apply(state, event)
        if teller is not None and put_down is not None and seq > teller.mark.seq:
            waiting += teller.tell(seq, event, state, after)
            count += 1
            if count % BATCH == 0:
                put_down(waiting)
                waiting = []
        state = after
    if waiting and put_down is not None:
        put_down(waiting)
    return state


def ready(store: Store, progress: Progress = quiet) -> None:
    """Make the facts of a log readable as of its last event. Call it within `store.reading()`.

    A station keeps them so. Where they are of another version, or events were left out as
    damaged, they are told anew into tables that last as long as the reading and stand before
    those of the file. Raises Damaged, Newer or CannotRecord.
    """
    mark = told_until(store)
    if mark is not None and mark.seq == store.last and not store.lost:
        return
    if next(store.rows("SELECT 1 FROM sqlite_temp_schema WHERE name = 'mark'"), None):
        return  # earlier in the same reading
    store.execute(statements("temp"))
    teller = Teller()

    def put_down(ops: list[Op]) -> None:
        store.execute(ops)
        progress(teller.mark.seq, store.last)

    fold(State(), store.events(), teller, put_down)


def differing(store: Store, made: sqlite3.Connection) -> str | None:
    """Return the first table of facts that is not as in `made`; None where all are alike."""
    for name in TABLES:
        ours = store.rows(f"SELECT * FROM main.{name} ORDER BY 1, 2")
        theirs = made.execute(f"SELECT * FROM {name} ORDER BY 1, 2")
        if any(one != other for one, other in zip_longest(ours, theirs)):
            return name.strip('"')
    return None
