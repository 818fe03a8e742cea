"""Checks of the press, approvals, overrides, and what is only noted."""

from __future__ import annotations

from math import ceil

from kiosk.run.decide.decision import Decision, refuse
from kiosk.run.decide.trial import by_first
from kiosk.run.facts.checks import HOTTEST, PULLS, READINGS, check_due, offset_of, passes, spread_of
from kiosk.run.facts.lots import LotHold, article_of, lot_hold, needs_supervisor
from kiosk.run.facts.naming import called
from kiosk.run.facts.pin import pin_wait
from kiosk.run.facts.questions import required_setting
from kiosk.run.facts.tickets import pass_of, slot_ticket
from kiosk.run.facts.trial import trial_due
from kiosk.run.state import commands_shift as c
from kiosk.run.state import events_shift as e
from kiosk.run.state.classes import DEFECT_IDS
from kiosk.run.state.model import First, JobRun, Now, Refusal, Stage, State
from kiosk.run.state.rules import Approver, Demand


def verify_press(state: State, command: c.VerifyPress, now: Now) -> Decision:
    """A card, judged by the job's rules; one that fails is recorded too."""
    job = state.job
    needed = None if job is None else required_setting(job)
    if job is None or needed is None or not check_due(state, job):
        return refuse("verify.not_asked")
    if len(command.readings) != READINGS or len(command.paper_held) != PULLS:
        return refuse("verify.incomplete")
    if not all(0 < reading <= HOTTEST for reading in command.readings):
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
            offset_of(command.readings, needed),
            spread_of(command.readings),
            rules.offset_most,
            rules.spread_most,
            passes(rules, needed, command.readings, command.paper_held),
        ),
    )


def let_pass(state: State, command: c.LetPass, now: Now) -> Decision:
    """A supervisor's word, with a reason, against the one rule that holds the work now."""
    job = state.job
    if job is None:
        return refuse("no_job")
    if not command.supervisor.strip():
        return refuse("supervisor")
    if not command.reason.strip():
        return refuse("reason")
    about = _held_by(state, job, command.what)
    if isinstance(about, Refusal):
        return about
    supervisor, reason = command.supervisor.strip(), command.reason.strip()
    return (e.Overridden(now, command.what, about[0], supervisor, reason, about[1]),)


def _held_by(state: State, job: JobRun, what: e.Overruled) -> tuple[str, str] | Refusal:
    """What is overruled and the ticket at hand; a refusal where it is not what holds."""
    if what is e.Overruled.VERIFICATION:
        if not check_due(state, job):
            return refuse("override.nothing")
        asked = job.rules.verify is Demand.ASKED
        return (job.plan.press, job.slot) if asked else refuse("override.required")
    if what is e.Overruled.TRIAL:
        return _untried(job)
    hold = lot_hold(job)
    if hold is None or (hold.first is None) is (what is e.Overruled.FIRST_ARTICLE):
        return refuse("override.nothing")
    if hold.first is None:
        return hold.cause, ""
    if job.rules.first_article is not Demand.ASKED:
        return refuse("override.required")
    return hold.first.article, hold.first.ticket


def _untried(job: JobRun) -> tuple[str, str] | Refusal:
    """The article whose trial is let pass, and the garment at hand."""
    ticket = slot_ticket(job)
    if ticket is None or not trial_due(job):
        return refuse("override.nothing")
    if job.rules.trial is not Demand.ASKED:
        return refuse("override.required")
    return article_of(job.plan, pass_of(job, ticket)), ticket.id


def judge_first(state: State, command: c.JudgeFirst, now: Now) -> Decision:
    """The first garment: who may approve it is the shop's rule, and a warning's supervisor."""
    job = state.job
    hold: LotHold | None = None if job is None else lot_hold(job)
    first = None if hold is None else hold.first
    if job is None or first is None or first.ticket != command.ticket:
        return refuse("first.not_asked")
    turned_away = _not_judged(job, first, command)
    if turned_away is not None:
        return turned_away
    approver = "supervisor" if command.supervisor else command.approver.strip()
    judged = e.FirstArticleJudged(
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
    return (judged, *by_first(job, first, approver, command.faults, now))


def _not_judged(job: JobRun, first: First, command: c.JudgeFirst) -> Refusal | None:
    if job.tickets[first.ticket].stage not in (Stage.GOOD, Stage.ACCEPTED):
        return refuse("first.not_good", number=called(job.tickets[first.ticket]))
    if not set(command.faults) <= DEFECT_IDS:
        return refuse("inspect.defect")
    if not command.approved:
        return None if command.faults else refuse("inspect.defect")
    if command.faults:
        return refuse("first.faults")
    return _not_theirs(job, first, command)


def _not_theirs(job: JobRun, first: First, command: c.JudgeFirst) -> Refusal | None:
    """Who may not approve: nobody but the supervisor, or only not whoever pressed it."""
    if command.supervisor:
        return None
    initials = command.approver.strip()
    if not initials:
        return refuse("sign_on.initials")
    if needs_supervisor(job.plan) or job.rules.approver is Approver.SUPERVISOR:
        return refuse("first.supervisor")
    if job.rules.approver is Approver.ANOTHER and initials == first.operator:
        return refuse("first.another", operator=first.operator)
    return None


def try_pin(state: State, command: c.TryPin, now: Now) -> Decision:
    """An entry of the PIN, unless wrong ones have to be waited for."""
    wait = pin_wait(state, now)
    if wait > 0:
        return refuse("pin.wait", seconds=ceil(wait))
    return (e.PinTried(now, command.right),)


def choose_pin(state: State, command: c.ChoosePin, now: Now) -> Decision:
    """A PIN was chosen by somebody who has the machine."""
    return (e.PinChosen(now),)


def note_recipes(state: State, command: c.NoteRecipes, now: Now) -> Decision:
    """The shop's files, noted where they are not as they were."""
    if command.digest == state.recipes:
        return ()
    count = max(command.count, len(command.changes))
    return (e.RecipesRead(now, command.digest, command.changes, count, command.on_screen),)


def see_to(state: State, command: c.SeeTo, now: Now) -> Decision:
    """A part of a press was seen to; its closings count anew."""
    closings = state.closings.get(command.press, 0)
    return (e.UpkeepDone(now, command.press, command.part, closings),)


def confirm_columns(state: State, command: c.ConfirmColumns, now: Now) -> Decision:
    """The columns of a job that is not begun yet, once."""
    if state.columns.get(command.job) == command.columns:
        return ()
    return (e.ColumnsConfirmed(now, command.job, command.columns, command.digest),)


def delete_names(state: State, command: c.DeleteNames, now: Now) -> Decision:
    """The receipt of a disposal."""
    return (e.NamesDeleted(now, command.job, command.count),)
