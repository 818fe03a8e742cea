"""Where a ticket is, by its stage; what is known of heat and cooling, estimates, lessons."""

from kiosk.plan.model import Phase
from kiosk.run.facts.moves import first_hand
from kiosk.run.facts.tickets import (
    ASIDE,
    AT_SLOT,
    is_hot,
    pass_of,
    run_of,
    same_garment,
    slot_ticket,
    step_at,
    ticket_id,
)
from kiosk.run.state import ENDED, JobRun, Stage, State, Ticket, replace
from kiosk.run.state import events as e
from kiosk.run.state import events_station as st
from kiosk.run.state.cooling import Feels, Kept, Lesson, Lies, Pressing, Taught
from kiosk.run.state.event import Now, elapsed
from kiosk.run.state.model import Heat


def unloaded(job: JobRun, ticket: Ticket) -> Ticket:
    """Return the ticket off the press again: its hands begin anew after the last heat."""
    step = first_hand(pass_of(job, ticket), ticket.step)
    return replace(ticket, stage=Stage.WAITING, step=step)


def put(job: JobRun, ticket: Ticket, at_end: bool = False) -> JobRun:
    """Return the job with `ticket` as it is now, moved to the place that its stage says.

    WAITING joins the queue at its front, or `at_end` of its run; UNKNOWN keeps the slot where
    it has it. A ticket that had the slot makes room for one that comes AT_PRESS.
    """
    old = job.tickets.get(ticket.id)
    tickets = {**job.tickets, ticket.id: ticket}
    keeps = ticket.id == job.slot and ticket.stage in AT_SLOT
    if keeps or (old is not None and old.stage is ticket.stage and ticket.id != job.slot):
        return replace(job, tickets=tickets)
    return _arrive(replace(_leave(job, ticket.id), tickets=tickets), ticket, at_end)


def lay_aside(job: JobRun, ticket: Ticket) -> JobRun:
    """Return the job with an UNKNOWN ticket taken out of the slot to wait for a person."""
    job = _leave(job, ticket.id)
    return replace(job, tickets={**job.tickets, ticket.id: ticket}, aside=(*job.aside, ticket.id))


def drop(job: JobRun, name: str) -> JobRun:
    """Return the job without a ticket that should never have been opened."""
    job = _leave(job, name)
    return replace(job, tickets={k: t for k, t in job.tickets.items() if k != name})


def _leave(job: JobRun, name: str) -> JobRun:
    if name == job.slot:
        return replace(job, slot="", questions=())
    old = job.tickets.get(name)
    if old is None:
        return job
    if old.stage is Stage.WAITING:
        return replace(job, queue=_without(job.queue, name))
    if old.stage is Stage.COOLING:
        leaving = "" if job.leaving == name else job.leaving
        return replace(job, rack=_without(job.rack, name), leaving=leaving)
    return replace(job, aside=_without(job.aside, name)) if old.stage in ASIDE else job


def _arrive(job: JobRun, ticket: Ticket, at_end: bool) -> JobRun:
    if ticket.stage is Stage.WAITING:
        queue = _at_end(job, ticket) if at_end else (ticket.id, *job.queue)
        return replace(job, queue=queue)
    if ticket.stage is Stage.AT_PRESS:
        return replace(_make_room(job), slot=ticket.id, questions=())
    if ticket.stage is Stage.COOLING:
        return replace(job, rack=(*job.rack, ticket.id))
    return replace(job, aside=(*job.aside, ticket.id)) if ticket.stage in ASIDE else job


def _make_room(job: JobRun) -> JobRun:
    there = slot_ticket(job)
    if there is None:
        return job
    if there.stage is Stage.UNKNOWN:
        return lay_aside(job, there)
    return put(job, unloaded(job, there))


def _at_end(job: JobRun, ticket: Ticket) -> tuple[str, ...]:
    """Return the queue with a ticket behind the last one of its run or of an earlier one."""
    run = run_of(job.plan, ticket.passage)
    place = len(job.queue)
    while place and run_of(job.plan, job.tickets[job.queue[place - 1]].passage) > run:
        place -= 1
    return (*job.queue[:place], ticket.id, *job.queue[place:])


