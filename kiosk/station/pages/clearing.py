"""Before a job is put back, or handed over, in the middle of a garment: the platen is cleared."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from kiosk.plan.model import Phase
from kiosk.run.facts import called, pass_of, slot_ticket
from kiosk.run.show import last_hot
from kiosk.run.state import JobRun, Stage, Ticket
from kiosk.station.desk import Desk, Page
from kiosk.station.pages.sheet import Button, Sheet
from kiosk.words import Words

_AFTER = {Phase.PRE_PRESS: "pre_pressed", Phase.TACK: "tacked", Phase.FINAL: "pressed"}


def on_the_platen(job: JobRun | None) -> tuple[tuple[str, Ticket], ...]:
    """Return the garments that may lie on the platen, each with how far it is."""
    return () if job is None else tuple(_found(job))


def _found(job: JobRun) -> Iterator[tuple[str, Ticket]]:
    leaving = job.tickets.get(job.leaving)
    if leaving is not None:
        yield "leaving", leaving
    ticket = slot_ticket(job)
    if ticket is None:
        return
    hot = last_hot(pass_of(job, ticket), ticket.step)
    if ticket.stage is Stage.UNKNOWN:
        yield "unknown", ticket
    elif hot is not None:
        yield _AFTER[hot.phase], ticket
    elif ticket.step:
        yield "loaded", ticket


def clear_first(desk: Desk, then: Callable[[], None]) -> None:
    """Have the platen cleared, then do `then`; at once where nothing lies on it."""
    if not on_the_platen(desk.shell.state.job):
        then()
        return
    desk.choosing.then = then
    desk.go(Page.CLEAR)


def clear(desk: Desk, words: Words) -> Sheet:
    """What lies on the platen, and what becomes of it."""
    lines = tuple(
        words(f"clear.{how}", number=called(ticket))
        for how, ticket in on_the_platen(desk.shell.state.job)
    )
    return Sheet(
        title=words("clear.title"),
        lines=lines,
        main=Button(words("clear.main"), desk.choosing.cleared),
        left=Button(words("page.back"), desk.choosing.go_on),
    )
