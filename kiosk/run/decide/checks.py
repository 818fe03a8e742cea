"""Checks of the press, trials, first garments, and what a supervisor lets pass."""

from kiosk.catalog.model import Approver, Demand
from kiosk.run.facts import checks, label_of, pass_of, required_setting, slot_ticket, trials
from kiosk.run.state import (
    DEFECT_IDS,
    Decision,
    FirstGarment,
    JobRun,
    Now,
    Refusal,
    State,
    TicketStage,
    refuse,
)
from kiosk.run.state import commands_shift as s
from kiosk.run.state import events_shift as e


def verify_press(state: State, command: s.VerifyPress, now: Now) -> Decision:
    """Judge the card of a press check by the job's rules; a failed one is recorded too."""
    job = state.job
    needed = None if job is None else required_setting(job)
    if job is None or needed is None or not checks.check_due(state, job):
        return refuse("verify.not_asked")
    if len(command.readings) != checks.READINGS or len(command.paper_held) != checks.PULLS:
        return refuse("verify.incomplete")
    if not all(0 < reading <= checks.HOTTEST for reading in command.readings):
        return refuse("verify.reading")
    rules = job.rules
    return (
        e.PressVerified(
            now,
            job.plan.press,
            needed,
            job.plan.unit,
            command.readings,
            command.paper_held,
            checks.offset_of(command.readings, needed),
            checks.spread_of(command.readings),
            rules.offset_most,
            rules.spread_most,
            checks.check_passes(rules, needed, command.readings, command.paper_held),
        ),
    )


def let_pass(state: State, command: s.LetPass, now: Now) -> Decision:
    """Record that a supervisor overrides, with a reason, the rule that holds the work now."""
    job = state.job
    if job is None:
        return refuse("no_job")
    if not command.supervisor.strip():
        return refuse("supervisor")
    if not command.reason.strip():
        return refuse("reason")
    about = _overridden_rule(state, job, command.what)
    if isinstance(about, Refusal):
        return about
    supervisor, reason = command.supervisor.strip(), command.reason.strip()
    return (e.Overridden(now, command.what, about[0], supervisor, reason, about[1]),)


def _overridden_rule(state: State, job: JobRun, what: e.Overruled) -> tuple[str, str] | Refusal:
    """Return what is overruled and the current ticket; refuse if it is not what holds the work."""
    if what is e.Overruled.VERIFICATION:
        if not checks.check_due(state, job):
            return refuse("override.nothing")
        can_override = job.rules.verify is Demand.ASKED
        return (job.plan.press, job.slot) if can_override else refuse("override.required")
    if what is e.Overruled.TRIAL:
        return _untried_article(job)
    hold = checks.lot_hold(job)
    if hold is not None and hold.met is not None:
        rule = e.Overruled.PLAN if hold.met.by_plan else e.Overruled.CLAIMS
        if what is not rule:
            return refuse("override.nothing")
        return ", ".join(filter(None, hold.met.stations)), job.slot
    if (
        hold is None
        or what in (e.Overruled.CLAIMS, e.Overruled.PLAN)
        or (hold.first is None) is (what is e.Overruled.FIRST_ARTICLE)
    ):
        return refuse("override.nothing")
    if hold.first is None:
        return hold.cause, ""
    if job.rules.first_article is not Demand.ASKED:
        return refuse("override.required")
    return hold.first.article, hold.first.ticket


def _untried_article(job: JobRun) -> tuple[str, str] | Refusal:
    """Return the article whose trial is let pass and the current garment."""
    ticket = slot_ticket(job)
    if ticket is None or not trials.trial_due(job):
        return refuse("override.nothing")
    if job.rules.trial is not Demand.ASKED:
        return refuse("override.required")
    return checks.article_of(job.plan, pass_of(job, ticket)), ticket.id


