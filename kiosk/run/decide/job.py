"""Jobs, and the answers to what they ask."""

from __future__ import annotations

from kiosk.run.decide.decision import Decision, refuse
from kiosk.run.facts.moves import next_hot
from kiosk.run.facts.naming import called
from kiosk.run.facts.questions import required_setting
from kiosk.run.facts.tickets import pass_of, pressing_order, slot_ticket
from kiosk.run.state import commands as c
from kiosk.run.state.events import Event, JobLeft, JobStarted, JobTaken, ReadBack, SettingRead
from kiosk.run.state.model import Now, State


def start_job(state: State, command: c.StartJob, now: Now) -> Decision:
    """A job begins, or one begun earlier is taken up; a job at the press that is done leaves."""
    known = state.jobs.get(command.job)
    if command.job in state.finished or (known is not None and known.done):
        return refuse("job.done", job=command.job)
    left: tuple[Event, ...] = (JobLeft(now, state.current),) if state.current else ()
    if known is not None:
        return (*left, JobTaken(now, command.job))
    lines = [garment.line for garment in command.garments]
    if not command.job or not lines:
        return refuse("job.empty", job=command.job)
    if len(set(lines)) < len(lines):
        return refuse("job.same_line", job=command.job)
    if sorted(pressing_order(command.plan)) != list(range(len(command.plan.passes))):
        return refuse("job.plan", job=command.job)
    began = JobStarted(
        now,
        command.job,
        command.plan,
        command.plan_hash,
        command.garments,
        command.accepted_questions,
        command.rules,
        command.folder,
    )
    return (*left, began)


def leave_job(state: State, command: c.LeaveJob, now: Now) -> Decision:
    """The job goes back, open; never with a garment hot on the press or on the rack."""
    job = state.job
    if job is None:
        return refuse("no_job")
    if job.rack:
        return refuse("leave.rack", tickets=len(job.rack))
    ticket = slot_ticket(job)
    if ticket is not None and next_hot(pass_of(job, ticket), ticket.step) is None:
        return refuse("leave.at_press", number=called(ticket))
    return (JobLeft(now, job.job),)


def read_setting(state: State, command: c.ReadSetting, now: Now) -> Decision:
    """What the press shows; one out of tolerance is recorded too, and the question stays."""
    job = state.job
    asked = None if job is None else required_setting(job)
    if job is None or asked is None:
        return refuse("setting.not_asked")
    return (SettingRead(now, command.temperature, asked, job.rules.tolerance),)


def read(state: State, command: c.Read, now: Now) -> Decision:
    """An answer, right or wrong; no heat until it is right."""
    job = state.job
    if job is None or not job.questions:
        return refuse("read.not_asked")
    question = job.questions[0]
    value = command.value.strip()
    right = value == question.right
    return (ReadBack(now, question.ticket, question.ask, value, right),)
