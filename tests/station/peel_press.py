"""A press with cooling estimates and lessons, driven as the station's shell does."""

from __future__ import annotations

from pathlib import Path

from run_samples import Bench as Pressing
from run_samples import on_shift

from kiosk.catalog.read import read_catalog, read_job
from kiosk.catalog.rules.faces import read_face
from kiosk.peel.estimate import changed_estimates
from kiosk.peel.worker import lessons, to_solve
from kiosk.plan.model import PeelWait, Plan
from kiosk.plan.procedure import plan_job
from kiosk.run.state import commands as c
from kiosk.run.state.cooling import Estimate
from kiosk.run.state.model import Ticket
from kiosk.station.desk.jobs.library import garment


def set_for(shop: Path, key: str = "ice-crew") -> Pressing:
    """Return a press to be set for a job, by default the warm-up tops."""
    catalog, faults = read_catalog(shop / "recipes")
    assert not faults
    job, _ = read_job(shop / "jobs" / key, catalog)
    assert job is not None
    plan = plan_job(job, catalog, read_face())
    assert isinstance(plan, Plan)
    bench = on_shift()
    bench.do(c.StartJob(job.key, plan, "hash", tuple(garment(line) for line in job.roster)))
    return bench


def do(bench: Pressing, command: c.Command) -> None:
    """Do a command as the shell does, along with what the heat room adds to it."""
    before = bench.state
    events = bench.do(command)
    for learn in lessons(before, events):
        bench.do(learn)
    for changed in changed_estimates(bench.state):
        bench.do(changed)
    work = to_solve(bench.state)
    solved = None if work is None else work()
    if solved is not None:
        bench.do(solved)


def press(bench: Pressing, idle: float = 10.0) -> Ticket:
    """Press the current garment to the end of its final; return its ticket."""
    name = bench.job.slot
    while not bench.job.tickets[name].finals:
        bench.wait(idle)
        bench.answer().wait(1.0)
        do(bench, bench.forward())
        assert bench.state.heat is not None
        assert bench.state.heat.deadline is not None
        bench.until(bench.state.heat.deadline)
        do(bench, c.Tick())
    bench.answer()
    return bench.job.tickets[name]


def own(ticket: Ticket) -> Estimate:
    assert ticket.estimate is not None
    return ticket.estimate


def last(waits: tuple[PeelWait | None, ...]) -> PeelWait:
    assert waits
    assert waits[-1] is not None
    return waits[-1]
