"""Re-pressing a garment: is one more final allowed, and does the cover sheet go on?"""

from kiosk.catalog.base import Message, say
from kiosk.plan.heat import broken_by_another_final, final_seconds
from kiosk.plan.model import FABRIC, Pass, Phase, Plan
from kiosk.plan.phrases import element_words
from kiosk.plan.sources import HeatLeft
from kiosk.run.facts.tickets import is_hot, is_off, is_pressed_bare, label_of, pass_of
from kiosk.run.state.model import JobRun, Ticket


def why_not_again(job: JobRun, ticket: Ticket) -> Message | None:
    """Return why a pressed garment cannot be pressed again even with a supervisor's approval.

    None if it can.
    """
    if broken := broken_totals(job, ticket):
        return say("refuse.repress.heat", number=label_of(ticket), owners=owner_words(broken))
    if sheet_again(job.plan, ticket) is None:
        return say("refuse.repress.bare", number=label_of(ticket))
    return None


def broken_totals(job: JobRun, ticket: Ticket) -> tuple[HeatLeft, ...]:
    """Return the heat totals that another final would break, empty if it may be offered."""
    passage = pass_of(job, ticket)
    repress_seconds = max(0, ticket.finals - 1) * final_seconds(passage)
    return broken_by_another_final(passage, ticket.beyond_seconds + repress_seconds)


def owner_words(broken: tuple[HeatLeft, ...]) -> tuple[str, ...]:
    """Return words for the owners of these totals, the fabric first."""
    pieces = tuple(each.owner for each in broken if each.owner != FABRIC)
    cloth = (say("heat.owner.fabric"),) if len(pieces) < len(broken) else ()
    return (*cloth, *element_words(pieces))


def sheet_again(plan: Plan, ticket: Ticket) -> bool | None:
    """Return whether another final needs the cover sheet, given which carriers are off.

    None if the bare pieces must not be pressed, or are not known. An old plan knows only its own
    final.
    """
    passage = plan.passes[ticket.passage]
    sheets = plan.sheets_again[ticket.passage] if plan.sheets_again else ()
    if not sheets or not is_off(ticket):
        return next((s.sheet for s in passage.steps if s.phase is Phase.FINAL), False)
    if ticket.peeled:
        return sheets[-1]
    early = set(sheets[1:-1] or sheets[1:])  # with three peels, which one was last is unknown
    return early.pop() if len(early) == 1 else None


def repress_step(job: JobRun, ticket: Ticket) -> int:
    """Return the step a re-press starts at: the cover sheet before the final, or the final."""
    steps = pass_of(job, ticket).steps
    final = next((i for i, s in enumerate(steps) if s.phase is Phase.FINAL), ticket.step)
    stays_off = is_pressed_bare(ticket) and not sheet_again(job.plan, ticket)
    covers = final and steps[final - 1].phase is Phase.COVER and not stays_off
    return final - 1 if covers else final


def closed_before(passage: Pass, ticket: Ticket, step: int) -> int | None:
    """Return the closing right before `step`, or None if hand steps come between.

    A ticket that was pressed bare had its peels before that closing.
    """
    index, steps = min(step, len(passage.steps)) - 1, passage.steps
    while is_pressed_bare(ticket) and index >= 0 and steps[index].phase is Phase.PEEL:
        index -= 1
    return index if index >= 0 and is_hot(steps[index]) else None
