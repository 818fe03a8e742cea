"""What holds a lot: a first garment that nobody has approved, or too many scraps of one cause."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from kiosk.plan.model import Pass, Phase, Plan
from kiosk.run.facts.tickets import next_ready, pass_of
from kiosk.run.state.anew import replace
from kiosk.run.state.model import First, JobRun, Stage, Ticket
from kiosk.run.state.rules import Demand

PRESSED = frozenset(
    {Stage.AT_PRESS, Stage.COOLING, Stage.UNKNOWN, Stage.REWORK, Stage.GOOD, Stage.ACCEPTED}
)
"""Stages in which a first garment holds its lot; one that ended otherwise has a successor."""

SUPERVISOR_WARNINGS = frozenset({"no_fabric_margin"})
"""Warnings of a plan that a supervisor answers for: nobody approves such work of their own."""


@dataclass(frozen=True, slots=True)
class LotHold:
    """Why no garment is called: `first` waits for approval, or `cause` has made too many scraps."""

    first: First | None = None
    cause: str = ""
    scraps: int = 0


def lot_hold(job: JobRun) -> LotHold | None:
    """Return what keeps the next garment of the queue from being called, None for nothing."""
    limit = job.rules.scrap_limit
    if limit and job.scraps:
        cause, scraps = Counter(scrap.cause for scrap in job.scraps).most_common(1)[0]
        if scraps >= limit:
            return LotHold(cause=cause, scraps=scraps)
    name = next_ready(job)
    if not name:
        return None
    article = article_of(job.plan, pass_of(job, job.tickets[name]))
    first = first_of(job, article) if asks_first(job, article) else None
    return None if first is None else LotHold(first)


def asks_first(job: JobRun, article: str) -> bool:
    """Return whether the first garment of an article holds its lot: by rule, or as its trial."""
    return job.rules.first_article is not Demand.NO or article in job.trial_first


def first_of(job: JobRun, article: str) -> First | None:
    """Return the pressed garment of an article that still waits for approval, None for none."""
    first = next((f for f in job.firsts if f.article == article), None)
    if first is None or first.approved:
        return None
    ticket = job.tickets.get(first.ticket)
    return first if ticket is not None and ticket.stage in PRESSED else None


def article_of(plan: Plan, passage: Pass) -> str:
    """Return setting, fabric and materials of a pass in one line, the same for the same ones."""
    final = next((s for s in passage.steps if s.phase is Phase.FINAL), None)
    if final is None:
        return plan.fabric
    low = "" if final.pressure_low is None else final.pressure_low.word
    high = "" if final.pressure_high is None else final.pressure_high.word
    setting = (f"{final.temperature} {plan.unit.value}", f"{final.seconds} s", f"{low} to {high}")
    return ", ".join((*setting, plan.fabric, *materials_of(plan, passage)))


def materials_of(plan: Plan, passage: Pass) -> tuple[str, ...]:
    """Return the keys of the materials that a pass lays, sorted."""
    names = {name for step in passage.steps for name in step.pieces}
    used = {p.material for p in plan.pieces if p.name in names and p.panel in ("", passage.panel)}
    return tuple(sorted(used))


def pressed_first(job: JobRun, ticket: Ticket, operator: str) -> JobRun:
    """Return the job after a final on `ticket`: the first of its article if there is none yet."""
    article = article_of(job.plan, pass_of(job, ticket))
    if not asks_first(job, article):
        return job
    known = next((f for f in job.firsts if f.article == article), None)
    if known is not None and (known.approved or known.ticket == ticket.id):
        return job
    if first_of(job, article) is not None:
        return job
    others = tuple(f for f in job.firsts if f.article != article)
    return replace(job, firsts=(*others, First(article, ticket.id, operator)))


def approved(job: JobRun, article: str) -> JobRun:
    """Return the job with the first garment of an article approved."""
    firsts = tuple(replace(f, approved=True) if f.article == article else f for f in job.firsts)
    return replace(job, firsts=firsts)


def needs_supervisor(plan: Plan) -> bool:
    """Return whether the plan has a warning that is a supervisor's to answer for."""
    return any(SUPERVISOR_WARNINGS & set(panel.warnings) for panel in plan.settings)
