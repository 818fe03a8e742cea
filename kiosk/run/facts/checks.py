"""What holds the work: a check of the press, a trial, a first garment, too many scraps, a PIN."""

from collections import Counter
from collections.abc import Iterator

from kiosk.catalog.base import dataclass
from kiosk.catalog.model import Demand, Source, SourceKind, Sources
from kiosk.plan.model import Pass, Phase, Plan
from kiosk.run.facts.moves import required_setting
from kiosk.run.facts.tickets import final_of, next_ready, pass_of, pieces_of, slot_ticket
from kiosk.run.state.event import Now, elapsed, replace
from kiosk.run.state.events_shift import Lapse
from kiosk.run.state.model import JobRun, Stage, Ticket
from kiosk.run.state.rules import First, Met, Rules, Tried
from kiosk.run.state.state import State

READINGS = 5
PULLS = 4
HOTTEST = 600
"""No press reads more, in either unit: a slip on the pad."""


def check_due(state: State, job: JobRun) -> bool:
    """Return whether a shop that checks its press wants it before this garment's first heat."""
    ticket = slot_ticket(job)
    if ticket is None or ticket.stage is not Stage.AT_PRESS or ticket.opened is not None:
        return False
    needed = required_setting(job)
    return needed is not None and not check_holds(state, job, needed)


def check_holds(state: State, job: JobRun, temperature: int) -> bool:
    """Return whether the last check (or a supervisor's word) holds for this job's press so set."""
    check = state.check
    if check is None or not check.holds:
        return False
    return (check.press, check.temperature) == (job.plan.press, temperature)


def why_lapsed(state: State, job: JobRun, now: Now) -> Lapse | None:
    """Return why the check of this job's press holds no longer at `now`, None while it does."""
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
    """Return how far the highest reading is above the lowest, degrees."""
    return max(readings) - min(readings)


def passes(
    rules: Rules, temperature: int, readings: tuple[int, ...], paper_held: tuple[bool, ...]
) -> bool:
    """Return whether a check is good enough by the rules."""
    near = abs(offset_of(readings, temperature)) <= rules.offset_most
    even = spread_of(readings) <= rules.spread_most
    return near and even and all(paper_held)


PRESSED = frozenset(
    {Stage.AT_PRESS, Stage.COOLING, Stage.UNKNOWN, Stage.REWORK, Stage.GOOD, Stage.ACCEPTED}
)
"""Stages in which a first garment holds its lot; one that ended otherwise has a successor."""

SUPERVISOR_WARNINGS = frozenset({"no_fabric_margin"})
"""Warnings of a plan that a supervisor answers for: nobody approves such work of their own."""


@dataclass(frozen=True, slots=True)
class LotHold:
    """Why no garment is called.

    `first` waits for approval, `cause` has made too many scraps, or others have `met` the job.
    """

    first: First | None = None
    cause: str = ""
    scraps: int = 0
    met: Met | None = None


def lot_hold(job: JobRun) -> LotHold | None:
    """Return what keeps the next garment of the queue from being called, None for nothing."""
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


PEEL = "peel"  # the carrier did not come off as it should
LOOKS = (PEEL, "lifted_edge", "stretched", "marks")
"""What is looked for on a trial, in this order."""

AND = "; "  # between the settings that a material was tried at

MATERIAL, FABRIC = "material", "fabric"
DECIDES = {
    MATERIAL: ("temperature", "dwell", "pressure", "peel", "cover_sheet", "tack"),
    FABRIC: ("temperature_max", "dwell_max", "pressure_max", "pre_press"),
}
"""The keys that a setting rests on and one pressing can try."""
NOT_TRIED = {
    MATERIAL: ("peel_wait", "total_heat", "blocks_dye"),
    FABRIC: ("total_heat", "dye_risk", "dye_cap"),
}
"""The keys that one pressing says nothing of: they keep the source that they have."""


TACKED = ", tack "  # in the setting of a trial: before the seconds of a material's tack


def setting_tried(plan: Plan, passage: Pass, material: str = "") -> str:
    """Return what a trial of a pass is made at: `284 F, 13 s, knit-polyester`.

    Of a `material` that the pass tacks `284 F, 13 s, knit-polyester, tack 4 s`.
    """
    final = final_of(passage)
    at = f"{final.temperature} {plan.unit.value}, {final.seconds} s, {plan.fabric}"
    pieces = pieces_of(plan, passage)
    of_material = {name for name, piece in pieces.items() if piece.material == material}
    tacks = (step for step in passage.steps if step.phase is Phase.TACK)
    seconds = {step.seconds for step in tacks if of_material & {*step.pieces}}
    return f"{at}{TACKED}{max(filter(None, seconds), default=0)} s" if seconds else at


