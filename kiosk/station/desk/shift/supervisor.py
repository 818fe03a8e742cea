"""What the supervisor decides and looks after."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace

from kiosk.catalog.base import say
from kiosk.catalog.model import PressPart
from kiosk.run.facts import can_be_good, label_of, outcomes, why_not_again
from kiosk.run.show import row_changed
from kiosk.run.state import (
    ENDED,
    OVERRIDE_REASONS,
    RULING_REASONS,
    NoteUpkeep,
    Ticket,
    TicketStage,
    commands,
)
from kiosk.station.desk.desk import SUPERVISOR, Desk
from kiosk.station.desk.jobs.begin import leave_job
from kiosk.station.desk.learn.progress import SignOffs, asking_line, count_asking
from kiosk.station.desk.people import Reasons
from kiosk.station.desk.sheet import Button, PageKind, Sheet, cautions, reasons
from kiosk.station.desk.shift import card, report, shop
from kiosk.station.desk.shift.editing import Editing
from kiosk.station.desk.shift.leaving import leave
from kiosk.station.desk.shift.new_entry import count_half_done, new_entry
from kiosk.words import Words
from kiosk.words.speak import UPKEEP

MOST_NUMBERS = 4  # garments listed on the button of those to decide
UNDECIDED = (TicketStage.STOPPED, TicketStage.UNKNOWN, TicketStage.REWORK)


class Deciding:
    """The garment that a supervisor decides on; each decision asks for its reason."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self.ticket = ""

    def look_at(self, ticket: str) -> None:
        """Open one garment for a decision."""
        self.ticket = ticket
        self._desk.go(PageKind.GARMENT)

    def rule(self, stage: TicketStage) -> None:
        """Ask for the reason, then set where the garment goes."""
        rule = f"page.rule_{stage.name.lower()}"
        self._for_a_reason(
            rule, lambda why: commands.RuleOnTicket(self.ticket, stage, SUPERVISOR, why)
        )

    def press_again(self) -> None:
        """Ask for the reason, then allow one more final press."""
        self._for_a_reason(
            "page.press_again", lambda why: commands.AllowRepress(self.ticket, SUPERVISOR, why)
        )

    def _for_a_reason(self, what: str, command_for: Callable[[str], commands.Command]) -> None:
        desk, job = self._desk, self._desk.shell.state.job
        number = label_of(job.tickets[self.ticket]) if job else ""
        purpose = say("page.ruled", garment=say("page.look_at", number=number), what=say(what))
        desk.of(Reasons).ask(PageKind.REASON, lambda why: desk.shell.do(command_for(why)), purpose)


def supervisor(desk: Desk, words: Words) -> Sheet:
    """Page of what only the supervisor may do."""
    return Sheet(
        title=words("page.supervisor"),
        headline=_waiting(desk, words),
        choices=(
            *_job_buttons(desk, words),
            *_people_buttons(desk, words),
            *_station_buttons(desk, words),
        ),
        left=Button(words("page.back"), desk.go_on),
    )


def _waiting(desk: Desk, words: Words) -> str:
    """Return what waits for the supervisor, or that nothing does."""
    counts = {
        "page.decide": len(undecided(desk)),
        "sign_offs.asking": count_asking(desk),
        "page.upkeep.count": parts_due(desk),
        "page.files.faults": len(desk.library.faults),
    }
    lines = [words(key, count=count) for key, count in counts.items() if count]
    if shop.needs_somebody(desk):
        lines.append(shop.sending_line(desk, words))
    return " · ".join(lines) or words("page.supervisor.nothing")


def _job_buttons(desk: Desk, words: Words) -> Iterator[Button]:
    job = desk.shell.state.job
    if job is not None:
        waiting = undecided(desk)
        numbers = ", ".join(label_of(ticket) for ticket in waiting[:MOST_NUMBERS])
        more = " …" if len(waiting) > MOST_NUMBERS else ""
        decide = words("page.decide", count=len(waiting))
        if waiting:
            yield Button(decide, lambda: desk.go(PageKind.GARMENTS), numbers + more)
        yield Button(words("page.leave_job"), lambda: leave_job(desk), job.plan.title)
    results = () if job is None else outcomes(job)
    ended = len(results) - results.count(None)
    line = words("page.job_open", ended=ended, of=len(results)) if results else ""
    yield Button(words("page.report"), lambda: report.open_report(desk), line)
    yield card.card_button(desk, words)


