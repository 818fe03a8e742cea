"""What holds the work: a check of the press, a first garment, too many scraps, a PIN."""

from collections import Counter

from kiosk.catalog.base import Message, dataclass, say
from kiosk.catalog.model import Demand
from kiosk.plan.model import Pass, Plan
from kiosk.run.facts.moves import required_setting
from kiosk.run.facts.tickets import final_of, next_ready, pass_of, pieces_of, slot_ticket
from kiosk.run.state.event import Now, elapsed, replace
from kiosk.run.state.events_shift import Lapse
from kiosk.run.state.model import JobRun, Ticket, TicketStage
from kiosk.run.state.rules import FirstGarment, OtherClaims, Rules
from kiosk.run.state.state import State

READINGS = 5
EDGES = ("left", "right", "front", "back")
PULLS = len(EDGES)
HOTTEST = 600
"""No press reads more, in either unit: a higher reading is a typing error."""


def check_due(state: State, job: JobRun) -> bool:
    """Return whether a shop that checks its press must do so before this garment's first heat."""
    ticket = slot_ticket(job)
    if ticket is None or ticket.stage is not TicketStage.AT_PRESS or ticket.opened is not None:
        return False
    needed = required_setting(job)
    return needed is not None and not check_holds(state, job, needed)


def check_holds(state: State, job: JobRun, temperature: int) -> bool:
    """Return whether the last check (or its waiver) holds for this job's press so set."""
    check = state.check
    if check is None or not check.holds:
        return False
    return (check.press, check.temperature) == (job.plan.press, temperature)


def lapse_of(state: State, job: JobRun, now: Now) -> Lapse | None:
    """Return why the check of this job's press no longer holds at `now`, or None if it holds."""
    check, rules = state.check, job.rules
    if check is None or not check.holds or rules.verify is Demand.NO:
        return None
    if check.press != job.plan.press:
        return None
    if check.at.boot != now.boot:
        return Lapse.RESTART
    if job.setting is not None and job.set_for != check.temperature:
        return Lapse.SETTING
    if elapsed(check.at, now)[0] > rules.verify_seconds:
        return Lapse.TIME
    idle = state.moved is not None and elapsed(state.moved, now)[0] > rules.idle_seconds
    return Lapse.IDLE if idle else None


def offset_of(readings: tuple[int, ...], temperature: int) -> float:
    """Return the mean of the readings minus the set value, degrees."""
    return sum(readings) / len(readings) - temperature


def spread_of(readings: tuple[int, ...]) -> int:
    """Return the highest reading minus the lowest, degrees."""
    return max(readings) - min(readings)


def slipped_edges(paper_held: tuple[bool, ...]) -> tuple[Message, ...]:
    """Return the words for the edges at which the paper slipped; `paper_held` as in the event."""
    edges = zip(EDGES, paper_held, strict=True)
    return tuple(say(f"page.verify.edge.{edge}") for edge, holds in edges if not holds)


def check_passes(
    rules: Rules, temperature: int, readings: tuple[int, ...], paper_held: tuple[bool, ...]
) -> bool:
    """Return whether a check passes by the rules."""
    near = abs(offset_of(readings, temperature)) <= rules.offset_most
    even = spread_of(readings) <= rules.spread_most
    return near and even and all(paper_held)


PRESSED = frozenset(
    {
        TicketStage.AT_PRESS,
        TicketStage.COOLING,
        TicketStage.UNKNOWN,
        TicketStage.REWORK,
        TicketStage.GOOD,
        TicketStage.ACCEPTED,
    }
)
"""Stages in which a first garment holds its lot; after any other end the next one replaces it."""

SUPERVISOR_WARNINGS = frozenset({"no_fabric_margin"})
"""A plan's warnings that only a supervisor may approve, never an operator alone."""


@dataclass(frozen=True, slots=True)
class LotHold:
    """Why no garment is called.

    `first` needs approval, `cause` has made too many scraps, or other stations (`met`) hold it.
    """

    first: FirstGarment | None = None
    cause: str = ""
    scraps: int = 0
    met: OtherClaims | None = None


def lot_hold(job: JobRun) -> LotHold | None:
    """Return what keeps the next queued garment from being called, or None."""
    if job.met is not None:
        return LotHold(met=job.met)
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


