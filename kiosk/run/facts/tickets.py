"""A job's tickets: their order, progress and names."""

from collections.abc import Collection, Mapping
from typing import NamedTuple

from kiosk.catalog.base import Message, Pressure, Value, say
from kiosk.plan.model import HOT_PHASES, Pass, Phase, Piece, Plan, Step
from kiosk.plan.time import own_pass, own_passes, steps_without
from kiosk.run.state.model import ENDED, Garment, JobRun, Ticket, TicketStage

ASIDE = frozenset({TicketStage.UNKNOWN, TicketStage.REWORK, TicketStage.STOPPED})
"""Stages of tickets that need a person's decision, outside of queue, slot and rack."""

AT_SLOT = frozenset({TicketStage.AT_PRESS, TicketStage.UNKNOWN})
"""Possible stages of the ticket in the press slot."""

PASSED = frozenset({TicketStage.GOOD, TicketStage.ACCEPTED, TicketStage.VOID})
"""Stages after which the same garment can go into its next pass."""


def ticket_id(line: str, passage: int, copy: int) -> str:
    """Return the id of roster line `line` in pass `passage` (from 0), `copy` from 1."""
    return f"{line}/{passage + 1}/{copy}"


def pressing_order(plan: Plan) -> tuple[int, ...]:
    """Return the pass indices in the order in which a garment goes through them."""
    return tuple(p for run in plan.runs for p in run if 0 <= p < len(plan.passes))


def run_of(plan: Plan, passage: int) -> int:
    """Return the index of the run that a pass belongs to."""
    return next((n for n, run in enumerate(plan.runs) if passage in run), 0)


def first_tickets(
    plan: Plan, garments: tuple[Garment, ...], spares: bool = False
) -> dict[str, Ticket]:
    """Return all tickets of a job by id, in loading order: run by run, garment by garment.

    With `spares`, each garment skips the steps that press nothing on it.
    """
    own = {lacks: own_passes(plan, lacks) for lacks in {garment.lacks for garment in garments}}
    return {
        ticket.id: ticket
        for run in plan.runs
        for garment in garments
        for p in run
        if p in own[garment.lacks]
        for without in (steps_without(plan.passes[p], garment.lacks) if spares else (),)
        for ticket in (new_ticket(plan, garment, p, without=without),)
    }


def new_ticket(
    plan: Plan, garment: Garment, passage: int, copy: int = 1, without: tuple[int, ...] = ()
) -> Ticket:
    """Return the ticket for one copy of a garment; peeled if `without` has all its peels."""
    peels = plan.passes[passage].peels if without else ()
    bare = bool(peels) and {*peels} <= {*without}
    name = ticket_id(garment.line, passage, copy)
    return Ticket(name, garment, passage, copy, peeled=bare, without=without)


def pass_of(job: JobRun, ticket: Ticket) -> Pass:
    """Return the pass of a ticket, without the steps its garment skips."""
    passage = job.plan.passes[ticket.passage]
    return own_pass(passage, ticket.without) if ticket.without else passage


def step_at(job: JobRun, ticket: Ticket, step: int) -> Step | None:
    """Return step `step` of a ticket's pass, or None if there is none."""
    steps = pass_of(job, ticket).steps
    return steps[step] if 0 <= step < len(steps) else None


def is_hot(step: Step | None, phase: Phase | None = None) -> bool:
    """Return whether a step is a closing (of `phase`, if given)."""
    return step is not None and step.phase in HOT_PHASES and phase in (None, step.phase)


def is_off(ticket: Ticket) -> bool:
    """Whether carriers of its final came off."""
    return ticket.peeled or ticket.hot_peeled


def is_pressed_bare(ticket: Ticket) -> bool:
    """Whether a supervisor allowed another final after carriers came off."""
    return ticket.represses > 0 and is_off(ticket)


