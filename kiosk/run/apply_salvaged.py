"""A log with a hole in it: what happened to the open tickets nobody can say."""

from __future__ import annotations

from kiosk.run import events as e
from kiosk.run.anew import replace
from kiosk.run.model import ENDED, JobRun, Seen, Stage, State, Ticket
from kiosk.run.places import lay_aside


def log_salvaged(state: State, event: e.LogSalvaged) -> State:
    """Each open ticket of each open job waits for a person; the press is to be opened first."""
    jobs = {name: _unknown(job) for name, job in state.jobs.items()}
    return replace(state, jobs=jobs, heat=None, asked_closed=False, asked=None, open_first=True)


def _unknown(job: JobRun) -> JobRun:
    for ticket in job.tickets.values():
        if ticket.stage not in ENDED:
            job = lay_aside(job, _lost(ticket))
    return replace(job, questions=(), undo=(), leaving="")


def _lost(ticket: Ticket) -> Ticket:
    marks = ticket.marks if "unknown" in ticket.marks else (*ticket.marks, "unknown")
    return replace(ticket, stage=Stage.UNKNOWN, opened=None, opened_seen=Seen.NOT_SEEN, marks=marks)
