"""Jobs, answers to their questions, and a supervisor's decisions on their tickets."""

from kiosk.run.facts import tickets
from kiosk.run.facts.moves import can_be_good, next_hot, required_setting, without_final
from kiosk.run.facts.represses import why_not_again
from kiosk.run.facts.short import missing_tickets
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state import events_station as st
from kiosk.run.state.event import Decision, Event, Now, Refusal, refuse
from kiosk.run.state.events import (
    JobDone,
    JobLeft,
    JobStarted,
    JobTaken,
    ReadBack,
    SettingRead,
    Stopped,
)
from kiosk.run.state.events_shift import RepressAllowed, Ruled
from kiosk.run.state.model import JobRun, Ticket, TicketStage
from kiosk.run.state.state import State


def start_job(state: State, command: c.StartJob, now: Now) -> Decision:
    """Begin a job, or resume one begun earlier; a job at the press leaves it."""
    begun = state.jobs.get(command.job)
    if command.job in state.finished or (begun is not None and begun.done):
        return refuse("job.done", job=command.job)
    leaving: tuple[Event, ...] = (JobLeft(now, state.current),) if state.current else ()
    if begun is not None:
        return (*leaving, JobTaken(now, command.job))
    lines = [garment.line for garment in command.garments]
    if not command.job or not lines:
        return refuse("job.empty", job=command.job)
    if len(set(lines)) < len(lines):
        return refuse("job.same_line", job=command.job)
    if sorted(tickets.pressing_order(command.plan)) != list(range(len(command.plan.passes))):
        return refuse("job.plan", job=command.job)
    start = JobStarted(
        now,
        command.job,
        command.plan,
        command.plan_hash,
        command.garments,
        command.accepted_questions,
        command.rules,
        command.folder,
        command.due,
        command.lots,
        command.batch,
        command.whole,
        command.files,
        spares=True,
    )
    return (*leaving, start)


def unbegin_job(state: State, command: s.UnbeginJob, now: Now) -> Decision:
    """Undo the start of a job put back without any heat, so that another plan can begin it."""
    job = state.others.get(command.job)
    if job is None or not tickets.is_untouched(job):
        return refuse("job.not_untouched", job=command.job)
    return (st.JobUnbegun(now, command.job),)


def take_batch(state: State, command: s.TakeBatch, now: Now) -> Decision:
    """Add more garments of a shared order, each batch once."""
    job = state.jobs.get(command.job)
    if job is None or not job.more or any(b.number == command.batch for b in job.batches):
        return ()
    return (st.BatchTaken(now, command.job, command.batch, command.garments),)


def end_batches(state: State, command: s.EndBatches, now: Now) -> Decision:
    """End a shared order here once nothing of it is open; if not at the press it is done."""
    job = state.jobs.get(command.job)
    if job is None or not job.more or not tickets.is_over(job):
        return ()
    event = st.BatchesEnded(now, command.job)
    return (event,) if command.job == state.current else (event, JobDone(now, command.job))


def meet_claims(state: State, command: s.MeetClaims, now: Now) -> Decision:
    """Hold the job if other stations have claimed or pressed parts of it, unless decided.

    The hold ends if all the claims behind it are given up with nothing pressed.
    """
    job = state.job
    if job is None or job.job != command.job or job.done:
        return ()
    own = [
        ticket.garment.line
        for ticket in job.tickets.values()
        if ticket.stage is not TicketStage.VOID
    ]
    elsewhere = {line for other in command.others for line in other.lines} - {*job.elsewhere}
    lines = tuple(dict.fromkeys(line for line in own if line in elsewhere))
    others = [o for o in command.others if o.blocks and o.claim not in job.settled]
    blocking = [o for o in command.others if o in others or elsewhere.intersection(o.lines, own)]
    claims = tuple(other.claim for other in others)
    if not claims and not lines:
        return _release_claims(job, command.left, now)
    if job.met is not None and {*claims, *lines} <= {*job.met.claims, *job.met.lines}:
        return ()
    names = tuple(dict.fromkeys(other.name for other in blocking))
    differs = tuple(message for other in others for message in other.differs)
    return (st.ClaimsMet(now, job.job, claims, names, lines, differs),)


def _release_claims(job: JobRun, given_up: tuple[int, ...], now: Now) -> Decision:
    if job.met is None or job.met.lines or not {*job.met.claims} <= {*given_up}:
        return ()
    return (st.ClaimsLeft(now, job.job, job.met.stations),)


def leave_job(state: State, command: c.LeaveJob, now: Now) -> Decision:
    """Put the job back, still open; never with a garment on the rack, or pressed in the slot."""
    job = state.job
    if job is None:
        return refuse("no_job")
    if job.rack:
        return refuse("leave.rack", tickets=len(job.rack))
    ticket = tickets.slot_ticket(job)
    if ticket is not None and next_hot(tickets.pass_of(job, ticket), ticket.step) is None:
        return refuse("leave.at_press", number=tickets.label_of(ticket))
    return (JobLeft(now, job.job),)


