"""What reports read of a log, fresh to its last event: shifts, rows of tickets."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from kiosk.log import checkpoints
from kiosk.log.fresh_tickets import fresh_tickets
from kiosk.log.recovery import recover
from kiosk.log.shift_facts import Shift
from kiosk.log.shift_read import shifts
from kiosk.log.store import Store
from kiosk.log.tickets import TicketRow

__all__ = ["Shift", "last_shift", "rows_of_jobs", "salvaged", "shifts", "ticket_rows"]


def last_shift(store: Store) -> Shift | None:
    """Return the shift that goes on or ended last, None where nobody ever signed on."""
    found = shifts(store)
    return found[-1] if found else None


def ticket_rows(store: Store) -> tuple[TicketRow, ...]:
    """Return the rows of all tickets as of the last event, by job and ticket.

    Raises Damaged, Newer or CannotRecord.
    """
    found = recover(store)
    rows = (
        {} if found.since == 0 else {(r.job, r.ticket): r for r in checkpoints.stored_rows(store)}
    )
    for key in found.tail.gone(found.state):
        rows.pop(key, None)
    for row in list(found.tail.rows(found.state, rows.get)):
        rows[row.job, row.ticket] = row
    return tuple(rows[key] for key in sorted(rows))


def rows_of_jobs(store: Store, jobs: Iterable[str]) -> Iterator[TicketRow]:
    """Yield the rows of the tickets of some jobs as of the last event, by job and ticket.

    Call it within `store.reading()`. Raises Damaged, Newer or CannotRecord.
    """
    query = f"SELECT * FROM {fresh_tickets(store)} WHERE job = ? ORDER BY ticket"
    for job in jobs:
        for columns in store.rows(query, job):
            yield TicketRow.of_columns(*columns)


def salvaged(store: Store) -> dict[int, int]:
    """Return the numbers of events from behind a gap of a damaged log, and those they had there."""
    return dict(store.rows("SELECT seq, was FROM salvaged"))
