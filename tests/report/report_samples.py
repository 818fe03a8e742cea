"""Made-up tickets and moments for the tests of the report room."""

from __future__ import annotations

from kiosk.log.tickets import TicketRow
from kiosk.report.garments import GarmentRow, garment_rows
from kiosk.run.model import Now, Seen, Stage


def at(clock: float = 0.0) -> Now:
    return Now("made-up-boot", clock, 1_770_000_000.0 + clock)


def ticket(
    line: str = "1",
    stage: Stage = Stage.GOOD,
    *,
    passage: int = 0,
    copy: int = 1,
    shift: int = 1,
    job: str = "lanterns",
    defect: str = "",
    cause: str = "",
    represses: int = 0,
    ended: float | None = None,
    number: str = "31",
) -> TicketRow:
    begun = stage is not Stage.WAITING
    return TicketRow(
        job=job,
        ticket=f"{line}/{passage + 1}/{copy}",
        line=line,
        number=number,
        size="AL",
        panel="back",
        passage=passage,
        copy=copy,
        stage=stage,
        finals=1 + represses if begun else 0,
        represses=represses,
        opened=None,
        opened_seen=Seen.NOT_SEEN,
        marks=(),
        shift=shift if begun else 0,
        operator="QV" if begun else "",
        ended=(1_770_000_000.0 if ended is None else ended) if begun else None,
        defect=defect,
        cause=cause,
    )


def garment(*passes: TicketRow) -> GarmentRow:
    (row,) = garment_rows(passes)
    return row