def _people_buttons(desk: Desk, words: Words) -> Iterator[Button]:
    operator = desk.shell.state.operator
    if operator:
        label, line = words("page.sign_off", operator=operator), words("page.sign_off_line")
        yield Button(label, lambda: desk.of(SignOffs).look_at(operator), line)
    line = asking_line(desk, words)
    yield Button(words("sign_offs.title"), lambda: desk.go(PageKind.SIGN_OFFS), line)


def _station_buttons(desk: Desk, words: Words) -> Iterator[Button]:
    state, cues = desk.shell.state, desk.cues()
    lesson_count, fault_count = len(state.lessons), len(desk.library.faults)
    line = (
        words("learning.count", count=lesson_count) if lesson_count else words("learning.nothing")
    )
    yield Button(words("page.learning"), lambda: desk.go(PageKind.LEARNING), line)
    silent = desk.silent()
    on = {"tones": cues.tones, "voice": cues.voice, "vibration": cues.vibration}
    kinds = tuple(
        words(f"page.cue.brief.{kind}")
        for kind, is_on in on.items()
        if is_on and kind not in silent
    )
    line = words("page.cues_on", kinds=kinds) if kinds else words("page.cues_off")
    yield Button(words("page.cues"), lambda: desk.go(PageKind.CUES), line)
    keys = words("page.keys_count", count=len(state.keys)) if state.keys else words("page.keys_own")
    yield Button(words("page.keys"), lambda: desk.go(PageKind.KEYS), keys)
    yield Button(words("page.upkeep"), lambda: desk.go(PageKind.UPKEEP), due_line(desk, words))
    line = words("page.files.faults" if fault_count else "page.files.none", count=fault_count)
    yield Button(words("page.files"), desk.of(Editing).show_files, line)
    yield from shop.button(desk, words)
    half = count_half_done(desk)
    line = words("entry.halves", count=half) if half else words("entry.by_sheet")
    yield Button(words("entry.new"), lambda: new_entry(desk), line)
    yield Button(words("page.leave"), lambda: leave(desk), words("page.leave_line"))


def undecided(desk: Desk) -> tuple[Ticket, ...]:
    """Return the garments that wait for a decision, and those a re-press could save."""
    job = desk.shell.state.job
    return tuple(t for t in job.tickets.values() if t.stage in UNDECIDED) if job else ()


def garments(desk: Desk, words: Words) -> Sheet:
    """Page to choose a garment to decide on."""

    def choice(ticket: Ticket) -> Button:
        stage = words(f"stage.{ticket.stage.name.lower()}")
        number = words("page.look_at", number=label_of(ticket))
        return Button(number, lambda: deciding.look_at(ticket.id), stage)

    found = undecided(desk)
    deciding = desk.of(Deciding)
    return Sheet(
        title=words("page.decide", count=len(found)),
        lines=() if found else (words("page.nothing_to_decide"),),
        choices=tuple(choice(ticket) for ticket in found),
        left=Button(words("page.back"), lambda: desk.go(PageKind.SUPERVISOR)),
    )


