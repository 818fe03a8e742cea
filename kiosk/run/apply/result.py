"""How hand work changes tickets: confirmed steps, results, detours, and taking them back."""

from kiosk.plan.model import Phase
from kiosk.run.apply.closing import count_closings, to_the_rack
from kiosk.run.apply.cooling import without_lesson
from kiosk.run.apply.places import drop, job_and_ticket, lay_aside, put, scrap_garment, unloaded
from kiosk.run.facts.hands import last_closing, last_tap, without_closing
from kiosk.run.facts.moves import cools_on_rack, last_peel, racked_at
from kiosk.run.facts.peels import LATE
from kiosk.run.facts.tickets import is_hot, pass_of, slot_ticket, step_at
from kiosk.run.state import (
    ENDED,
    CountedScrap,
    JobRun,
    Now,
    State,
    Ticket,
    TicketStage,
    Undo,
    replace,
)
from kiosk.run.state import events as e


def confirmed(state: State, event: e.Confirmed) -> State:
    """Confirm hand steps; after its early peels a ticket for the rack leaves the press."""
    job, ticket = job_and_ticket(state, event.ticket)
    if job is None or ticket is None or (ticket.id != job.slot and ticket.id not in job.rack):
        return state
    if ticket.id != job.slot:
        return _stage_peeled(state, job, ticket, event)
    passage = pass_of(job, ticket)
    peel = last_peel(passage)
    over = peel is not None and any(
        s.phase is Phase.PEEL for s in passage.steps[max(0, event.first) : event.last + 1]
    )
    step = max(0, event.last + 1)
    after = replace(
        ticket,
        step=step,
        hot_peeled=ticket.hot_peeled or (over and peel is not None and step <= peel),
        peeled=ticket.peeled or (over and peel is not None and step > peel),
        marks=_marks(ticket, event.late_seconds),
    )
    job = with_undo(job, Undo("confirmed", (ticket,), ticket.id, questions=job.questions))
    leaves = over and cools_on_rack(passage) and step == racked_at(passage, step)
    return _moved(state, to_the_rack(job, after) if leaves else put(job, after), event.at)


def _stage_peeled(state: State, job: JobRun, ticket: Ticket, event: e.Confirmed) -> State:
    """Confirm one of several peels on the rack; the ticket keeps cooling there for the next."""
    at, leaving = job.rack.index(ticket.id), job.leaving == ticket.id
    marks = _marks(ticket, event.late_seconds)
    after = replace(ticket, step=max(0, event.last + 1), hot_peeled=True, marks=marks)
    job = with_undo(put(job, after), Undo("stage peeled", (ticket,), "", at, leaving=leaving))
    return _moved(state, job, event.at)


def finished(state: State, event: e.Finished) -> State:
    """Give a result; a scrap ends the garment's other tickets and opens a new copy of it."""
    job, ticket = job_and_ticket(state, event.ticket)
    if job is None or ticket is None or ticket.stage in ENDED:
        return state
    after = replace(
        ticket,
        stage=event.stage,
        peeled=ticket.peeled or event.peeled,
        marks=_marks(ticket, event.late_seconds),
    )
    if after.peeled or after.stage in ENDED:
        after = replace(after, estimate=None)  # the state must not grow
    undo = _undo_of_result(job, ticket)
    if event.stage is TicketStage.SCRAP:
        done, voided, opened = scrap_garment(job, after)
        queue = job.queue if any(t.stage is TicketStage.WAITING for t in voided) else ()
        undo = replace(undo, tickets=(ticket, *voided), opened=opened, queue=queue)
        done = _count_scrap(done, ticket.id, event.cause)
    else:
        done = put(job, after)
    return _moved(state, with_undo(done, undo), event.at)


def went_on(state: State, event: e.WentOn) -> State:
    """Continue at the next step, or on the rack if the final was done."""
    job, ticket = job_and_ticket(state, event.ticket)
    if job is None or ticket is None or ticket.id != job.slot:
        return state
    step = ticket.step + (ticket.stage is TicketStage.UNKNOWN)
    after = replace(ticket, stage=TicketStage.AT_PRESS, step=step)
    final = is_hot(step_at(job, after, step - 1), Phase.FINAL)
    rack = final and cools_on_rack(pass_of(job, after)) and not after.peeled
    job = with_undo(job, Undo("went on", (ticket,), ticket.id))
    return _moved(state, to_the_rack(job, after) if rack else put(job, after), event.at)


def skipped(state: State, event: e.Skipped) -> State:
    """Skip the pre-press; the hand steps around it remain."""
    job, ticket = job_and_ticket(state, event.ticket)
    if job is None or ticket is None:
        return state
    job = with_undo(job, Undo("skipped", (ticket,), job.slot, questions=job.questions))
    return _moved(state, put(job, replace(ticket, skipped=True)), event.at)


def set_aside(state: State, event: e.SetAside) -> State:
    """Move the ticket to the end of its run, or aside for inspection if its outcome is unknown."""
    job, ticket = job_and_ticket(state, event.ticket)
    if job is None or ticket is None or ticket.id != job.slot:
        return state
    job = with_undo(job, Undo("set aside", (ticket,), ticket.id, questions=job.questions))
    if ticket.stage is TicketStage.UNKNOWN:
        return _moved(state, lay_aside(job, ticket), event.at)
    return _moved(state, put(job, unloaded(job, ticket), at_end=True), event.at)


def _count_scrap(job: JobRun, ticket: str, cause: str) -> JobRun:
    """Return the job with one more scrap toward the shop's limit, if it has one."""
    if not job.rules.scrap_limit:
        return job
    return replace(job, scraps=(*job.scraps, CountedScrap(ticket, cause or "not_known")))


