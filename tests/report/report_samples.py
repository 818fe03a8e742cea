"""Made-up tickets and moments for the tests of the report room."""

from __future__ import annotations

from typing import Any

from kiosk.catalog.base.quantities import Degrees, Pressure
from kiosk.catalog.model.sheets import Peel
from kiosk.log.facts.facts import Facts, GarmentCount, JobStart, ReportedEvent, Shift, Stint
from kiosk.log.facts.garments import TicketRow
from kiosk.plan.model import (
    Closing,
    PanelSettings,
    Pass,
    PeelPlace,
    PeelWait,
    Phase,
    Piece,
    Plan,
    Purpose,
    Step,
)
from kiosk.report.tables import GarmentRow, garment_rows
from kiosk.run.state.event import Event, Now
from kiosk.run.state.events import Finished
from kiosk.run.state.model import TicketStage, TimeSource


def at(clock: float = 0.0) -> Now:
    return Now("made-up-boot", clock, 1_770_000_000.0 + clock)


def ticket(
    line: str = "1",
    stage: TicketStage = TicketStage.GOOD,
    *,
    passage: int = 0,
    copy: int = 1,
    shift: int = 1,
    job: str = "ferry",
    defect: str = "",
    cause: str = "",
    represses: int = 0,
    ended: float | None = None,
    number: str = "31",
) -> TicketRow:
    begun = stage is not TicketStage.WAITING
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
        opened_seen=TimeSource.NOT_SEEN,
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


def step(phase: Phase, *pieces: str, seconds: int | None = None, most: int | None = None) -> Step:
    hot = seconds is not None
    pressure = Pressure.MEDIUM if hot else None
    return Step(phase, pieces, seconds, most, 300 if hot else None, pressure, pressure)


def plan(
    job: str = "ferry", title: str = "Ferry order", recipe: str = "stack", **changed: int
) -> Plan:
    """A two-layer number with a tack, a cold peel on the rack, one panel."""
    temperature = changed.get("temperature", 300)
    pieces = tuple(
        Piece(f"number.{n}", "number", n, 2, material, colour, "back")
        for n, material, colour in ((1, "film", "black"), (2, "flock", "white"))
    )
    steps = (
        step(Phase.LOAD),
        step(Phase.LAY, "number.1"),
        step(Phase.TACK, "number.1", seconds=2, most=3),
        step(Phase.LAY_TOP, "number.2"),
        step(Phase.FINAL, "number.1", "number.2", seconds=12, most=20),
        step(Phase.PEEL, "number.2"),
        step(Phase.INSPECT),
    )
    closings = tuple(
        Closing(purpose, 0, ("number.1",), ("number.1",), temperature, seconds,
                Pressure.MEDIUM, Pressure.MEDIUM_FIRM, False, {})
        for purpose, seconds in ((Purpose.TACK, 2), (Purpose.FINAL, 12))
    )  # fmt: skip
    settings = PanelSettings("back", Degrees.F, closings, (), {}, 14, 0, ("narrow_window",), ())
    wait = PeelWait(Peel.COLD, 60.0, 600.0, "made up")
    return Plan(
        job, title, recipe, "knit", "press-one", Degrees.F, True, True, 1.0, False, pieces,
        (settings,), (Pass("back", 0, steps, PeelPlace.RACK, wait, ("number.2",)),), ((0,),), 5,
        16.0, 20.0,
    )  # fmt: skip


def facts(station: str = "north", operators: tuple[str, ...] = ("QV",), **known: Any) -> Facts:
    """Return a shift in which each operator had the job for a hundred events."""
    stints = tuple(
        Stint(nth, 1, who, "ferry", 100 * nth + 1, 100 * nth + 100)
        for nth, who in enumerate(operators)
    )
    shift = Shift(1, 1, 100 * len(operators), at().wall, at(3600.0).wall)
    known = {"jobs": {"ferry": JobStart(plan())}, "stints": stints, **known}
    return Facts(station, shifts=(shift,), **known)


def good(many: int, **changed: Any) -> GarmentCount:
    return GarmentCount("ferry", "good", True, True, True, many)._replace(**changed)


def noted(*events: Event, stint: int = 0) -> tuple[ReportedEvent, ...]:
    return tuple(ReportedEvent(seq, stint, event) for seq, event in enumerate(events, 1))


def finished(
    line: str, stage: TicketStage, defect: str = "", cause: str = "", piece: str = ""
) -> Event:
    return Finished(at(), f"{line}/1/1", stage, True, defect=defect, cause=cause, piece=piece)
