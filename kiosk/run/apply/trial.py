"""What a trial before a lot makes of a state."""

from __future__ import annotations

from kiosk.run.apply.job import with_job
from kiosk.run.state import events_trial as e
from kiosk.run.state.anew import replace
from kiosk.run.state.model import Finding, State


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
