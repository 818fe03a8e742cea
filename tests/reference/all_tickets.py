"""All tickets of a log as derived from its events, for tests."""

from __future__ import annotations

from kiosk.log.facts import TicketRow, ready
from kiosk.log.store.store import Store


def ticket_rows(store: Store) -> tuple[TicketRow, ...]:
    """Return the rows of all tickets as of the last event, by job and ticket."""
    with store.reading():
        ready(store)
        found = list(store.rows("SELECT * FROM garment ORDER BY job, ticket"))
    return tuple(TicketRow.of_columns(*columns[:-1]) for columns in found)
