"""What is the supervisor's to decide: changed rows, re-presses, stopped and unknown tickets,
and who is signed off for which procedure."""

from __future__ import annotations

from kiosk.run.decide.decision import Decision, refuse
from kiosk.run.facts.moves import next_hot
from kiosk.run.facts.naming import called
from kiosk.run.facts.tickets import ASIDE, broken_totals, owners, pass_of
from kiosk.run.state import commands as c
from kiosk.run.state.events import RepressAllowed, Ruled, SignedOff, Stopped
from kiosk.run.state.model import JobRun, Now, Refusal, Stage, State, Ticket

RULINGS = frozenset(
    {Stage.WAITING, Stage.GOOD, Stage.ACCEPTED, Stage.REWORK, Stage.SCRAP, Stage.VOID}
)
"""Where a supervisor can send a ticket that waits for a person."""


def row_changed(state: State, command: c.RowChanged, now: Now) -> Decision:
    """Stop what of a roster line is not in its final yet; ask again later while it is hot."""
    job = state.job
    if job is None:
        return refuse("no_job")
    changed = [t for t in job.tickets.values() if _to_stop(job, t, command)]
    if state.heat is not None and any(t.id == state.heat.ticket for t in changed):
        return refuse("row.hot", line=command.line)
    return tuple(Stopped(now, t.id, "row changed", command.digest) for t in changed)


def allow_repress(state: State, command: c.AllowRepress, now: Now) -> Decision:
    """One final more for a ticket in rework, or of a final with unknown outcome.

    Only if what is left of the totals allows it: more heat than a sheet bears is nobody's to give.
    """
    found = _asked_about(state, command)
    if isinstance(found, Refusal):
        return found
    if found.stage not in (Stage.REWORK, Stage.UNKNOWN) or not found.finals:
        return refuse("repress.not_pressed", number=called(found))
    if state.job is not None and (broken := broken_totals(state.job, found)):
        return refuse("repress.heat", number=called(found), owners=owners(broken))
    return (RepressAllowed(now, found.id, command.supervisor.strip(), command.reason.strip()),)


def rule(state: State, command: c.Rule, now: Now) -> Decision:
    """Say where a ticket goes that waits for a person, or that one need not be made."""
    found = _asked_about(state, command)
    if isinstance(found, Refusal):
        return found
    if command.stage not in RULINGS:
        return refuse("rule.stage")
    unmade = found.stage is Stage.WAITING and command.stage is Stage.VOID
    if found.stage not in ASIDE and not unmade:
        return refuse("rule.not_waiting", number=called(found))
    if command.stage is Stage.WAITING and found.finals > found.represses:
        return refuse("rule.pressed", number=called(found))
    return (
        Ruled(now, found.id, command.stage, command.supervisor.strip(), command.reason.strip()),
    )


def sign_off(state: State, command: c.SignOff, now: Now) -> Decision:
    """Grouped moves in one family from now on, or no longer."""
    if not command.operator.strip() or not command.family:
        return refuse("sign_on.initials")
    if not command.supervisor.strip():
        return refuse("supervisor")
    return (
        SignedOff(
            now,
            command.operator.strip(),
            command.family,
            command.until,
            command.supervisor.strip(),
            command.met,
        ),
    )


def _to_stop(job: JobRun, ticket: Ticket, command: c.RowChanged) -> bool:
    if ticket.garment.line != command.line:
        return False
    if command.digest and command.digest == ticket.garment.digest:
        return False
    if ticket.stage is Stage.WAITING:
        return True
    before_final = next_hot(pass_of(job, ticket), ticket.step) is not None
    return ticket.stage is Stage.AT_PRESS and before_final and ticket.finals <= ticket.represses


def _asked_about(state: State, command: c.AllowRepress | c.Rule) -> Ticket | Refusal:
    job = state.job
    ticket = None if job is None else job.tickets.get(command.ticket)
    if ticket is None:
        return refuse("inspect.no_ticket")
    if not command.supervisor.strip():
        return refuse("supervisor")
    if not command.reason.strip():
        return refuse("reason")
    return ticket
