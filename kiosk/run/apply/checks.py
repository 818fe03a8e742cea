"""How press checks, trials, first garments and overrides change a state."""

from kiosk.run.apply.job import claims_settled
from kiosk.run.apply.places import job_and_ticket, put, with_job
from kiosk.run.apply.result import without_undo
from kiosk.run.facts import is_last_copy, with_approval
from kiosk.run.state import LastCheck, State, TicketStage, TrialFinding, replace
from kiosk.run.state import events_shift as e


def press_verified(state: State, event: e.PressVerified) -> State:
    """Replace the last check by this one, passed or not."""
    check = LastCheck(event.press, event.temperature, event.at, event.passed)
    return replace(state, check=check, moved=event.at)


def verification_lapsed(state: State, event: e.VerificationLapsed) -> State:
    """End the check."""
    check = state.check
    return replace(state, check=None if check is None else replace(check, lapsed=event.at))


def overridden(state: State, event: e.Overridden) -> State:
    """Apply a supervisor's override of a check, approval, trial, claim or scrap limit."""
    job = state.job
    state = replace(state, moved=event.at)
    if job is None:
        return state
    if event.what is e.Overruled.VERIFICATION:
        read = job.setting or 0
        return replace(
            state, check=LastCheck(event.about, read, event.at, passed=False, waived=True)
        )
    if event.what is e.Overruled.FIRST_ARTICLE:
        return replace(state, job=with_approval(job, event.about))
    if event.what is e.Overruled.TRIAL:
        return replace(state, job=replace(job, tried=(*job.tried, event.about)))
    if event.what in (e.Overruled.CLAIMS, e.Overruled.PLAN):
        return state if job.met is None else claims_settled(state, job, job.met)
    scraps = tuple(scrap for scrap in job.scraps if scrap.cause != event.about)
    return replace(state, job=replace(job, scraps=scraps))


def first_article_judged(state: State, event: e.FirstArticleJudged) -> State:
    """Release the lot if approved; otherwise the garment goes to rework."""
    job, ticket = job_and_ticket(state, event.ticket)
    if job is None or ticket is None:
        return state
    if event.approved:
        job = with_approval(job, event.article)
    elif ticket.stage in (TicketStage.GOOD, TicketStage.ACCEPTED) and is_last_copy(job, ticket):
        job = put(without_undo(job, ticket.id), replace(ticket, stage=TicketStage.REWORK))
        job = replace(job, done=False)
    return replace(state, job=job, moved=event.at)


def trial_begun(state: State, event: e.TrialBegun) -> State:
    """Put a piece of cloth at the press."""
    job = state.jobs.get(event.job)
    if job is None:
        return state
    return replace(with_job(state, replace(job, trying=True)), moved=event.at)


def trial_left(state: State, event: e.TrialLeft) -> State:
    """End a trial on a piece without a finding."""
    job = state.jobs.get(event.job)
    return state if job is None else with_job(state, replace(job, trying=False))


def trial_by_first(state: State, event: e.TrialByFirst) -> State:
    """Hold the article's lot until the card of its first garment is filled in."""
    job = state.jobs.get(event.job)
    if job is None:
        return state
    first = tuple(dict.fromkeys((*job.trial_first, event.article)))
    return replace(with_job(state, replace(job, trial_first=first)), moved=event.at)


def trial_judged(state: State, event: e.TrialJudged) -> State:
    """Release the lot if passed, and keep the finding for the shop's files; else it stays due."""
    job = state.jobs.get(event.job)
    state = replace(state, moved=event.at)
    if event.passed:
        known = {finding.tried for finding in state.trials}
        findings = (TrialFinding(t, event.at.wall, event.by) for t in event.tried if t not in known)
        state = replace(state, trials=(*state.trials, *findings))
    if job is None:
        return state
    tried = dict.fromkeys((*job.tried, *event.articles)) if event.passed else job.tried
    return with_job(state, replace(job, tried=tuple(tried), trying=False))


def trial_noted(state: State, event: e.TrialNoted) -> State:
    """Drop a finding that is in the shop's file, or never will be."""
    trials = tuple(finding for finding in state.trials if finding.tried != event.tried)
    return replace(state, trials=trials)