def lacking(garment: Garment, nameless: Collection[str]) -> tuple[str, ...]:
    """Return the elements a garment lacks; `nameless` are roster lines without a name."""
    name = ("name",) if garment.line in nameless else ()
    return name if garment.number else (*name, "number")


def same_garment(job: JobRun, ticket: Ticket) -> tuple[Ticket, ...]:
    """Return all tickets of a ticket's garment, in pressing order."""
    ids = (ticket_id(ticket.garment.line, p, ticket.copy) for p in pressing_order(job.plan))
    return tuple(job.tickets[i] for i in ids if i in job.tickets)


def is_first_pass(job: JobRun, ticket: Ticket) -> bool:
    """Return whether this is the first pass of its garment."""
    return same_garment(job, ticket)[0].id == ticket.id


def begun_garments(job: JobRun) -> tuple[Ticket, ...]:
    """Return the queued garments that have had heat but not their final."""
    queued = (job.tickets[name] for name in job.queue)
    return tuple(t for t in queued if t.opened is not None and not t.finals)


def is_last_copy(job: JobRun, ticket: Ticket) -> bool:
    """Return whether this is the garment's latest copy."""
    return ticket_id(ticket.garment.line, ticket.passage, ticket.copy + 1) not in job.tickets


def is_ready(job: JobRun, ticket: Ticket, passed: str = "") -> bool:
    """Return whether all earlier passes of a garment are done; `passed` counts as done."""
    for other in same_garment(job, ticket):
        if other.id == ticket.id:
            return True
        if other.stage not in PASSED and other.id != passed:
            return False
    return True


def next_ready(job: JobRun, besides: str = "", passed: str = "") -> str:
    """Return the queue's first ticket that can be loaded, "" for none; `passed` counts as done."""
    for name in job.queue:
        if name != besides and is_ready(job, job.tickets[name], passed):
            return name
    return ""


def is_untouched(job: JobRun) -> bool:
    """Return whether no garment of a job had, or may have had, any heat."""
    cold = (TicketStage.WAITING, TicketStage.AT_PRESS, TicketStage.STOPPED, TicketStage.VOID)
    return not any(
        t.finals or t.opened or t.marks or t.copy > 1 or t.stage not in cold
        for t in job.tickets.values()
    )


def is_over(job: JobRun) -> bool:
    """Return whether every ticket has a result."""
    return not (job.queue or job.slot or job.rack or job.aside)


NEARLY = 2  # garments left to load at which the next batch is requested


class OrderShare(NamedTuple):
    """A shared order's batches here: `held` have open garments, `done` none; `wants` another."""

    held: Mapping[int, tuple[Garment, ...]]
    done: tuple[int, ...]
    wants: bool


def share_of(job: JobRun) -> OrderShare:
    """Return this station's share of a shared order, with the garments as they were taken."""
    garments: dict[str, Garment] = {}
    open_lines = set()
    for ticket in job.tickets.values():
        garments[ticket.garment.line] = ticket.garment
        if ticket.stage not in ENDED:
            open_lines.add(ticket.garment.line)
    done = tuple(b.number for b in job.batches if open_lines.isdisjoint(b.lines))
    held = {
        batch.number: tuple(garments[line] for line in batch.lines)
        for batch in job.batches
        if batch.number not in done
    }
    left = len(job.queue) + bool(job.slot)
    return OrderShare(held, done, job.more and job.met is None and left <= NEARLY)


def slot_ticket(job: JobRun | None) -> Ticket | None:
    """Return the ticket that has the press, or None."""
    return None if job is None else job.tickets.get(job.slot)


_WORST_FIRST = (TicketStage.SCRAP, TicketStage.ACCEPTED, TicketStage.GOOD, TicketStage.VOID)