def holds_lot(job: JobRun, ticket: Ticket) -> bool:
    """Return whether the lot waits for this garment's card."""
    hold = lot_hold(job)
    return hold is not None and hold.first is not None and hold.first.ticket == ticket.id


def asks_first(job: JobRun, article: str) -> bool:
    """Return whether an article's first garment holds its lot: by rule, or as its trial."""
    return job.rules.first_article is not Demand.NO or article in job.trial_first


def first_of(job: JobRun, article: str) -> FirstGarment | None:
    """Return the pressed first garment of an article that still needs approval, or None."""
    first = next((f for f in job.firsts if f.article == article), None)
    if first is None or first.approved:
        return None
    ticket = job.tickets.get(first.ticket)
    return first if ticket is not None and ticket.stage in PRESSED else None


def article_of(plan: Plan, passage: Pass) -> str:
    """Return a pass's setting, fabric and materials in one line, equal for equal work."""
    final = final_of(passage)
    low = "" if final.pressure_low is None else final.pressure_low.word
    high = "" if final.pressure_high is None else final.pressure_high.word
    setting = (f"{final.temperature} {plan.unit.value}", f"{final.seconds} s", f"{low} to {high}")
    return ", ".join((*setting, plan.fabric, *materials_of(plan, passage)))


def materials_of(plan: Plan, passage: Pass) -> tuple[str, ...]:
    """Return the keys of the materials that a pass lays, sorted."""
    names = {name for step in passage.steps for name in step.pieces}
    pieces = pieces_of(plan, passage)
    return tuple(sorted({pieces[name].material for name in names & pieces.keys()}))


def with_first_garment(job: JobRun, ticket: Ticket, operator: str) -> JobRun:
    """Return the job after a final on `ticket`: the first of its article if there is none yet."""
    article = article_of(job.plan, pass_of(job, ticket))
    if not asks_first(job, article):
        return job
    first = next((f for f in job.firsts if f.article == article), None)
    if first is not None and (first.approved or first.ticket == ticket.id):
        return job
    if first_of(job, article) is not None:
        return job
    others = tuple(f for f in job.firsts if f.article != article)
    return replace(job, firsts=(*others, FirstGarment(article, ticket.id, operator)))


def with_approval(job: JobRun, article: str) -> JobRun:
    """Return the job with the first garment of an article approved."""
    firsts = tuple(replace(f, approved=True) if f.article == article else f for f in job.firsts)
    return replace(job, firsts=firsts)


def needs_supervisor(plan: Plan) -> bool:
    """Return whether the plan has a warning that only a supervisor may approve."""
    return any(SUPERVISOR_WARNINGS & set(panel.warnings) for panel in plan.settings)


FREE_TRIES = 3
"""Wrong entries before the first wait: slips of a gloved finger."""

FIRST_WAIT_SECONDS = 30.0
LONGEST_WAIT_SECONDS = 900.0


def pin_wait(state: State, now: Now) -> float:
    """Return the seconds until the PIN may be tried again, 0 if now.

    After a reboot only the machine's uptime counts: otherwise setting the wall clock would end the
    wait.
    """
    if state.tries is None or state.tries.wrong < FREE_TRIES:
        return 0.0
    seconds, certain = elapsed(state.tries.at, now)
    waited = seconds if certain else now.clock
    return max(0.0, _wait_after(state.tries.wrong) - waited)


def _wait_after(wrong: int) -> float:
    seconds = FIRST_WAIT_SECONDS * 2.0 ** min(wrong - FREE_TRIES, 10)
    return min(seconds, LONGEST_WAIT_SECONDS)


KEPT_SECONDS = 30 * 24 * 3600.0


def jobs_to_forget(state: State, wall: float) -> tuple[str, ...]:
    """Return the jobs closed 30 days or more before `wall` (since 1970) and not resumed."""
    return tuple(
        name
        for name, closed in state.closed.items()
        if wall - closed >= KEPT_SECONDS and _is_closed(state, name)
    )


def _is_closed(state: State, name: str) -> bool:
    job = state.jobs.get(name)
    return name in state.finished if job is None else job.done
