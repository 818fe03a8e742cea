"""A trial before a lot: begun on a piece, left to the first garment, judged, noted in a file."""

from __future__ import annotations

from kiosk.run.decide.decision import Decision, refuse
from kiosk.run.facts.lots import article_of
from kiosk.run.facts.tickets import pass_of, slot_ticket
from kiosk.run.facts.trial import PEEL, to_try, trial_due, untried
from kiosk.run.state import commands_trial as c
from kiosk.run.state import events_trial as e
from kiosk.run.state.classes import DEFECT_IDS
from kiosk.run.state.model import First, JobRun, Now, State


def begin_trial(state: State, command: c.BeginTrial, now: Now) -> Decision:
    """A piece of cloth, for every article of the job that waits for a trial."""
    job = state.job
    if job is None or not trial_due(job):
        return refuse("trial.not_asked")
    return (e.TrialBegun(now, job.job, tuple(article for article, _ in to_try(job))),)


def try_first(state: State, command: c.TryFirst, now: Now) -> Decision:
    """The garment at hand is the trial of its article."""
    job = state.job
    ticket = slot_ticket(job)
    if job is None or ticket is None or not trial_due(job):
        return refuse("trial.not_asked")
    return (e.TrialByFirst(now, job.job, article_of(job.plan, pass_of(job, ticket))),)


def judge_trial(state: State, command: c.JudgeTrial, now: Now) -> Decision:
    """What was found on the piece; the one at the press answers for it."""
    job = state.job
    if job is None or not job.trying or not trial_due(job):
        return refuse("trial.not_asked")
    if not set(command.faults) <= DEFECT_IDS | {PEEL}:
        return refuse("inspect.defect")
    found = tuple(to_try(job))
    tried = dict.fromkeys(each for _, owners in found for each in owners)
    articles = tuple(article for article, _ in found)
    passed, by = not command.faults, state.operator
    return (e.TrialJudged(now, job.job, articles, tuple(tried), passed, by, command.faults),)


def leave_trial(state: State, command: c.LeaveTrial, now: Now) -> Decision:
    """Nothing was found: the trial is as due as before."""
    job = state.job
    return () if job is None or not job.trying else (e.TrialLeft(now, job.job),)


def note_trial(state: State, command: c.NoteTrial, now: Now) -> Decision:
    """A finding that waits for its file, once."""
    waiting = any(finding.tried == command.tried for finding in state.trials)
    return (e.TrialNoted(now, command.tried, command.why),) if waiting else ()


def by_first(
    job: JobRun, first: First, by: str, faults: tuple[str, ...], now: Now
) -> tuple[e.TrialJudged, ...]:
    """Return the finding that the card of a first garment is, where it is the trial."""
    if first.article not in job.trial_first:
        return ()
    tried = untried(job.plan, pass_of(job, job.tickets[first.ticket]))
    passed = not faults
    one = (first.article,)
    return (e.TrialJudged(now, job.job, one, tried, passed, by, faults, first.ticket),)