def untried(plan: Plan, passage: Pass) -> tuple[Tried, ...]:
    """Return the materials of a pass, then its fabric, whose numbers are guesses at its setting."""
    owners = [(MATERIAL, m, plan.sources.of_material(m)) for m in materials_of(plan, passage)]
    settings = [setting_tried(plan, passage, material) for _, material, _ in owners]
    owners.append((FABRIC, plan.fabric, plan.sources.fabric))
    settings.append(setting_tried(plan, passage))
    found = zip(owners, settings, strict=True)
    return tuple(
        Tried(kind, key, at) for (kind, key, sources), at in found if not _known(kind, sources, at)
    )


def not_tried(tried: Tried) -> tuple[str, ...]:
    """Return the keys that a trial says nothing of: a tack only where one was made."""
    tack = tried.kind == MATERIAL and TACKED not in tried.at
    return (*NOT_TRIED[tried.kind], "tack") if tack else NOT_TRIED[tried.kind]


def _known(kind: str, sources: Sources, at: str) -> bool:
    keys = DECIDES[kind] if TACKED in at else tuple(k for k in DECIDES[kind] if k != "tack")
    return all(_holds(sources.of(key), at, key) for key in keys)


def _holds(source: Source, at: str, key: str) -> bool:
    """Whether a number needs no trial: looked up, or tried at this very setting."""
    if source.kind is not SourceKind.SHOP_TRIAL:
        return not source.is_guess
    tried = source.at.split(AND)
    if key == "tack":
        return not source.at or at in tried
    return not source.at or _final(at) in map(_final, tried)


def _final(at: str) -> str:
    """The setting of a trial without its tack."""
    return at.partition(TACKED)[0]


def trial_due(job: JobRun) -> bool:
    """Return whether in a shop that asks for trials the garment at hand waits for one."""
    ticket = slot_ticket(job)
    if ticket is None or ticket.stage is not Stage.AT_PRESS or ticket.opened is not None:
        return False
    return _due(job, pass_of(job, ticket))


def _due(job: JobRun, passage: Pass) -> bool:
    article = article_of(job.plan, passage)
    settled = article in job.tried or article in job.trial_first
    return not settled and bool(untried(job.plan, passage))


def to_try(job: JobRun) -> Iterator[tuple[str, tuple[Tried, ...]]]:
    """Yield each article of the job that waits for a trial, with what its setting rests on."""
    seen = set()
    for passage in job.plan.passes:
        article = article_of(job.plan, passage)
        if article not in seen and _due(job, passage):
            seen.add(article)
            yield article, untried(job.plan, passage)


FREE_TRIES = 3
"""Wrong entries before the first wait: slips of a gloved finger."""

FIRST_WAIT_SECONDS = 30.0
LONGEST_WAIT_SECONDS = 900.0


def pin_wait(state: State, now: Now) -> float:
    """Return the seconds until the PIN may be tried again, 0 if it may be now.

    After another boot only the time since the machine came up counts: whoever can set the wall
    clock would end the wait with it.
    """
    if state.tries is None or state.tries.wrong < FREE_TRIES:
        return 0.0
    seconds, certain = elapsed(state.tries.at, now)
    gone = seconds if certain else now.clock
    return max(0.0, _wait_after(state.tries.wrong) - gone)


def _wait_after(wrong: int) -> float:
    doubled = FIRST_WAIT_SECONDS * 2.0 ** min(wrong - FREE_TRIES, 10)
    return min(doubled, LONGEST_WAIT_SECONDS)


KEPT_SECONDS = 30 * 24 * 3600.0


def jobs_to_forget(state: State, wall: float) -> tuple[str, ...]:
    """Return the jobs closed 30 days or more before `wall` (since 1970) and not taken up again."""
    return tuple(
        name
        for name, closed in state.closed.items()
        if wall - closed >= KEPT_SECONDS and _is_closed(state, name)
    )


def _is_closed(state: State, name: str) -> bool:
    job = state.jobs.get(name)
    return name in state.finished if job is None else job.done
