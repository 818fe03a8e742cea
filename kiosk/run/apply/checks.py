"""What checks of the press, trials, first garments and a supervisor's word make of a state."""

from kiosk.run.apply.job import claims_settled
from kiosk.run.apply.places import found, put, with_job
from kiosk.run.apply.result import forget
from kiosk.run.facts import approved, is_last_copy
from kiosk.run.state import Check, Finding, Stage, State, replace
from kiosk.run.state import events_shift as e


def press_verified(state: State, event: e.PressVerified) -> State:
    """A check, passed or not; it stands in place of the one before."""
    check = Check(event.press, event.temperature, event.at, event.passed)
    return replace(state, check=check, moved=event.at)


def verification_lapsed(state: State, event: e.VerificationLapsed) -> State:
    """The check holds no longer."""
    check = state.check
    return replace(state, check=None if check is None else replace(check, lapsed=event.at))


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
        return replace(state, job=approved(job, event.about))
    if event.what is e.Overruled.TRIAL:
        return replace(state, job=replace(job, tried=(*job.tried, event.about)))
    if event.what in (e.Overruled.CLAIMS, e.Overruled.PLAN):
        return state if job.met is None else claims_settled(state, job, job.met)
    kept = tuple(scrap for scrap in job.scraps if scrap.cause != event.about)
    return replace(state, job=replace(job, scraps=kept))


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
    return replace(state, job=job, moved=event.at)


def trial_begun(state: State, event: e.TrialBegun) -> State:
    """A piece of cloth is at the press."""
    job = state.jobs.get(event.job)
    if job is None:
        return state
    return replace(with_job(state, replace(job, trying=True)), moved=event.at)


def trial_left(state: State, event: e.TrialLeft) -> State:
    """The piece is off the press, nothing was found."""
    job = state.jobs.get(event.job)
    return state if job is None else with_job(state, replace(job, trying=False))


def trial_by_first(state: State, event: e.TrialByFirst) -> State:
    """The first garment of the article holds its lot until its card is filled in."""
    job = state.jobs.get(event.job)
    if job is None:
        return state
    first = tuple(dict.fromkeys((*job.trial_first, event.article)))
    return replace(with_job(state, replace(job, trial_first=first)), moved=event.at)


def trial_judged(state: State, event: e.TrialJudged) -> State:
    """Passed, the lot goes on and the shop's files are to name it; otherwise it stays due."""
    job = state.jobs.get(event.job)
    state = replace(state, moved=event.at)
    if event.passed:
        known = {finding.tried for finding in state.trials}
        found = (Finding(t, event.at.wall, event.by) for t in event.tried if t not in known)
        state = replace(state, trials=(*state.trials, *found))
    if job is None:
        return state
    tried = dict.fromkeys((*job.tried, *event.articles)) if event.passed else job.tried
    return with_job(state, replace(job, tried=tuple(tried), trying=False))


def trial_noted(state: State, event: e.TrialNoted) -> State:
    """The file names it, or never will: nothing is left to write."""
    left = tuple(finding for finding in state.trials if finding.tried != event.tried)
    return replace(state, trials=left)
