"""Facts about heat: closings and how each is known, hand work between taps, peels."""

from collections.abc import Callable, Iterator
from typing import NamedTuple

from kiosk.log.facts.garments import RESULTS
from kiosk.log.facts.tables import Statement, insert
from kiosk.plan.model import Step
from kiosk.run.state import Event, JobRun, Now, State, Ticket
from kiosk.run.state import events as e

BREAK_SECONDS = 600.0
"""A longer time without any event counts as a break, not work."""


GarmentKey = tuple[str, str, str, int, int]
"""The ticket columns of a row: job, ticket, line, pass, copy."""


class EventContext(NamedTuple):
    """An event's context: number, stint, time, seconds of hand work before it, both states."""

    seq: int
    stint: int
    at: Now
    hands: float | None
    before: State
    after: State

    @property
    def job(self) -> str:
        """The current job, or "" if none."""
        return "" if self.after.job is None else self.after.job.job

    def ticket(self, name: str) -> tuple[JobRun, Ticket] | None:
        """Return a ticket of the current job; None for heat on nothing or on a piece of cloth."""
        job = self.after.job
        found = None if job is None else job.tickets.get(name)
        return None if job is None or found is None else (job, found)


def _closed(event: e.Closed | e.ToldPressed, context: EventContext) -> Iterator[Statement]:
    found = context.ticket(event.ticket)
    if found is None or not context.stint:
        return
    job, ticket = found
    garment_key = _garment_key(job, ticket)
    steps = job.plan.passes[ticket.passage].steps
    step: Step | None = steps[event.step] if event.step < len(steps) else None
    afterwards = isinstance(event, e.ToldPressed)
    source = "told" if isinstance(event, e.ToldPressed) else event.seen.value
    set_seconds = None if isinstance(event, e.ToldPressed) else event.dwell_seconds
    yield insert(
        "closing", context.stint, context.seq, *garment_key, job.plan.press, event.step,
        step.phase.value if step else "", source, "told" if afterwards else "not seen", set_seconds,
        None, step.temperature if step else None, job.setting, context.at.wall, context.at.boot,
        None, context.at.clock if afterwards else None, context.seq,
    )  # fmt: skip
    if not afterwards:
        yield from _hands(event.first, event.step, ticket, garment_key, context)


def _confirmed(event: e.Confirmed, context: EventContext) -> Iterator[Statement]:
    """Record hand work; also the peel, if each step is confirmed and this was the last one."""
    found = context.ticket(event.ticket)
    if found is not None:
        yield from _hands(event.first, event.last + 1, found[1], _garment_key(*found), context)
        if found[1].peeled:
            yield from _peeled(event, context)


def _hands(
    first: int, step: int, ticket: Ticket, garment_key: GarmentKey, context: EventContext
) -> Iterator[Statement]:
    if any(first <= each < step for each in ticket.without):
        return  # less work than was planned for this move
    if (
        context.stint
        and first < step
        and context.hands is not None
        and 0 <= context.hands <= BREAK_SECONDS
    ):
        yield insert("hands", context.stint, context.seq, *garment_key, first, step,
                      round(context.hands, 1))  # fmt: skip


def _garment_key(job: JobRun, ticket: Ticket) -> GarmentKey:
    return job.job, ticket.id, ticket.garment.line, ticket.passage, ticket.copy


_LAST = "seq = (SELECT max(seq) FROM closing WHERE job = ? AND ticket = ?) AND job = ?"


def _change(
    assignments: str, *values: object
) -> Callable[[str, EventContext], Iterator[Statement]]:
    """Return a function that updates a ticket's last closing."""

    def change(ticket: str, context: EventContext) -> Iterator[Statement]:
        job = context.job
        yield Statement(f"UPDATE closing SET {assignments}, told = ? WHERE {_LAST}",
                        (*values, context.seq, job, ticket, job))  # fmt: skip

    return change