def _without(names: tuple[str, ...], name: str) -> tuple[str, ...]:
    if names and names[0] == name:
        return names[1:]
    return tuple(n for n in names if n != name)


def scrapped(job: JobRun, ticket: Ticket) -> tuple[JobRun, tuple[Ticket, ...], tuple[str, ...]]:
    """Return the job, the garment's tickets that this ends, and the ids of its new copy's."""
    voided = tuple(
        t for t in same_garment(job, ticket) if t.id != ticket.id and t.stage not in ENDED
    )
    every = same_garment(job, ticket)
    job = put(job, ticket)
    for other in voided:
        job = put(job, replace(other, stage=Stage.VOID))
    opened = []
    for old in every:
        name = ticket_id(old.garment.line, old.passage, old.copy + 1)
        if name not in job.tickets:
            job = put(job, Ticket(name, old.garment, old.passage, old.copy + 1), at_end=True)
            opened.append(name)
    return job, voided, tuple(opened)


def with_job(state: State, job: JobRun) -> State:
    """Return the state with one of its jobs as it is now, at the press or beside it."""
    if job.job == state.current:
        return replace(state, job=job)
    return replace(state, others={**state.others, job.job: job})


def found(state: State, name: str) -> tuple[JobRun | None, Ticket | None]:
    """Return the job at the press and its ticket `name`, None for what there is not."""
    job = state.job
    return job, None if job is None else job.tickets.get(name)


MOST_PRESSINGS = 24  # a pad forgets; and a state must not grow
MOST_LESSONS = 24


def with_pressing(before: State, state: State, event: e.Event) -> State:
    """Return `state`, which `event` made of `before`, with the closing that ended in it."""
    heat = before.heat
    if heat is None:
        return _opened_late(state, event) if isinstance(event, e.Opened) else state
    if state.heat is not None or isinstance(event, e.NotClosed):
        return state
    began = heat.closed.later(heat.starts - heat.closed.clock)
    ended, job = _ended(before, heat, event), before.current
    pressing = Pressing(heat.ticket, heat.step, began, ended, job)
    return replace(state, pressings=(*state.pressings, pressing)[-MOST_PRESSINGS:])


def _ended(before: State, heat: Heat, event: e.Event) -> Now:
    """When it was opened; where nobody saw it, as it was planned."""
    if isinstance(event, e.TimeUp):
        return event.at.later(event.due - event.at.clock)
    if isinstance(event, e.WasClosed):
        return before.asked or event.at
    if isinstance(event, e.OutcomeUnknown):
        planned = heat.starts - heat.closed.clock + (heat.dwell_seconds or 0.0)
        return heat.closed.later(planned)
    return event.at


def _opened_late(state: State, event: e.Opened) -> State:
    """Told after the tone: the last closing of that garment lasted until then."""
    last = state.pressings[-1] if state.pressings else None
    if last is None or not event.ticket or (last.ticket, last.step) != (event.ticket, event.step):
        return state
    job, ticket = found(state, event.ticket)
    if job is None or ticket is None or ticket.opened != event.at:
        return state
    late = replace(last, ended=event.at)
    return replace(state, pressings=(*state.pressings[:-1], late))


def next_garment(state: State, ticket: str) -> State:
    """A closing on another garment: what came before it is in the pad's warmth."""
    last = state.pressings[-1] if state.pressings else None
    if state.pad_next is None or last is None:
        return state
    if (last.job, last.ticket) == (state.current, ticket):
        return state
    return replace(state, pad=state.pad_next, pad_next=None, pressings=())


def estimated(state: State, event: st.PeelEstimated) -> State:
    """When a garment can be peeled; and the pad as the next one finds it."""
    job, ticket = found(state, event.ticket)
    if job is None or ticket is None or ticket.opened != event.estimate.opened:
        return state
    last = state.pressings[-1] if state.pressings else None
    here = last is not None and (last.job, last.ticket) == (job.job, ticket.id)
    if event.pad is not None and here:
        state = replace(state, pad_next=event.pad)
    if ticket.peeled:
        return state
    return replace(state, job=_with(job, replace(ticket, estimate=event.estimate)))


