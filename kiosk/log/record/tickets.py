"""One row per ticket, for reports: made from the events alone, kept as of the last checkpoint."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, fields, replace
from enum import Enum
from typing import Any

from kiosk.catalog.base import say
from kiosk.log.store.errors import Damaged
from kiosk.run.state import Event, Finished, JobRun, Ruled, Seen, Stage, State, TakenBack, Ticket

Key = tuple[str, str]  # job, ticket
ENDS = Finished | Ruled | TakenBack  # these say what became of a ticket
_RESULTS = frozenset({"finished", "peeled"})  # what a TakenBack calls the taps that gave a result


@dataclass(frozen=True, slots=True)
class TicketRow:
    """A ticket as reports read it. `opened` and `ended` are wall seconds since 1970.

    `shift`, `operator` and `ended` are those of its last result (0, "" and None before one);
    `defect`, `cause`, `piece` and `early_seconds` stay from an earlier result that was not
    good, so that mended work can be told from work that was good at first.
    """

    job: str
    ticket: str
    line: str
    number: str
    size: str
    panel: str
    passage: int
    copy: int
    stage: Stage
    finals: int
    represses: int
    opened: float | None
    opened_seen: Seen
    marks: tuple[str, ...]
    shift: int = 0
    operator: str = ""
    ended: float | None = None
    defect: str = ""
    cause: str = ""
    piece: str = ""
    early_seconds: float | None = None

    def columns(self) -> tuple[object, ...]:
        """Return the row as the table has it."""
        return tuple(_cell(getattr(self, field.name)) for field in fields(self))

    @classmethod
    def of_columns(cls, *cells: Any) -> TicketRow:
        """Return the row that the table has."""
        values = dict(zip((field.name for field in fields(cls)), cells, strict=True))
        marks = values["marks"]
        try:
            values["stage"] = Stage(values["stage"])
            values["opened_seen"] = Seen(values["opened_seen"])
        except ValueError as error:
            raise Damaged(say("log.fault.ticket", ticket=str(values["ticket"]))) from error
        values["marks"] = tuple(marks.split(",")) if marks else ()
        return cls(**values)


def _cell(value: object) -> object:
    if isinstance(value, tuple):
        return ",".join(value)
    return value.value if isinstance(value, Enum) else value


@dataclass(frozen=True, slots=True)
class Ending:
    """What a result event says of its ticket, with the shift and operator it fell in."""

    event: Finished | Ruled | TakenBack
    shift: int
    operator: str


class Tail:
    """What has happened since the state `base`, as far as the rows of tickets need it."""

    def __init__(self, base: State) -> None:
        self._base = base
        self._endings: dict[Key, list[Ending]] = {}
        self._retired: dict[str, JobRun] = {}

    def note(self, event: Event, before: State, after: State) -> None:
        """Take note of `event`, which led from the state `before` to `after`."""
        if isinstance(event, ENDS):
            ending = Ending(event, after.shift, after.operator)
            self._endings.setdefault((after.current, event.ticket), []).append(ending)
        elif len(after.finished) > len(before.finished):  # a state lets go of jobs that are done
            gone = before.jobs.keys() - after.jobs.keys()
            self._retired.update({name: before.jobs[name] for name in gone})

    def rows(self, now: State, stored: Callable[[Key], TicketRow | None]) -> Iterator[TicketRow]:
        """Yield the rows of all tickets that have changed between the base and the state `now`.

        `stored` gives the row that a ticket had at the base, None where it had none.
        """
        for job in self._jobs(now):
            known = self._known(job)
            for ticket in job.tickets.values():
                key = (job.job, ticket.id)
                if key in self._endings or known.get(ticket.id) is not ticket:
                    yield _row(job, ticket, self._endings.get(key, []), stored(key))

    def gone(self, now: State) -> Iterator[Key]:
        """Yield the base's tickets that are no more: the scrap that opened them is taken back."""
        for job in self._jobs(now):
            for name in self._known(job).keys() - job.tickets.keys():
                yield job.job, name

    def _jobs(self, now: State) -> Iterable[JobRun]:
        return {**self._retired, **now.jobs}.values()

    def _known(self, job: JobRun) -> Mapping[str, Ticket]:
        before = self._base.jobs.get(job.job)
        return {} if before is None else before.tickets


def _row(job: JobRun, ticket: Ticket, endings: list[Ending], old: TicketRow | None) -> TicketRow:
    fresh = _projected(job, ticket)
    if old is not None:
        fresh = replace(
            fresh, shift=old.shift, operator=old.operator, ended=old.ended,
            defect=old.defect, cause=old.cause, piece=old.piece, early_seconds=old.early_seconds,
        )  # fmt: skip
    for ending in endings:
        fresh = _ended(fresh, ending)
    return fresh


def _projected(job: JobRun, ticket: Ticket) -> TicketRow:
    garment = ticket.garment
    return TicketRow(
        job.job, ticket.id, garment.line, garment.number, garment.size,
        job.plan.passes[ticket.passage].panel, ticket.passage, ticket.copy, ticket.stage,
        ticket.finals, ticket.represses, None if ticket.opened is None else ticket.opened.wall,
        ticket.opened_seen, ticket.marks,
    )  # fmt: skip


def _ended(row: TicketRow, ending: Ending) -> TicketRow:
    event = ending.event
    if isinstance(event, TakenBack) and event.what not in _RESULTS:
        return row
    if isinstance(event, TakenBack):
        return replace(
            row, shift=0, operator="", ended=None, defect="", cause="", piece="",
            early_seconds=None,
        )  # fmt: skip
    if event.stage is Stage.WAITING:  # a supervisor sent it back: no result
        return row
    row = replace(row, shift=ending.shift, operator=ending.operator, ended=event.at.wall)
    if isinstance(event, Ruled):
        return row
    early = row.early_seconds if event.early_seconds is None else event.early_seconds
    if not event.defect:
        return replace(row, early_seconds=early)
    return replace(
        row, defect=event.defect, cause=event.cause, piece=event.piece, early_seconds=early
    )