def read_setting(state: State, command: c.ReadSetting, now: Now) -> Decision:
    """Record a reading of the press; one out of tolerance too, and then the question stays."""
    job = state.job
    required = None if job is None else required_setting(job)
    if job is None or required is None:
        return refuse("setting.not_asked")
    return (SettingRead(now, command.temperature, required, job.rules.tolerance),)


def answer_question(state: State, command: c.AnswerQuestion, now: Now) -> Decision:
    """Record an answer, right or wrong; no heat until it is right."""
    job = state.job
    if job is None or not job.questions:
        return refuse("read.not_asked")
    question = job.questions[0]
    value = command.value.strip()
    right = value == question.right
    return (ReadBack(now, question.ticket, question.ask, value, right),)


RULINGS = frozenset(
    {
        TicketStage.WAITING,
        TicketStage.GOOD,
        TicketStage.ACCEPTED,
        TicketStage.REWORK,
        TicketStage.SCRAP,
        TicketStage.VOID,
    }
)
"""Stages that a supervisor can give a ticket that waits for a decision."""
OF_PRESSED = frozenset({TicketStage.GOOD, TicketStage.ACCEPTED, TicketStage.REWORK})
"""Rulings on a garment that had its final; without one it is scrapped, goes on, or is void."""


def row_changed(state: State, command: c.RowChanged, now: Now) -> Decision:
    """Stop the tickets of a changed roster row that have not had their final; refuse while hot.

    Passes that the row lacked at the beginning and has now also go to the supervisor.
    """
    job = state.job
    if job is None:
        return refuse("no_job")
    stopped = [t for t in job.tickets.values() if _to_stop(job, t, command)]
    if command.digest and not job.done:
        stopped += missing_tickets(job, command.line, command.lacks)
    if state.heat is not None and any(t.id == state.heat.ticket for t in stopped):
        return refuse("row.hot", line=command.line)
    digest, row = command.digest, command.row
    return tuple(Stopped(now, t.id, "row changed", digest, row) for t in stopped)


def allow_repress(state: State, command: c.AllowRepress, now: Now) -> Decision:
    """Allow another final for a ticket in rework, or one whose final has an unknown outcome.

    Only if the remaining heat totals and the bare pieces permit it: no supervisor can allow more
    than a sheet does.
    """
    ticket = _ticket_to_decide(state, command)
    if isinstance(ticket, Refusal):
        return ticket
    if ticket.stage not in (TicketStage.REWORK, TicketStage.UNKNOWN) or not ticket.finals:
        return refuse("repress.not_pressed", number=tickets.label_of(ticket))
    if state.job is not None and (why := why_not_again(state.job, ticket)):
        return Refusal(why)
    return (RepressAllowed(now, ticket.id, command.supervisor.strip(), command.reason.strip()),)


def rule(state: State, command: c.RuleOnTicket, now: Now) -> Decision:
    """Decide on a ticket that waits for a person, or void one that is not needed."""
    ticket = _ticket_to_decide(state, command)
    if isinstance(ticket, Refusal):
        return ticket
    if command.stage not in RULINGS:
        return refuse("rule.stage")
    voids_waiting = ticket.stage is TicketStage.WAITING and command.stage is TicketStage.VOID
    if ticket.stage not in tickets.ASIDE and not voids_waiting:
        return refuse("rule.not_waiting", number=tickets.label_of(ticket))
    if command.stage is TicketStage.WAITING and ticket.used_up:
        return refuse("rule.pressed", number=tickets.label_of(ticket))
    if command.stage is TicketStage.SCRAP and _is_under_heat(state, ticket):
        return refuse("rule.hot", number=tickets.label_of(ticket))
    if command.stage in OF_PRESSED and state.job is not None and not can_be_good(state.job, ticket):
        return refuse("rule.not_pressed", number=tickets.label_of(ticket))
    return (
        Ruled(now, ticket.id, command.stage, command.supervisor.strip(), command.reason.strip()),
    )


def _is_under_heat(state: State, ticket: Ticket) -> bool:
    """Whether another pass of the ticket's garment is under heat now."""
    if state.job is None or state.heat is None:
        return False
    return any(each.id == state.heat.ticket for each in tickets.same_garment(state.job, ticket))


def _to_stop(job: JobRun, ticket: Ticket, command: c.RowChanged) -> bool:
    if ticket.garment.line != command.line:
        return False
    if command.digest and command.digest == ticket.garment.digest:
        return False
    if ticket.stage is TicketStage.WAITING:
        return True
    passage = tickets.pass_of(job, ticket)
    before_final = next_hot(passage, ticket.step) is not None or without_final(passage, ticket)
    return ticket.stage is TicketStage.AT_PRESS and before_final and not ticket.used_up


def _ticket_to_decide(state: State, command: c.AllowRepress | c.RuleOnTicket) -> Ticket | Refusal:
    job = state.job
    ticket = None if job is None else job.tickets.get(command.ticket)
    if ticket is None:
        return refuse("inspect.no_ticket")
    if not command.supervisor.strip():
        return refuse("supervisor")
    if not command.reason.strip():
        return refuse("reason")
    return ticket
