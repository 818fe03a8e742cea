"""From tickets to garments: one row for each garment that was, or will be, pressed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum

from kiosk.log.record import TicketRow
from kiosk.run.state import Seen, Stage


class Result(Enum):
    """How a garment stands, all its passes together."""

    GOOD = "good"
    ACCEPTED = "accepted"
    REWORK = "rework"
    SCRAP = "scrap"
    OPEN = "open"


@dataclass(frozen=True, slots=True)
class GarmentRow:
    """A garment over all its passes; copy 2 replaces a scrapped copy 1.

    `first_pass` is True where it was good as first pressed: no defect, no second final.
    `shift`, `operator` and `ended` (wall seconds since 1970) are those of its last result.
    Lists go pass by pass, what is empty left out.
    """

    job: str
    line: str
    number: str
    size: str
    copy: int
    result: Result
    first_pass: bool
    finals: int
    represses: int
    shift: int
    operator: str
    ended: float | None
    openings: tuple[Seen, ...]
    defects: tuple[str, ...]
    causes: tuple[str, ...]
    marks: tuple[str, ...]


def garment_rows(tickets: Iterable[TicketRow]) -> tuple[GarmentRow, ...]:
    """Return one row per job, line and copy, sorted by them; line 2 before line 10."""
    found: dict[tuple[str, str, int], list[TicketRow]] = {}
    for ticket in tickets:
        found.setdefault((ticket.job, ticket.line, ticket.copy), []).append(ticket)
    rows = (_garment(sorted(passes, key=lambda t: t.passage)) for passes in found.values())
    return tuple(sorted(rows, key=lambda row: (row.job, _counted(row.line), row.copy)))


def _counted(line: str) -> tuple[int, str]:
    """A roster's line as it sorts: numbers by their value, before anything else."""
    return (int(line), line) if line.isascii() and line.isdecimal() else (1 << 62, line)


def _garment(passes: list[TicketRow]) -> GarmentRow:
    one = passes[0]
    last = max(passes, key=lambda ticket: ticket.ended or 0.0)
    result = result_of(ticket.stage for ticket in passes)
    defects = tuple(ticket.defect for ticket in passes if ticket.defect)
    represses = sum(ticket.represses for ticket in passes)
    return GarmentRow(
        job=one.job,
        line=one.line,
        number=one.number,
        size=one.size,
        copy=one.copy,
        result=result,
        first_pass=result is Result.GOOD and not defects and not represses,
        finals=sum(ticket.finals for ticket in passes),
        represses=represses,
        shift=last.shift,
        operator=last.operator,
        ended=last.ended if result is not Result.OPEN else None,
        openings=tuple(ticket.opened_seen for ticket in passes if ticket.finals),
        defects=defects,
        causes=tuple(ticket.cause for ticket in passes if ticket.cause),
        marks=tuple(dict.fromkeys(mark for ticket in passes for mark in ticket.marks)),
    )


def result_of(stages: Iterable[Stage]) -> Result:
    """Return how a garment stands whose passes are at `stages`; the worst of them decides."""
    found = set(stages)
    for stage, result in ((Stage.SCRAP, Result.SCRAP), (Stage.REWORK, Result.REWORK)):
        if stage in found:
            return result
    if found - {Stage.GOOD, Stage.ACCEPTED}:
        return Result.OPEN
    return Result.ACCEPTED if Stage.ACCEPTED in found else Result.GOOD
