"""Pages behind the PIN: garments to decide, sign-off, leaving the kiosk."""

from __future__ import annotations

from collections.abc import Iterator

from kiosk.run.facts import broken_totals, called, ends, owners
from kiosk.run.state import ENDED, Stage, Ticket
from kiosk.station.desk import Desk, Page
from kiosk.station.pages import report
from kiosk.station.pages.reasons import reasons
from kiosk.station.pages.sheet import Button, Sheet
from kiosk.station.pages.sign_offs import asking, told_asking
from kiosk.station.pages.upkeep import parts_due, told_due
from kiosk.words import Words

REASONS = ("relaid", "short", "roster", "agreed", "looked_over", "other")
NAMED = 4  # garments on the button of those to decide
UNDECIDED = (Stage.STOPPED, Stage.UNKNOWN, Stage.REWORK)


def supervisor(desk: Desk, words: Words) -> Sheet:
    """What only the supervisor may do."""
    return Sheet(
        title=words("page.supervisor"),
        headline=_waiting(desk, words),
        choices=(*_of_job(desk, words), *_of_people(desk, words), *_of_station(desk, words)),
        left=Button(words("page.back"), desk.go_on),
    )


def _waiting(desk: Desk, words: Words) -> str:
    """What waits for the supervisor, before anything that may be changed."""
    counts = {
        "page.decide": len(undecided(desk)),
        "sign_offs.asking": asking(desk),
        "page.upkeep.count": parts_due(desk),
        "page.files.faults": len(desk.library.faults),
    }
    told = [words(what, count=count) for what, count in counts.items() if count]
    return " · ".join(told) or words("page.supervisor.nothing")


def _of_job(desk: Desk, words: Words) -> Iterator[Button]:
    job = desk.shell.state.job
    if job is not None:
        waiting = undecided(desk)
        numbers = ", ".join(called(ticket) for ticket in waiting[:NAMED])
        more = " …" if len(waiting) > NAMED else ""
        decide = words("page.decide", count=len(waiting))
        if waiting:
            yield Button(decide, lambda: desk.go(Page.GARMENTS), numbers + more)
        yield Button(words("page.leave_job"), desk.leave_job, job.plan.title)
    done = () if job is None else ends(job)
    ended = len(done) - done.count(None)
    line = words("page.job_open", ended=ended, of=len(done)) if done else ""
    yield Button(words("page.report"), lambda: report.look(desk), line)


def _of_people(desk: Desk, words: Words) -> Iterator[Button]:
    operator = desk.shell.state.operator
    if operator:
        label, line = words("page.sign_off", operator=operator), words("page.sign_off_line")
        yield Button(label, lambda: desk.sign_offs.look_at(operator), line)
    line = told_asking(desk, words)
    yield Button(words("sign_offs.title"), lambda: desk.go(Page.SIGN_OFFS), line)


def _of_station(desk: Desk, words: Words) -> Iterator[Button]:
    state, cues = desk.shell.state, desk.cues()
    lessons, faults = len(state.lessons), len(desk.library.faults)
    line = words("learning.count", count=lessons) if lessons else words("learning.nothing")
    yield Button(words("page.learning"), lambda: desk.go(Page.LEARNING), line)
    none = desk.silent()
    on = {"tones": cues.tones, "voice": cues.voice, "vibration": cues.vibration}
    heard = tuple(
        words(f"page.cue.brief.{kind}")
        for kind, turned in on.items()
        if turned and kind not in none
    )
    line = words("page.cues_on", kinds=heard) if heard else words("page.cues_off")
    yield Button(words("page.cues"), lambda: desk.go(Page.CUES), line)
    keys = words("page.keys_count", count=len(state.keys)) if state.keys else words("page.keys_own")
    yield Button(words("page.keys"), lambda: desk.go(Page.KEYS), keys)
    yield Button(words("page.upkeep"), lambda: desk.go(Page.UPKEEP), told_due(desk, words))
    line = words("page.files.faults" if faults else "page.files.none", count=faults)
    yield Button(words("page.files"), desk.editing.look, line)
    yield Button(words("page.leave"), desk.on_leave, words("page.leave_line"))


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
    lines = []
    if ticket is not None and ticket.finals and broken:
        lines.append(words("refuse.repress.heat", number=number, owners=owners(broken)))
    return Sheet(
        title=words("page.decide_what"),
        headline=_judged(ticket, words),
        lines=tuple(lines),
        choices=tuple(choices),
        left=Button(words("page.back"), lambda: desk.go(Page.GARMENTS)),
    )


def _judged(ticket: Ticket | None, words: Words) -> str:
    """The garment's number and where it stands."""
    if ticket is None:
        return ""
    stage = words(f"stage.{ticket.stage.name.lower()}")
    return f"{words('page.look_at', number=called(ticket))} · {stage}"


def reason(desk: Desk, words: Words) -> Sheet:
    """Why?"""
    ids = (f"page.reason.{name}" for name in REASONS)
    return reasons(words, "page.reason", ids, desk.reason, lambda: desk.go(Page.GARMENT))