def progress(job: JobRun, ticket: Ticket | None) -> tuple[int, int]:
    """Return the garment's place in its run, from 1, and the number of garments in that run.

    A garment made again after a scrap counts as one more. Places count the run's tickets that no
    longer wait, so a ticket set aside comes back with a later place, and one voided by a scrap
    counts in its own run, not in the one where its garment was spoilt.
    """
    if len(job.plan.passes) <= 1:
        count = len(job.tickets)
        place = count - len(job.queue)
    else:
        passes = job.plan.runs[run_of(job.plan, 0 if ticket is None else ticket.passage)]
        own = [t for t in job.tickets.values() if t.passage in passes]
        count = len({(t.garment.line, t.copy) for t in own})
        place = len({(t.garment.line, t.copy) for t in own if t.stage is not TicketStage.WAITING})
    return min(max(place, 1), max(count, 1)), count


def outcomes(job: JobRun) -> tuple[TicketStage | None, ...]:
    """Return how each garment (each copy apart) ended over its passes; None while one is open."""
    passes: dict[tuple[str, int], set[TicketStage]] = {}
    for ticket in job.tickets.values():
        passes.setdefault((ticket.garment.line, ticket.copy), set()).add(ticket.stage)
    return tuple(_end(stages) for stages in passes.values())


def _end(stages: set[TicketStage]) -> TicketStage | None:
    if not stages <= ENDED:
        return None
    return next(stage for stage in _WORST_FIRST if stage in stages)


def pieces_of(plan: Plan, passage: Pass) -> dict[str, Piece]:
    """Return the pieces of the pass's panel by name: two panels may both have a `number.2`."""
    return {p.name: p for p in plan.pieces if p.panel in ("", passage.panel)}


def has_number_laid(plan: Plan, ticket: Ticket) -> bool:
    """Return whether a number is already on this garment: from an earlier pass or step."""
    order = pressing_order(plan)
    before = (plan.passes[n].steps for n in order[: order.index(ticket.passage)])
    own = plan.passes[ticket.passage].steps[: ticket.step]
    names = (name for steps in (*before, own) for step in steps for name in step.pieces)
    return any(name.startswith("number.") for name in names)


def label_of(ticket: Ticket) -> str:
    """Return a garment's label: its number and, if it has one, its set (`7 home`)."""
    own = ticket.was or ticket.garment
    return garment_label(own.number, own.line, own.set)


def garment_label(number: str, line: str, set_name: str = "") -> str:
    """Return the label of a roster line's garment: `7`, `7 home` with its set, or `#12`."""
    return f"{number or f'#{line}'} {set_name}".strip()


PRESSURES = {pressure: say(f"pressure.{pressure.word}") for pressure in Pressure}


def setting(plan: Plan, step: Step) -> Message:
    """Return the setting of a hot step: `300 °F medium-firm 15 s`."""
    return _setting("setting.press", step, {"unit": plan.unit.value})


def final_setting(plan: Plan, passage: Pass) -> Message:
    """Return the setting of the pass's final, for the press and its own timer."""
    return setting(plan, final_of(passage))


def press_and_setting(plan: Plan, passage: Pass) -> Message:
    """Return the press and the setting of the pass's final: `heron · 300 °F medium-firm 15 s`."""
    values: dict[str, Value] = {"unit": plan.unit.value, "press": plan.press}
    return _setting("setting.header", final_of(passage), values)


def final_of(passage: Pass) -> Step:
    """Return the final of a pass; an empty step for a recorded pass that has none."""
    return next((step for step in passage.steps if step.phase is Phase.FINAL), Step(Phase.FINAL))


def _setting(id_: str, step: Step, values: dict[str, Value]) -> Message:
    """The required pressure as one word, or as a range if two are allowed."""
    low, high = step.pressure_low, step.pressure_high
    values |= {"temperature": step.temperature, "seconds": step.seconds}
    if low is None or high is None:
        return Message(f"{id_}_plain", values)
    if low is high:
        return Message(id_, values | {"pressure": PRESSURES[high]})
    return Message(f"{id_}_range", values | {"low": PRESSURES[low], "high": PRESSURES[high]})
