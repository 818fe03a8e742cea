"""What the station is in the middle of."""

from __future__ import annotations

from kiosk.run.checking import check_due
from kiosk.run.lot import lot_hold
from kiosk.run.model import Ask, Heat, JobRun, Now, State
from kiosk.run.questions import question_at_hand
from kiosk.run.trial import trial_due
from kiosk.run.views import Kind


def kind_of(state: State, now: Now) -> Kind:
    """Return what a settled station is in the middle of at `now`; what is hot comes first."""
    if state.last is None or state.boot != now.boot:
        return Kind.NEW
    if state.heat is not None:
        return _of_heat(state.heat, state.asked_closed)
    if state.open_first:
        return Kind.OPEN_FIRST
    if not state.operator:
        return Kind.OFF
    if state.held is not None:
        return Kind.HELD
    return Kind.IDLE if state.job is None else _of_job(state, state.job)


def _of_heat(heat: Heat, asked_closed: bool) -> Kind:
    if heat.dwell_seconds is None:
        return Kind.UNASKED
    if heat.rang:
        return Kind.OVER
    return Kind.ASK_CLOSED if asked_closed else Kind.HEAT


def _of_job(state: State, job: JobRun) -> Kind:
    if not job.slot:
        return Kind.HANDS if job.rack else Kind.LOT if lot_hold(job) else Kind.DONE
    question = question_at_hand(job)
    if question is not None and question.ask is Ask.SETTING:
        return Kind.SETTING
    if check_due(state, job):
        return Kind.VERIFY
    if trial_due(job):
        return Kind.TRIAL
    return Kind.HANDS if question is None else Kind.ASK
