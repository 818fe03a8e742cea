"""Pages behind the PIN: garments to decide, sign-off, leaving the kiosk."""

from __future__ import annotations

from kiosk.run.facts import broken_totals, called, owners
from kiosk.run.state import ENDED, Stage, Ticket
from kiosk.station.desk import Desk, Page
from kiosk.station.pages import report
from kiosk.station.pages.reasons import reasons
from kiosk.station.pages.sheet import Button, Sheet
from kiosk.station.pages.sign_offs import asking
from kiosk.station.pages.upkeep import parts_due
from kiosk.words import Words

REASONS = ("relaid", "short", "roster", "agreed", "looked_over", "other")
NAMED = 4  # garments on the button of those to decide
UNDECIDED = (Stage.STOPPED, Stage.UNKNOWN, Stage.REWORK)


def supervisor(desk: Desk, words: Words) -> Sheet:
    """What only the supervisor may do."""
    state = desk.shell.state
    choices = []
    waiting = undecided(desk)
    if state.job is not None:
        decide = words("page.decide", count=len(waiting))
        numbers = ", ".join(called(ticket) for ticket in waiting[:NAMED])
        more = " …" if len(waiting) > NAMED else ""
        choices.append(Button(decide, lambda: desk.go(Page.GARMENTS), numbers + more))
        choices.append(Button(words("page.leave_job"), desk.leave_job))
    operator = state.operator
    if operator:
        label, line = words("page.sign_off", operator=operator), words("page.sign_off_line")
        choices.append(Button(label, lambda: desk.sign_offs.look_at(operator), line))
    choices.append(Button(words("page.report"), lambda: report.look(desk)))
    asked = asking(desk)
    line = words("sign_offs.asking", count=asked) if asked else ""
    choices.append(Button(words("sign_offs.title"), lambda: desk.go(Page.SIGN_OFFS), line))
    choices.append(Button(words("page.learning"), lambda: desk.go(Page.LEARNING)))
    choices.append(Button(words("page.cues"), lambda: desk.go(Page.CUES)))
    choices.append(Button(words("page.keys"), lambda: desk.go(Page.KEYS)))
    due = parts_due(desk)
    line = words("page.upkeep.count", count=due) if due else ""
    choices.append(Button(words("page.upkeep"), lambda: desk.go(Page.UPKEEP), line))
    choices.append(Button(words("page.files"), desk.editing.look))
    choices.append(Button(words("page.leave"), desk.on_leave, words("page.leave_line")))
    return Sheet(
        title=words("page.supervisor"),
        choices=tuple(choices),
        left=Button(words("page.back"), desk.go_on),
    )


def undecided(desk: Desk) -> tuple[Ticket, ...]:
    """Return the garments that wait for a decision, then those a re-press could save."""
    job = desk.shell.state.job
    return tuple(t for t in job.tickets.values() if t.stage in UNDECIDED) if job else ()


def garments(desk: Desk, words: Words) -> Sheet:
    """Which garment?"""

    def choice(ticket: Ticket) -> Button:
        stage = words(f"stage.{ticket.stage.name.lower()}")
        number = words("page.look_at", number=called(ticket))
        return Button(number, lambda: desk.decide(ticket.id), stage)

    found = undecided(desk)
    return Sheet(
        title=words("page.decide", count=len(found)),
        lines=() if found else (words("page.nothing_to_decide"),),
        choices=tuple(choice(ticket) for ticket in found),
        left=Button(words("page.back"), lambda: desk.go(Page.SUPERVISOR)),
    )


def garment(desk: Desk, words: Words) -> Sheet:
    """What becomes of it?"""
    job = desk.shell.state.job
    ticket = job.tickets.get(desk.ticket) if job else None
    choices = [
        Button(words("page.rule_good"), lambda: desk.rule(Stage.GOOD)),
        Button(words("page.rule_scrap"), lambda: desk.rule(Stage.SCRAP)),
    ]
    broken = broken_totals(job, ticket) if job is not None and ticket is not None else ()
    if ticket is not None and ticket.finals and not broken:
        choices.append(Button(words("page.press_again"), desk.press_again))
    elif ticket is not None and not ticket.finals and ticket.stage not in ENDED:
        choices.append(Button(words("page.rule_waiting"), lambda: desk.rule(Stage.WAITING)))
    number = called(ticket) if ticket else ""
    lines = [words(f"stage.{ticket.stage.name.lower()}")] if ticket else []
    if ticket is not None and ticket.finals and broken:
        lines.append(words("refuse.repress.heat", number=number, owners=owners(broken)))
    return Sheet(
        title=words("page.look_at", number=number),
        lines=tuple(lines),
        choices=tuple(choices),
        left=Button(words("page.back"), lambda: desk.go(Page.GARMENTS)),
    )


def reason(desk: Desk, words: Words) -> Sheet:
    """Why?"""
    ids = (f"page.reason.{name}" for name in REASONS)
    return reasons(words, "page.reason", ids, desk.reason, lambda: desk.go(Page.GARMENT))
