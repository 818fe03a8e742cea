"""How a made-up operator checks the press and has first garments approved."""

from __future__ import annotations

from kiosk.run import commands_shift as c
from kiosk.run.checking import PULLS, READINGS
from kiosk.run.events_shift import Overruled
from kiosk.run.lot import lot_hold
from kiosk.run.model import JobRun, Stage
from kiosk.run.questions import required_setting
from kiosk.train.simulated_habits import Act, Chance
from kiosk.train.simulated_results import of_supervisor

SHARE_SLIPS = 0.03  # of the strips of paper
SHARE_FAULTY = 0.05  # of the first garments
SPREADS = 3.0  # degrees


def checked(chance: Chance, job: JobRun) -> Act:
    """Return a card filled in: near the set value, and now and then a strip that slips."""
    at = required_setting(job) or 0
    readings = tuple(at + round(chance.between(-SPREADS, SPREADS)) for _ in range(READINGS))
    held = tuple(not chance.happens(SHARE_SLIPS) for _ in range(PULLS))
    return Act(chance.between(60.0, 180.0), c.VerifyPress(readings, held))


def looked_over(chance: Chance, job: JobRun) -> Act:
    """Return what becomes of a held lot: the supervisor approves, or has a reason to go on."""
    hold = lot_hold(job)
    if hold is None or hold.first is None:
        return Act(60.0, c.LetPass(Overruled.SCRAP_LIMIT, "supervisor", "cause_removed"))
    ticket = job.tickets[hold.first.ticket]
    if ticket.stage not in (Stage.GOOD, Stage.ACCEPTED):
        return of_supervisor(chance, job)
    faults = ("lifted_edge",) if chance.happens(SHARE_FAULTY) else ()
    across, along = (round(chance.between(-0.1, 0.1), 2) for _ in range(2))
    judged = c.JudgeFirst(ticket.id, not faults, "", True, across, along, faults)
    return Act(chance.between(60.0, 240.0), judged)
