"""A station on hold, a finished job, leaving something out; the platen is cleared first."""

from collections import Counter
from collections.abc import Callable, Iterator

from kiosk.catalog.base import say
from kiosk.plan.model import Phase
from kiosk.run import facts
from kiosk.run.decide import closing_ahead
from kiosk.run.show import FOCUSABLE, last_hot
from kiosk.run.state import (
    ASIDE_REASONS,
    ENDED,
    SKIP_REASONS,
    JobRun,
    Ticket,
    TicketStage,
    commands,
)
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.display import language_option
from kiosk.station.desk.jobs.begin import leave_job
from kiosk.station.desk.people import ask_pin
from kiosk.station.desk.sheet import Button, HoldOption, PageKind, Sheet, reasons
from kiosk.station.desk.shift.handover import hand_over_to
from kiosk.station.desk.shift.shop import shared_lines
from kiosk.words import Words

MOST, MOST_BESIDE_CHIPS = 4, 2  # options that fit on the smallest screen, beside OPEN


def options(desk: Desk, with_closings: bool = True) -> tuple[HoldOption, ...]:
    """Return what can be done on hold besides going on; `with_closings`: also correct closings."""
    job = desk.shell.state.job
    found = [
        _option("page.leave_job", lambda: clear_first(desk, lambda: leave_job(desk))),
        _option("page.hand_over", lambda: clear_first(desk, lambda: hand_over_to(desk))),
        _option("page.supervisor", lambda: ask_pin(desk)),
        language_option(desk),
    ]
    if job is not None and before_pre_press(job):
        found.insert(0, _option("page.skip", lambda: desk.go(PageKind.SKIP)))
    if job is not None and may_be_put_aside(job):
        found.insert(0, _option("page.put_aside", lambda: desk.go(PageKind.PUT_ASIDE)))
    if not with_closings:
        return tuple(found)
    if job is not None and (facts.last_closing(job) or closing_ahead(job) is not None):
        found.insert(0, _option("choices.put_right", lambda: desk.go(PageKind.WAS_CLOSED)))
    most = MOST_BESIDE_CHIPS if job is not None and (job.rack or job.aside) else MOST
    if len(found) > most:
        found[most - 1 :] = [_option("page.more", lambda: desk.go(PageKind.CHOICES))]
    return tuple(found)


def _option(label: str, act: Callable[[], None]) -> HoldOption:
    return HoldOption(say(label), act)


def may_be_put_aside(job: JobRun) -> bool:
    """Return whether the current garment can wait.

    True if its outcome is unknown, or before its final while another one is ready.
    """
    ticket = job.tickets.get(job.slot)
    if ticket is None:
        return False
    if ticket.stage is TicketStage.UNKNOWN:
        return True
    return facts.next_hot(facts.pass_of(job, ticket), ticket.step) is not None and bool(
        facts.next_ready(job)
    )


def before_pre_press(job: JobRun) -> bool:
    """Return whether the next closing of the current garment is its pre-press."""
    ticket = job.tickets.get(job.slot)
    if ticket is None or ticket.stage is not TicketStage.AT_PRESS:
        return False
    hot = facts.hot_ahead(facts.pass_of(job, ticket), ticket)
    return hot is not None and facts.is_hot(facts.step_at(job, ticket, hot), Phase.PRE_PRESS)


def skip(desk: Desk, words: Words) -> Sheet:
    """Page of reasons to leave the pre-press out."""
    ids = (f"page.skip.{name}" for name in SKIP_REASONS)

    def leave_out(reason: str) -> None:
        _after_hold(desk, commands.Skip(reason))

    return reasons(words, "page.skip_title", ids, leave_out, desk.go_on)


def put_aside(desk: Desk, words: Words) -> Sheet:
    """Page of reasons to send the garment to the end of the queue."""
    ids = (f"page.aside.{name}" for name in ASIDE_REASONS)

    def to_the_end(reason: str) -> None:
        _after_hold(desk, commands.PutAside(reason))

    return reasons(words, "page.aside_title", ids, to_the_end, desk.go_on)