def _cools(at: float, boot: str, ticket: str, context: EventContext) -> Iterator[Statement]:
    """Set when cooling started: at the tone or the opening, whichever is later."""
    return _change("cooling = CASE WHEN boot = ? THEN max(coalesce(cooling, ?), ?) ELSE ? END, "
                   "boot = ?", boot, at, at, at, boot)(ticket, context)  # fmt: skip


def _seen_closing(event: e.ClosingSeen, context: EventContext) -> Iterator[Statement]:
    return _change("closed_seen = 'measured'")(event.ticket, context)


def _time_up(event: e.TimeUp, context: EventContext) -> Iterator[Statement]:
    yield from _cools(event.due, context.at.boot, event.ticket, context)
    yield from _change("rang = ?", context.at.clock)(event.ticket, context)


def _opened(event: e.Opened, context: EventContext) -> Iterator[Statement]:
    over_seconds = event.after_deadline
    yield from _cools(context.at.clock, context.at.boot, event.ticket, context)
    over_seconds = None if over_seconds is None else round(over_seconds, 2)
    change = _change(
        "opened_seen = ?, over = ?, wall = ?", event.seen.value, over_seconds, context.at.wall
    )
    yield from change(event.ticket, context)


def _was_closed(event: e.WasClosed, context: EventContext) -> Iterator[Statement]:
    yield from _cools(context.at.clock, context.at.boot, event.ticket, context)
    yield from _change("opened_seen = 'declared', over = round(? - set_seconds, 2), wall = ?",
                       event.heat_seconds, context.at.wall)(event.ticket, context)  # fmt: skip


def _unclosed(event: e.NotClosed | e.NeverClosed, context: EventContext) -> Iterator[Statement]:
    job = context.job
    yield from _deleted("closing", _LAST, (job, event.ticket, job), context)


def _deleted(
    table: str, where: str, which: tuple[object, ...], context: EventContext
) -> Iterator[Statement]:
    """Delete rows that turned out not to have happened, and list them in `gone`."""
    listed = f"SELECT ?, '{table}', job, ticket, seq FROM {table} WHERE {where}"
    yield Statement(f"INSERT INTO gone {listed}", (context.seq, *which))
    yield Statement(f"DELETE FROM {table} WHERE {where}", which)


def _peeled(event: e.Finished | e.Confirmed, context: EventContext) -> Iterator[Statement]:
    """Record the peel that finished the ticket; a second final after it adds none."""
    if isinstance(event, e.Finished) and not event.peeled:
        return
    run = context.before.job
    before = None if run is None else run.tickets.get(event.ticket)
    if context.stint and run is not None and before and not before.peeled:
        job = run.job
        yield Statement(
            "INSERT INTO peel SELECT ?, ?, job, ticket, line, passage, copy, "
            "round(? - cooling, 1), ?, ? FROM closing WHERE job = ? AND ticket = ? "
            "AND boot = ? AND cooling IS NOT NULL ORDER BY seq DESC LIMIT 1",
            (context.stint, context.seq, context.at.clock, event.before, event.early_seconds, job,
             event.ticket, context.at.boot),
        )  # fmt: skip


def _taken_back(event: e.TakenBack, context: EventContext) -> Iterator[Statement]:
    found = context.ticket(event.ticket)
    is_off = found is not None and found[1].peeled
    if event.what in {*RESULTS, "confirmed"} and not is_off:
        garment_key = (context.stint, context.job, event.ticket)
        yield from _deleted("peel", "stint = ? AND job = ? AND ticket = ?", garment_key, context)


HEAT: dict[type[Event], Callable[..., Iterator[Statement]]] = {
    e.Closed: _closed, e.ToldPressed: _closed, e.Confirmed: _confirmed,
    e.ClosingSeen: _seen_closing, e.TimeUp: _time_up, e.Opened: _opened, e.WasClosed: _was_closed,
    e.NotClosed: _unclosed, e.NeverClosed: _unclosed, e.Finished: _peeled,
    e.TakenBack: _taken_back,
}  # fmt: skip