def garment(desk: Desk, words: Words) -> Sheet:
    """Page to decide on one garment."""
    job, deciding = desk.shell.state.job, desk.of(Deciding)
    ticket = job.tickets.get(deciding.ticket) if job else None
    good = Button(words("page.rule_good"), lambda: deciding.rule(TicketStage.GOOD))
    wait = Button(words("page.rule_waiting"), lambda: deciding.rule(TicketStage.WAITING))
    scrap = Button(words("page.rule_scrap"), lambda: deciding.rule(TicketStage.SCRAP))
    may_be_good = job is not None and ticket is not None and can_be_good(job, ticket)
    choices = [good, scrap] if may_be_good else [scrap]
    used_up = ticket is not None and ticket.used_up
    why_not = why_not_again(job, ticket) if job is not None and ticket is not None else None
    if used_up and why_not is None:
        choices.append(Button(words("page.press_again"), deciding.press_again))
    elif ticket is not None and not ticket.used_up and ticket.stage not in ENDED:
        choices.insert(len(choices) - 1, wait)  # the usual choice, before the one that ends it
    return Sheet(
        title=words("page.decide_what"),
        headline=_number_and_stage(ticket, words),
        lines=(
            *((words.say(row_changed(ticket)),) if ticket is not None and ticket.was else ()),
            *((words.say(why_not),) if used_up and why_not is not None else ()),
        ),
        choices=tuple(choices),
        left=Button(words("page.back"), lambda: desk.go(PageKind.GARMENTS)),
    )


def _number_and_stage(ticket: Ticket | None, words: Words) -> str:
    """Return the garment's number and its stage."""
    if ticket is None:
        return ""
    stage = words(f"stage.{ticket.stage.name.lower()}")
    return f"{words('page.look_at', number=label_of(ticket))} · {stage}"


def reason(desk: Desk, words: Words) -> Sheet:
    """Page of reasons for a decision."""
    ids = (f"page.reason.{name}" for name in RULING_REASONS)
    return _reason_page(desk, words, ids, lambda: desk.go(PageKind.GARMENT))


def _reason_page(desk: Desk, words: Words, ids: Iterable[str], back: Callable[[], None]) -> Sheet:
    """Page of reasons, under what they are for."""
    waiting = desk.of(Reasons)
    sheet = reasons(words, "page.reason", ids, waiting.give, back)
    return replace(sheet, headline=words.say(waiting.purpose))


def upkeep(desk: Desk, words: Words) -> Sheet:
    """Page of each part with its closings, those due first; a touch records that it was seen to."""

    def choice(press: str, part: PressPart, every: int) -> Button:
        closings = _closings_since(desk, press, part)
        id_ = "page.upkeep.due" if closings >= every else "page.upkeep.left"
        return Button(
            words("page.upkeep.part", press=press, part=say(f"part.{part.value}")),
            lambda: _see_to(desk, press, part),
            words(id_, done=closings, every=every),
        )

    due = [each for each in _parts(desk) if _is_due(desk, *each)]
    rest = [each for each in _parts(desk) if not _is_due(desk, *each)]
    return Sheet(
        title=words("page.upkeep"),
        headline=due_line(desk, words),
        lines=(words("page.upkeep.line"),),
        cautions=cautions(words, UPKEEP),
        choices=tuple(choice(*each) for each in (*due, *rest)),
        left=Button(words("page.back"), lambda: desk.go(PageKind.SUPERVISOR)),
    )


def due_line(desk: Desk, words: Words) -> str:
    """Return how many parts are due, in words."""
    due = parts_due(desk)
    return words("page.upkeep.count", count=due) if due else words("page.upkeep.none")


def parts_due(desk: Desk) -> int:
    """Return how many parts have reached their number of closings."""
    return sum(_is_due(desk, *each) for each in _parts(desk))


def _parts(desk: Desk) -> Iterator[tuple[str, PressPart, int]]:
    """Yield each press's parts, with the number of closings after which each is due."""
    for key, press in desk.library.catalog.presses.items():
        for part, every in press.upkeep.items():
            yield key, part, every


def _see_to(desk: Desk, press: str, part: PressPart) -> None:
    desk.shell.do(NoteUpkeep(press, part.value))


def _closings_since(desk: Desk, press: str, part: PressPart) -> int:
    """Return the closings since the part was seen to."""
    state = desk.shell.state
    return state.closings.get(press, 0) - state.upkeep.get(f"{press}/{part.value}", 0)


def _is_due(desk: Desk, press: str, part: PressPart, every: int) -> bool:
    return _closings_since(desk, press, part) >= every


def override(desk: Desk, words: Words) -> Sheet:
    """Page of reasons to let the work go on although a rule holds it."""
    ids = (f"page.override.{name}" for name in OVERRIDE_REASONS)
    return _reason_page(desk, words, ids, desk.go_on)