def _marks(ticket: Ticket, late: float | None) -> tuple[str, ...]:
    """Return the ticket's marks, with LATE added after a late hot peel."""
    return ticket.marks if late is None or LATE in ticket.marks else (*ticket.marks, LATE)


def _moved(state: State, job: JobRun, at: Now) -> State:
    return replace(state, job=job, moved=at)


def _undo_of_result(job: JobRun, ticket: Ticket) -> Undo:
    at = job.rack.index(ticket.id) if ticket.stage is TicketStage.COOLING else 0
    kind = "peeled" if ticket.stage is TicketStage.COOLING else "finished"
    slot = ticket.id if ticket.id == job.slot else ""
    questions = job.questions if slot else ()
    leaving = job.leaving == ticket.id
    return Undo(kind, (ticket,), slot, at, questions=questions, leaving=leaving)


OF_RESULTS = ("peeled", "finished")
DEEPEST = 8
"""How many taps can be taken back; a checkpoint holds them all."""


def with_undo(job: JobRun, undo: Undo) -> JobRun:
    """Return the job with one more tap that can be taken back."""
    return replace(job, undo=(*job.undo, undo)[-DEEPEST:])


def without_undo(job: JobRun, *decided: str) -> JobRun:
    """Return the job without undo for tickets that a supervisor has decided on."""
    undo = tuple(u for u in job.undo if not any(t.id in decided for t in u.tickets))
    return replace(job, undo=undo)


def taken_back(state: State, event: e.TakenBack) -> State:
    """Take back the last tap: its tickets are where they were, with their questions."""
    job = state.job
    undo = None if job is None else last_tap(job)
    if job is None or undo is None or undo.what != event.what:
        return state
    if undo.what in OF_RESULTS:
        state = without_lesson(state, undo.tickets[0].id)
    names = {ticket.id for ticket in undo.tickets}
    scraps = tuple(scrap for scrap in job.scraps if scrap.ticket not in names)
    others = tuple(each for each in job.undo if each is not undo)
    job = replace(job, undo=others, done=False, scraps=scraps)
    for name in undo.opened:
        job = drop(job, name)
    job = send_back_called(job, undo)
    for ticket in undo.tickets:
        job = put(job, ticket)
    job = _queue_as_before(restore_order(job, undo), undo.queue)
    return replace(state, job=job, moved=event.at)


def send_back_called(job: JobRun, undo: Undo) -> JobRun:
    """Return the job with the ticket that the tap had called put back to wait."""
    slot = slot_ticket(job)
    if slot is None or slot.id == undo.slot or not (undo.slot or _waits_for(undo, slot)):
        return job
    if slot.stage is TicketStage.UNKNOWN:
        return lay_aside(job, slot)
    return put(job, replace(slot, stage=TicketStage.WAITING))


def _waits_for(undo: Undo, slot: Ticket) -> bool:
    """Whether `slot` is a later pass that must wait again once this peel is taken back."""
    garments = {(t.garment.line, t.copy) for t in undo.tickets}
    return (slot.garment.line, slot.copy) in garments


def restore_order(job: JobRun, undo: Undo) -> JobRun:
    """Restore the order of slot and rack."""
    first = undo.tickets[0] if undo.tickets else None
    if first is not None and undo.slot == first.id:
        aside = tuple(name for name in job.aside if name != first.id)
        return replace(job, slot=first.id, aside=aside, questions=undo.questions)
    if first is not None and first.stage is TicketStage.COOLING:
        others = tuple(name for name in job.rack if name != first.id)
        leaving = first.id if undo.leaving else job.leaving
        rack = (*others[: undo.at], first.id, *others[undo.at :])
        job = replace(job, rack=rack, leaving=leaving)
    return job


def _queue_as_before(job: JobRun, before: tuple[str, ...]) -> JobRun:
    """Return the job with its queue in the order `before`, newer tickets in front."""
    if not before:
        return job
    queued = set(job.queue)
    newer = tuple(name for name in job.queue if name not in set(before))
    return replace(job, queue=(*newer, *(name for name in before if name in queued)))


def never_closed(state: State, event: e.NeverClosed) -> State:
    """Undo the closing: the ticket is where it was before, and no heat counts."""
    job, undo = state.job, last_closing(state.job)
    if job is None or undo is None or undo.slot != event.ticket:
        return state
    job = replace(without_closing(job), last_loaded=undo.loaded, done=False)
    job = restore_order(put(send_back_called(job, undo), undo.tickets[0]), undo)
    for racked in undo.tickets[1:]:
        job = _leaving_again(job, racked)
    return replace(count_closings(_unpressed(replace(state, job=job), event), -1), moved=event.at)


def _unpressed(state: State, event: e.NeverClosed) -> State:
    """Remove the closing's heat from the pad."""
    last = state.pressings[-1] if state.pressings else None
    if last is None or (last.job, last.ticket, last.step) != (
        state.current,
        event.ticket,
        event.step,
    ):
        return state
    return replace(state, pressings=state.pressings[:-1], pad_next=None)


def _leaving_again(job: JobRun, before: Ticket) -> JobRun:
    """Return the job with a ticket again on its way to the rack; the same tap confirmed it."""
    ticket = job.tickets.get(before.id)
    if ticket is None or ticket.stage is not TicketStage.COOLING:
        return job
    racked = racked_at(pass_of(job, before), before.step)
    if ticket.step != max(before.step, racked or 0):
        return job  # a later tap confirmed more
    ticket = replace(
        ticket,
        step=before.step,
        hot_peeled=before.hot_peeled,
        lies=before.lies,
        lifted=before.lifted,
        marks=before.marks,
    )
    return replace(put(job, ticket), leaving=ticket.id)