def judge_first(state: State, command: s.JudgeFirst, now: Now) -> Decision:
    """Judge the first garment; the shop's rules and the plan's warnings decide who may."""
    job = state.job
    hold: checks.LotHold | None = None if job is None else checks.lot_hold(job)
    first = None if hold is None else hold.first
    if job is None or first is None or first.ticket != command.ticket:
        return refuse("first.not_asked")
    refusal = _not_judged(job, first, command)
    if refusal is not None:
        return refusal
    approver = "supervisor" if command.supervisor else command.approver.strip()
    event = e.FirstArticleJudged(
        now,
        first.ticket,
        first.article,
        command.approved,
        approver,
        first.operator,
        command.across_inches,
        command.along_inches,
        command.faults,
    )
    return (event, *by_first(job, first, approver, command.faults, now))


def _not_judged(job: JobRun, first: FirstGarment, command: s.JudgeFirst) -> Refusal | None:
    if job.tickets[first.ticket].stage not in (TicketStage.GOOD, TicketStage.ACCEPTED):
        return refuse("first.not_good", number=label_of(job.tickets[first.ticket]))
    if not set(command.faults) <= DEFECT_IDS:
        return refuse("inspect.defect")
    if not command.approved:
        return None if command.faults else refuse("inspect.defect")
    if command.faults:
        return refuse("first.faults")
    return _wrong_approver(job, first, command)


def _wrong_approver(job: JobRun, first: FirstGarment, command: s.JudgeFirst) -> Refusal | None:
    """Refuse an approver who lacks the right: not a supervisor, or the one who pressed it."""
    if command.supervisor:
        return None
    initials = command.approver.strip()
    if not initials:
        return refuse("sign_on.initials")
    if checks.needs_supervisor(job.plan) or job.rules.approver is Approver.SUPERVISOR:
        return refuse("first.supervisor")
    if job.rules.approver is Approver.ANOTHER and initials == first.operator:
        return refuse("first.another", operator=first.operator)
    return None


def begin_trial(state: State, command: s.BeginTrial, now: Now) -> Decision:
    """Begin a trial on a piece of cloth for every article of the job that needs one."""
    job = state.job
    if job is None or not trials.trial_due(job):
        return refuse("trial.not_asked")
    return (
        e.TrialBegun(now, job.job, tuple(article for article, _ in trials.articles_to_try(job))),
    )


def try_first(state: State, command: s.TryFirst, now: Now) -> Decision:
    """Make the current garment the trial of its article."""
    job = state.job
    ticket = slot_ticket(job)
    if job is None or ticket is None or not trials.trial_due(job):
        return refuse("trial.not_asked")
    return (e.TrialByFirst(now, job.job, checks.article_of(job.plan, pass_of(job, ticket))),)


def judge_trial(state: State, command: s.JudgeTrial, now: Now) -> Decision:
    """Record what was found on the piece, in the name of the operator at the press."""
    job = state.job
    if job is None or not job.trying or not trials.trial_due(job):
        return refuse("trial.not_asked")
    if not set(command.faults) <= DEFECT_IDS | {trials.PEEL}:
        return refuse("inspect.defect")
    found = tuple(trials.articles_to_try(job))
    tried = dict.fromkeys(each for _, owners in found for each in owners)
    articles = tuple(article for article, _ in found)
    passed, by = not command.faults, state.operator
    return (e.TrialJudged(now, job.job, articles, tuple(tried), passed, by, command.faults),)


def leave_trial(state: State, command: s.LeaveTrial, now: Now) -> Decision:
    """End the trial without a finding: it is still due."""
    job = state.job
    return () if job is None or not job.trying else (e.TrialLeft(now, job.job),)


def note_trial(state: State, command: s.NoteTrial, now: Now) -> Decision:
    """Record, once, that a finding is in the shop's file, or why it never will be."""
    waiting = any(finding.tried == command.tried for finding in state.trials)
    return (e.TrialNoted(now, command.tried, command.why),) if waiting else ()


def by_first(
    job: JobRun, first: FirstGarment, by: str, faults: tuple[str, ...], now: Now
) -> tuple[e.TrialJudged, ...]:
    """Return the trial's finding if the card of a first garment is one."""
    if first.article not in job.trial_first:
        return ()
    tried = trials.untried(job.plan, pass_of(job, job.tickets[first.ticket]))
    passed = not faults
    one = (first.article,)
    return (e.TrialJudged(now, job.job, one, tried, passed, by, faults, first.ticket),)
