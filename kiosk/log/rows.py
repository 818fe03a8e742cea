"""What reports read of a log, fresh to its last event: shifts, events, rows of tickets."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from kiosk.log import checkpoints
from kiosk.log.recovery import recover
from kiosk.log.store import Recorded, Store
from kiosk.log.tickets import TicketRow
from kiosk.run.events import HandedOver, SignedOn
from kiosk.run.model import Now

# Word for word the condition of the index `turns`, so that SQLite uses it.
_TURNS = """
SELECT seq FROM events
WHERE kind IN ('station-started', 'signed-on', 'handed-over', 'job-started')
AND kind IN ('signed-on', 'handed-over') ORDER BY seq
"""


@dataclass(frozen=True, slots=True)
class Shift:
    """From a sign-on to the hand-over; numbered from 1 within a log.

    `first` and `last` are event numbers, both included; `ended` is None while it goes on.
    """

    id: int
    first: int
    last: int
    operators: tuple[str, ...]
    began: Now
    ended: Now | None


def shifts(store: Store) -> tuple[Shift, ...]:
    """Return all shifts of a log in order. Raises Damaged or CannotRecord."""
    found: list[Shift] = []
    for (seq,) in list(store.rows(_TURNS)):
        _, event = next(store.events(seq, seq))
        going_on = bool(found) and found[-1].ended is None
        if isinstance(event, SignedOn) and going_on:
            found[-1] = replace(found[-1], operators=_with(found[-1].operators, event.operator))
        elif isinstance(event, SignedOn):
            shift = Shift(len(found) + 1, seq, store.last, (event.operator,), event.at, None)
            found.append(shift)
        elif isinstance(event, HandedOver) and going_on:
            found[-1] = replace(found[-1], last=seq, ended=event.at)
    return tuple(found)


def last_shift(store: Store) -> Shift | None:
    """Return the shift that goes on or ended last, None where nobody ever signed on."""
    found = shifts(store)
    return found[-1] if found else None


def events_of(store: Store, shift: Shift) -> Iterator[Recorded]:
    """Yield the events of a shift in order. Raises Damaged or CannotRecord."""
    return store.events(shift.first, shift.last)


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


def salvaged(store: Store) -> dict[int, int]:
    """Return the numbers of events from behind a gap of a damaged log, and those they had there."""
    return dict(store.rows("SELECT seq, was FROM salvaged"))


def _with(operators: tuple[str, ...], operator: str) -> tuple[str, ...]:
    return operators if operator in operators else (*operators, operator)
