"""What the events around the garments make of a state."""

from __future__ import annotations

from kiosk.run import events_shift as e
from kiosk.run.anew import replace
from kiosk.run.apply_job import found, with_job
from kiosk.run.apply_undo import forget
from kiosk.run.lot import approved
from kiosk.run.model import Check, Stage, State, Tries
from kiosk.run.places import put
from kiosk.run.tickets import is_last_copy


def press_verified(state: State, event: e.PressVerified) -> State:
    """A check, passed or not; it stands in place of the one before."""
    check = Check(event.press, event.temperature, event.at, event.passed)
    return replace(state, check=check, moved=event.at)


def verification_lapsed(state: State, event: e.VerificationLapsed) -> State:
    """The check holds no longer."""
    return replace(state, check=None)


def overridden(state: State, event: e.Overridden) -> State:
    """A supervisor's word in place of a check, an approval, or after too many scraps."""
    job = state.job
    state = replace(state, moved=event.at)
    if job is None:
        return state
    if event.what is e.Overruled.VERIFICATION:
        read = job.setting or 0
        return replace(state, check=Check(event.about, read, event.at, passed=False, waived=True))
    if event.what is e.Overruled.FIRST_ARTICLE:
        return with_job(state, approved(job, event.about))
    if event.what is e.Overruled.TRIAL:
        return with_job(state, replace(job, tried=(*job.tried, event.about)))
    kept = tuple(scrap for scrap in job.scraps if scrap.cause != event.about)
    return with_job(state, replace(job, scraps=kept))


def first_article_judged(state: State, event: e.FirstArticleJudged) -> State:
    """Approved, the lot goes on; otherwise the garment waits for a person."""
    job, ticket = found(state, event.ticket)
    if job is None or ticket is None:
        return state
    if event.approved:
        job = approved(job, event.article)
    elif ticket.stage in (Stage.GOOD, Stage.ACCEPTED) and is_last_copy(job, ticket):
        job = put(forget(job, ticket.id), replace(ticket, stage=Stage.REWORK))
        job = replace(job, done=False)
    return replace(with_job(state, job), moved=event.at)


def pin_tried(state: State, event: e.PinTried) -> State:
    """Wrong entries are counted, a right one ends the count."""
    before = state.tries.wrong if state.tries else 0
    return replace(state, tries=None if event.right else Tries(before + 1, event.at))


def pin_chosen(state: State, event: e.PinChosen) -> State:
    """A new PIN: whoever could choose it has the machine."""
    return replace(state, tries=None)


def recipes_read(state: State, event: e.RecipesRead) -> State:
    """The shop's files are as this digest says."""
    return replace(state, recipes=event.digest)


def upkeep_done(state: State, event: e.UpkeepDone) -> State:
    """A part was seen to; its closings count from here."""
    key = f"{event.press}/{event.part}"
    return replace(state, upkeep={**state.upkeep, key: event.closings})


def columns_confirmed(state: State, event: e.ColumnsConfirmed) -> State:
    """The columns of a job, until it begins."""
    return replace(state, columns={**state.columns, event.job: event.columns})


def names_deleted(state: State, event: e.NamesDeleted) -> State:
    """The receipt: the job has no names left."""
    closed = {job: wall for job, wall in state.closed.items() if job != event.job}
    folders = {job: folder for job, folder in state.folders.items() if job != event.job}
    return replace(state, closed=closed, folders=folders)
