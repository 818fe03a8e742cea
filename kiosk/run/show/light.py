"""The light screens, when it is your turn: a move for the hands, or a question."""

from kiosk.catalog.base import Message, say
from kiosk.plan.model import Phase, Plan, Step
from kiosk.plan.sizes import end_of
from kiosk.run.facts import garment_label, has_number_laid, label_of, lot_hold, question_at_hand
from kiosk.run.show.dark import countdown
from kiosk.run.show.inspection import inspection
from kiosk.run.show.lines import MARKS, MOST, left_on_platen, move_lines
from kiosk.run.show.parts import ChoiceView, MovePage
from kiosk.run.show.peeling import peel_in_hands, peels_ahead
from kiosk.run.show.scene import Moment, Scene
from kiosk.run.show.sentences import (
    do_first,
    is_due_since,
    move_sentence,
    peel_words,
    quick_sentence,
)
from kiosk.run.show.setting import setting_page
from kiosk.run.state import (
    Question,
    QuestionCause,
    QuestionKind,
    Ticket,
    TicketStage,
    cause_word,
    replace,
)

VERIFY = MovePage(say("move.verify"), (say("line.verify"),), hides_drawing=True)
TRIAL = MovePage(say("move.trial"), (say("line.trial"),), hides_drawing=True)
WAIT = MovePage(say("move.wait"), (say("line.wait"),))
DONE = MovePage(say("move.done"), (say("line.done"),))
OPEN_FIRST = MovePage(
    say("move.open_first"), (say("line.open_first"), say("line.own_release")), hides_drawing=True
)


def hands(moment: Moment) -> MovePage:
    """Return the page of the current move, or the inspection of a garment that needs a decision."""
    scene = moment.scene
    if scene is None:
        return WAIT
    if scene.ticket.stage is TicketStage.STOPPED:
        return MovePage(say("move.stopped"), _stopped_lines(scene), hides_drawing=True)
    if scene.ticket.stage in (TicketStage.UNKNOWN, TicketStage.REWORK):
        return _inspection_page(scene)
    peel, line = peel_in_hands(scene)
    if moment.asks_how_it_peeled:
        lines = (say("line.late_hot"), *inspection(scene))[:MOST]
        return MovePage(say("move.late_hot"), lines, peel=peel)
    if moment.rack_first is not None:
        lines = (say("line.rack_first", number=moment.rack_first), *move_lines(scene))[:MOST]
        return MovePage(move_sentence(scene), lines, peel=peel, peel_line=line)
    if moment.job.quick and moment.touched is None and not is_due_since(scene):
        lines = (say("line.quick"), *move_lines(scene))[:MOST]
        return MovePage(quick_sentence(scene), lines, peel=peel, peel_line=line)
    lines = (*left_on_platen(scene), *move_lines(scene))[:MOST]
    return MovePage(move_sentence(scene), lines, peel=peel, peel_line=line)


def ask(moment: Moment) -> MovePage:
    """Return a question page, which must not show the answer; or the garment that was touched."""
    if moment.touched is not None:
        return hands(moment)
    question = question_at_hand(moment.job)
    if question is None:
        return WAIT
    if question.ask is QuestionKind.SETTING:
        return WAIT if moment.scene is None else setting_page(moment.scene, question.right)
    ticket = moment.job.tickets.get(question.ticket)
    choice = ask_garment(question, moment.job.plan, ticket, moment.scene)
    return MovePage(
        choice.title, (choice.line, choice.foot), ask=choice, hides_garment=True, hides_drawing=True
    )


def ask_closed(moment: Moment) -> MovePage:
    """Return the page that asks whether the press was closed; the clock keeps running."""
    scene, heat = moment.scene, moment.state.heat
    step = None if scene is None else scene.pressing
    return MovePage(
        say("move.ask_closed"),
        (say("line.ask_closed.yes"), say("line.ask_closed.no"), say("line.clock_runs")),
        ask=CLOSED_OR_NOT,
        countdown=None if heat is None else countdown(heat, step, moment.kind, moment.now),
    )


def open_first(moment: Moment) -> MovePage:
    """Return the page after a start in a hot phase: the press may still be closed."""
    return OPEN_FIRST


def held(moment: Moment) -> MovePage:
    """Return the page of a hold, with its reason if one was given."""
    hold = moment.state.held
    why = "" if hold is None else hold.reason
    reason = (say("line.held.reason", reason=why),) if why else ()
    rack = (say("line.held.rack"),) if moment.job.rack else ()
    return MovePage(say("move.held"), (*reason, *rack))


def verify(moment: Moment) -> MovePage:
    """Return the page of a press to be checked; the card is the station's own page."""
    return replace(VERIFY, first=do_first(moment.scene, ""))


def trial(moment: Moment) -> MovePage:
    """Return the page of a setting to be tried; the card is the station's own page."""
    return replace(TRIAL, first=do_first(moment.scene, ""))