def place_said(state: State, event: st.PlaceSaid) -> State:
    """Where a garment cools, by a person's word."""
    job, ticket = found(state, event.ticket)
    if job is None or ticket is None:
        return state
    lifted = event.at if event.lies is Lies.LIFTED else None
    return replace(state, job=_with(job, replace(ticket, lies=event.lies, lifted=lifted)))


def touched(state: State, event: st.Touched) -> State:
    """Found too warm: what is found later lies between; a reading is kept for the next one."""
    job, ticket = found(state, event.ticket)
    if job is None or ticket is None or ticket.opened is None:
        return state
    felt = elapsed(ticket.opened, event.at)[0]
    if event.feels is Feels.READING and event.celsius is not None:
        return replace(state, job=_with(job, replace(ticket, read=(felt, event.celsius))))
    if event.feels is not Feels.NOT_READY:
        return state
    return replace(state, job=_with(job, replace(ticket, felt=felt)))


def racked(ticket: Ticket, at: Now) -> Ticket:
    """Return a ticket that the next closing, at `at`, declared to lie on the rack.

    One that was left on the pad was lifted for it; else it is taken to have been lifted at once.
    """
    if ticket.lies is Lies.ON_PAD:
        return replace(ticket, lies=Lies.LIFTED, lifted=at)
    return replace(ticket, lies=Lies.LIFTED)


def learned(state: State, event: st.PeelLearned) -> State:
    """What is known since, with the lesson for its history."""
    known = state.betas.get(event.lies.value)
    lesson = Lesson(
        event.at,
        event.ticket,
        event.lies,
        event.taught,
        event.seen_seconds,
        event.ready_seconds,
        event.low,
        event.factor,
        event.high,
        known,
        at_least=not event.kept.two_sided,
    )
    return _taught(state, event.lies, event.kept, lesson)


def learning_reset(state: State, event: st.LearningReset) -> State:
    """As if nothing had been learned; the history says so."""
    known = state.betas.get(event.lies.value)
    lesson = Lesson(event.at, "", event.lies, None, 0.0, 0.0, 1.0, 1.0, 1.0, known)
    return _taught(state, event.lies, None, lesson)


def untaught(state: State, ticket: str) -> State:
    """Return the state without what the tap that was taken back had taught, if it came last."""
    for nth in range(len(state.lessons) - 1, -1, -1):
        lesson = state.lessons[nth]
        if lesson.ticket == ticket and lesson.taught in (Taught.GOOD_PEEL, Taught.LIFTED_EDGE):
            if any(later.lies is lesson.lies for later in state.lessons[nth + 1 :]):
                return state  # what was learned since rests on it
            lessons = (*state.lessons[:nth], *state.lessons[nth + 1 :])
            return replace(state, lessons=lessons, betas=_betas(state, lesson.lies, lesson.before))
    return state


def is_final(job: JobRun | None, pressing: Pressing) -> bool:
    """Return whether a closing was the final of a garment of this job."""
    if job is None or job.job != pressing.job:
        return False
    ticket = job.tickets.get(pressing.ticket)
    if ticket is None:
        return False
    return is_hot(step_at(job, ticket, pressing.step), Phase.FINAL)


def _taught(state: State, lies: Lies, kept: Kept | None, lesson: Lesson) -> State:
    lessons = (*state.lessons, lesson)[-MOST_LESSONS:]
    return replace(state, betas=_betas(state, lies, kept), lessons=lessons)


def _betas(state: State, lies: Lies, kept: Kept | None) -> dict[str, Kept]:
    betas = {key: value for key, value in state.betas.items() if key != lies.value}
    return betas if kept is None else {**betas, lies.value: kept}


def _with(job: JobRun, ticket: Ticket) -> JobRun:
    return replace(job, tickets={**job.tickets, ticket.id: ticket})
