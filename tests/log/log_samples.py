"""Made-up moments, plans and garments for the tests of the log."""

from __future__ import annotations

from kiosk.catalog.base.quantities import Degrees, Pressure
from kiosk.catalog.model.sheets import Peel
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
    UsableSpan,
)
from kiosk.run.state.event import Event, Now
from kiosk.run.state.events import Closed, JobStarted
from kiosk.run.state.events_station import SignedOn, StationStarted
from kiosk.run.state.model import ConfirmMode, Garment, TimeSource

BOOT = "made-up-boot"
DAY = 1_770_000_000.0  # a wall clock time on 2026-02-02


def at(clock: float, boot: str = BOOT, wall: float | None = None) -> Now:
    return Now(boot, clock, DAY + clock if wall is None else wall)


def step(phase: Phase, *pieces: str, seconds: int | None = None, peel: Peel | None = None) -> Step:
    if seconds is None:
        return Step(phase, pieces, peel=peel)
    return Step(
        phase, pieces, seconds, most_seconds=2 * seconds, temperature=300,
        pressure_low=Pressure.MEDIUM, pressure_high=Pressure.MEDIUM_FIRM,
    )  # fmt: skip


def plan(place: PeelPlace = PeelPlace.RACK, title: str = "Ferry order, away set") -> Plan:
    """Return one panel with a number and a name: pre-press, lay, final, warm peel."""
    steps = (
        step(Phase.LOAD),
        step(Phase.PRE_PRESS, seconds=5),
        step(Phase.LAY, "name.1", "number.1"),
        step(Phase.COVER),
        step(Phase.FINAL, "name.1", "number.1", seconds=12),
        step(Phase.PEEL, "name.1", "number.1", peel=Peel.WARM),
        step(Phase.INSPECT),
    )
    wait = PeelWait(Peel.WARM, 20.0, 60.0, "made up")
    final = Closing(
        Purpose.FINAL, 0, ("name.1", "number.1"), ("name.1", "number.1"), 300, 12,
        Pressure.MEDIUM, Pressure.MEDIUM_FIRM, False, {"name.1": Peel.WARM, "number.1": Peel.WARM},
    )  # fmt: skip
    settings = PanelSettings(
        "back", Degrees.F, (final,), (UsableSpan(290, 310, 10, 15),),
        {"name": 12, "number": 12}, 17, 0, (), (),
    )  # fmt: skip
    return Plan(
        job="ferry-order", title=title, recipe="one-layer", fabric="test-knit",
        press="press-one", unit=Degrees.F, opens_itself=True, collar_toward_operator=True,
        closes_in_seconds=1.0, confirm_opening=False,
        pieces=tuple(Piece(f"{e}.1", e, 1, 1, "film", "white") for e in ("name", "number")),
        settings=(settings,),
        passes=(Pass("back", 0, steps, place, wait, ("name.1", "number.1")),),
        runs=((0,),), taps_per_garment=3, platen_width_inches=16.0, platen_height_inches=20.0,
    )  # fmt: skip


def garments(count: int) -> tuple[Garment, ...]:
    sizes = ("S", "M", "L")
    return tuple(
        Garment(str(n), f"{n:02}", sizes[n * 3 // (count + 1)], f"digest-{n}")
        for n in range(1, count + 1)
    )


def beginning(simulated: bool = False, count: int = 4) -> tuple[Event, ...]:
    """Return a station's start, an operator's sign-on and a job's start."""
    return (
        StationStarted(at(1.0), "0.1.0", simulated),
        SignedOn(at(2.0), "QV", ConfirmMode.GROUPED),
        JobStarted(at(3.0), "ferry-order", plan(), "hash", garments(count)),
    )


def closed(clock: float, ticket: str = "made-up-ticket") -> Closed:
    return Closed(at(clock), ticket, 0, 4, 12.0, 1.0, TimeSource.DECLARED)