def lot(moment: Moment) -> MovePage:
    """Return the page of a held lot, or of a touched garment of it."""
    if moment.scene is not None:
        return hands(moment)
    hold = lot_hold(moment.job)
    if hold is not None and hold.met is not None:
        return MovePage(say("move.lot"), (say("line.lot.met", station=hold.met.station_names),))
    first = None if hold is None else hold.first
    if hold is None or first is None:
        scraps, cause = (0, "") if hold is None else (hold.scraps, hold.cause)
        return MovePage(
            say("move.lot"), (say("line.lot.scraps", scraps=scraps, cause=cause_word(cause)),)
        )
    number = label_of(moment.job.tickets[first.ticket])
    return MovePage(say("move.lot"), (say("line.lot.first", number=number),))


def done(moment: Moment) -> MovePage:
    """Return the last page of a job, or the garments that still need a person's decision."""
    if moment.scene is not None:
        return hands(moment)
    undecided = len(moment.job.aside)
    if not undecided:
        return DONE
    return MovePage(say("move.done_left"), (say("line.done.left", count=undecided),))


def _stopped_lines(scene: Scene) -> tuple[Message, ...]:
    """Why it stopped, how far it is, and what to do with it meanwhile."""
    ticket = scene.ticket
    how_far = "pressed" if ticket.finals else "cold" if ticket.opened is None else "begun"
    return row_changed(ticket), say(f"line.stopped.{how_far}"), say("line.stopped.aside")


def row_changed(ticket: Ticket) -> Message:
    """Return the line for a changed roster row, with the row as it is now if it differs."""
    if ticket.was is None:
        return say("line.stopped")
    own = ticket.garment
    return say(
        "line.stopped.now", number=garment_label(own.number, own.line, own.set), size=own.size
    )


def _inspection_page(scene: Scene) -> MovePage:
    """Return the page of a garment that needs a decision; a last closing may have left carriers."""
    last = scene.ticket.stage is TicketStage.UNKNOWN and scene.pressing.phase is Phase.FINAL
    ahead = peels_ahead(scene) if last else ()
    sheet_off = "sheet_off_" if last and scene.pressing.sheet else ""
    lines = _aside_lines(scene, ahead)
    return MovePage(say(f"move.{sheet_off}inspect"), lines, peel=ahead[0].peel if ahead else None)


def _aside_lines(scene: Scene, ahead: tuple[Step, ...]) -> tuple[Message, ...]:
    """Why it is inspected, the peels still `ahead`, then what to look for."""
    unknown = scene.ticket.stage is TicketStage.UNKNOWN
    marks = [m for m in scene.ticket.marks if m in MARKS and not (unknown and m == "unknown")]
    why = (
        *((say("line.unknown"),) if unknown else ()),
        *(say(f"line.mark.{mark}") for mark in marks),
    )
    if unknown and scene.pressing.phase is not Phase.FINAL:  # not all that its ticket says is on
        here = "on" if scene.ticket.id == scene.job.slot else "aside"
        return (*why, say(f"line.unknown.{here}"))[:MOST]
    peel = (_peel_first(ahead),) if ahead else ()
    return (*why, *peel, *inspection(scene))[:MOST]


def _peel_first(ahead: tuple[Step, ...]) -> Message:
    """Tell the operator how the carriers come off that a stop may have left on."""
    first, then = peel_words(ahead[:1]), peel_words(ahead[1:])
    if len(ahead) == 1:
        return say("line.unknown.peel", peel=first)
    return say("line.unknown.peels", peel=first, then=then)


MOST_FIGURES = 3

# In this order: SayClosed(True), SayClosed(False).
CLOSED_OR_NOT = ChoiceView(
    title=say("move.ask_closed"),
    line=say("ask.line.closed"),
    foot=say("line.clock_runs"),
    answers=(say("ask.closed"), say("ask.not_closed")),
)


def ask_garment(
    question: Question, plan: Plan, ticket: Ticket | None, scene: Scene | None
) -> ChoiceView:
    """Return the size or number question; it shows the answer only after a wrong one.

    A garment still on the platen in `scene` goes to the rack first.
    """
    subject, title = question.ask.value, f"ask.title.{question.because.name.lower()}"
    later = question.because is QuestionCause.LATER_PASS and question.ask is QuestionKind.NUMBER
    later = later and (ticket is None or has_number_laid(plan, ticket))
    band = ticket is not None and end_of(plan.passes[ticket.passage].panel) == "waistband"
    label = "_waistband" if band and question.ask is QuestionKind.SIZE else ""
    number = "" if ticket is None else label_of(ticket)
    values = (
        {"number": number} if question.ask is QuestionKind.SIZE else {}
    )  # which garment to pick up
    return ChoiceView(
        title=do_first(scene, say(title)) or say(title),
        line=say("ask.line.on_shirt" if later else f"ask.line.{subject}{label}", **values),
        foot=say("ask.foot.again", right=question.right)
        if question.tries
        else say(f"ask.foot.{subject}"),
        choices=question.choices,
        pad=question.ask is QuestionKind.NUMBER and _is_figures(question.right),
    )


def _is_figures(number: str) -> bool:
    """Whether a number can be entered on a pad, with its leading zeros."""
    return number.isascii() and number.isdecimal() and len(number) <= MOST_FIGURES