def _after_hold(desk: Desk, command: commands.Command) -> None:
    desk.end_hold()
    desk.shell.do(command)
    desk.go(PageKind.WORK)


def done(desk: Desk, words: Words) -> Sheet:
    """Page of a job with nothing left to press: results, and garments still open."""
    job = desk.shell.state.job
    tickets = tuple(job.tickets.values()) if job is not None else ()
    still_open = tuple(t for t in tickets if t.stage not in ENDED)
    counts = Counter(facts.outcomes(job) if job is not None else ())
    results = words(
        "page.done_counts",
        good=counts[TicketStage.GOOD],
        accepted=counts[TicketStage.ACCEPTED],
        scrap=counts[TicketStage.SCRAP],
    )
    lines = list(shared_lines(desk, words))
    if still_open:
        numbers = tuple(sorted({facts.label_of(t) for t in still_open}))
        lines.append(words("page.done_open", count=counts[None], numbers=numbers))
    focusable = (t for t in still_open if t.stage in FOCUSABLE)
    buttons = tuple(look_button(desk, words, t.id, facts.label_of(t)) for t in focusable)
    return Sheet(
        title=words(_done_title(job, bool(still_open))),
        second=results,
        lines=tuple(lines),
        choices=buttons,
        main=Button(words("page.done_main"), lambda: leave_job(desk)),
        left=Button(words("page.hand_over"), lambda: hand_over_to(desk)),
        right=Button(words("page.supervisor"), lambda: ask_pin(desk)),
    )


def _done_title(job: JobRun | None, is_open: bool) -> str:
    if job is not None and job.more:
        return "page.done_batch"
    return "page.nearly_done" if is_open else "page.done"


def look_button(desk: Desk, words: Words, ticket: str, number: str) -> Button:
    """Return the button that shows a garment, to give it a result."""

    def act() -> None:
        desk.shell.focus = ticket

    return Button(words("page.look_at", number=number), act)


_AFTER = {Phase.PRE_PRESS: "pre_pressed", Phase.TACK: "tacked", Phase.FINAL: "pressed"}


def on_the_platen(job: JobRun | None) -> tuple[tuple[str, Ticket], ...]:
    """Return the garments that may lie on the platen, each with its progress."""
    return () if job is None else tuple(_garments_on_platen(job))


def _garments_on_platen(job: JobRun) -> Iterator[tuple[str, Ticket]]:
    leaving = job.tickets.get(job.leaving)
    if leaving is not None:
        on_rack = facts.racked_at(facts.pass_of(job, leaving), leaving.step) or leaving.step
        yield "leaving_peel" if on_rack > leaving.step else "leaving", leaving
    ticket = facts.slot_ticket(job)
    if ticket is None:
        return
    hot = last_hot(facts.pass_of(job, ticket), ticket.step)
    if ticket.stage is TicketStage.UNKNOWN:
        yield "unknown", ticket
    elif hot is not None:
        yield _AFTER[hot.phase], ticket
    elif ticket.step:
        yield "loaded", ticket


class Clearing:
    """What to do once the platen is cleared."""

    def __init__(self, desk: Desk) -> None:
        self.then: Callable[[], None] = desk.go_on


def back_to_press(desk: Desk) -> None:
    """Return to the press; ends a look at one garment, and a hold."""
    desk.shell.focus = ""
    desk.end_hold()
    desk.go_on()


def clear_first(desk: Desk, then: Callable[[], None]) -> None:
    """Have the platen cleared, then call `then`; at once if nothing lies on it."""
    if not on_the_platen(desk.shell.state.job):
        then()
        return
    desk.of(Clearing).then = then
    desk.go(PageKind.CLEAR)


def clear(desk: Desk, words: Words) -> Sheet:
    """Page of what lies on the platen, and what to do with it."""
    lines = tuple(
        words(f"clear.{state}", number=facts.label_of(ticket))
        for state, ticket in on_the_platen(desk.shell.state.job)
    )
    return Sheet(
        title=words("clear.title"),
        lines=lines,
        main=Button(words("clear.main"), lambda: desk.of(Clearing).then()),
        left=Button(words("page.back"), lambda: back_to_press(desk)),
    )
