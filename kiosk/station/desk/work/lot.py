"""Pages of a lot on hold: its first garment's card, or too many scraps of one cause."""

from collections.abc import Iterator
from functools import partial

from kiosk.catalog.base import MM_PER_INCH, Value, say
from kiosk.plan.model import Phase
from kiosk.run.facts import LotHold, label_of, lot_hold, materials_of, needs_supervisor, pass_of
from kiosk.run.state import (
    Approver,
    FirstGarment,
    JobRun,
    OtherClaims,
    Overruled,
    Ticket,
    TicketStage,
    cause_word,
    defect_word,
)
from kiosk.station.desk.desk import Desk, digits, point
from kiosk.station.desk.jobs.at_server import AtServer
from kiosk.station.desk.jobs.begin import leave_job
from kiosk.station.desk.people import ask_pin
from kiosk.station.desk.sheet import Button, Sheet
from kiosk.station.desk.work.checks import Checks, hold_on, waive
from kiosk.station.desk.work.first_card import FIRST_LOOKS, FirstCard, look_over
from kiosk.station.desk.work.hold import look_button
from kiosk.words import Words

LONGEST_LENGTH = 5
MOST_NUMBERS = 12


def lot(desk: Desk, words: Words) -> Sheet:
    """Page of what holds the lot, and what to do about it."""
    job = desk.shell.state.job
    hold = None if job is None else lot_hold(job)
    if job is None or hold is None:
        return Sheet(words("move.lot"), left=Button(words("page.back"), desk.go_on))
    if hold.met is not None:
        return _claims_page(desk, words, job, hold.met)
    if hold.first is None:
        return _scraps(desk, words, hold)
    if job.tickets[hold.first.ticket].stage not in (TicketStage.GOOD, TicketStage.ACCEPTED):
        return _not_good(desk, words, job, hold.first)
    if not desk.of(FirstCard).open:
        return _begin(desk, words, job, hold.first)
    if desk.of(FirstCard).naming:
        return _defects(desk, words, job, hold.first)
    return _step(desk, words) or _result(desk, words, job, hold.first)


def _claims_page(desk: Desk, words: Words, job: JobRun, claims: OtherClaims) -> Sheet:
    """Page for a supervisor: other stations have the job too, with what each has pressed."""
    pressed_here = tuple(t for t in job.tickets.values() if t.finals)
    pressed_there = tuple(t for t in job.tickets.values() if t.garment.line in claims.lines)
    if claims.by_plan:
        return _plans_page(desk, words, claims)
    given = bool(job.batches) and not claims.claims  # only garments: no other station is on hold
    ids = ("page.met.given_line",) if given else ("page.met.line", "page.met.main_line")
    return Sheet(
        title=words("page.met", station=claims.station_names),
        headline=_pressed(words, "page.met.here", pressed_here),
        second=_pressed(
            words,
            "page.met.given" if given else "page.met.there",
            pressed_there,
            station=claims.station_names,
        ),
        lines=(
            *_unfinished(desk, words, pressed_there),
            *map(words, ids),
            *(map(words, ("page.met.copy",) if claims.by_copy else ())),
            *map(words.say, claims.differs),
            *_wait_line(words, claims),
        ),
        main=Button(words("page.met.main"), lambda: desk.of(Checks).let_pass(Overruled.CLAIMS)),
        left=hold_on(desk, words),
        right=Button(words("page.leave_job"), lambda: leave_job(desk)),
    )


def _unfinished(desk: Desk, words: Words, pressed_there: tuple[Ticket, ...]) -> Iterator[str]:
    """Yield which garments pressed elsewhere still have to be finished there, if known."""
    answer = desk.of(AtServer).answer
    others = () if answer is None else answer["others"]
    lines = {line for other in others for line in other["unfinished"]}
    if open_there := tuple(t for t in pressed_there if t.garment.line in lines):
        yield _pressed(words, "page.met.unfinished", open_there)


def _plans_page(desk: Desk, words: Words, claims: OtherClaims) -> Sheet:
    """Page for a supervisor: other stations use another plan, and how it differs."""
    return Sheet(
        title=words("page.apart", station=claims.station_names),
        headline=words.say(claims.differs[0]),
        lines=(
            *map(words.say, claims.differs[1:]),
            words("page.apart.line"),
            words("page.apart.wrong", station=claims.station_names),
            *_wait_line(words, claims),
        ),
        main=Button(words("page.apart.main"), lambda: desk.of(Checks).let_pass(Overruled.PLAN)),
        left=hold_on(desk, words),
        right=Button(words("page.leave_job"), lambda: leave_job(desk)),
    )


def _wait_line(words: Words, claims: OtherClaims) -> Iterator[str]:
    """Yield what ends the hold without a supervisor, if nothing is pressed there yet."""
    if not claims.lines and not claims.by_copy:
        yield words("page.met.goes_on", station=claims.station_names)


def _pressed(words: Words, message_id: str, tickets: tuple[Ticket, ...], **values: Value) -> str:
    """Return a sentence with the garments' numbers, as many as fit."""
    numbers = tuple(dict.fromkeys(label_of(ticket) for ticket in tickets))
    if not numbers:
        return words(f"{message_id}_none", **values)
    more = ("…",) if len(numbers) > MOST_NUMBERS else ()
    return words(message_id, count=len(numbers), numbers=(*numbers[:MOST_NUMBERS], *more), **values)


def _scraps(desk: Desk, words: Words, hold: LotHold) -> Sheet:
    return Sheet(
        title=words("line.lot.scraps", scraps=hold.scraps, cause=cause_word(hold.cause)),
        lines=(words("page.lot.scraps_line"),),
        main=Button(
            words("page.lot.scraps_main"), lambda: desk.of(Checks).let_pass(Overruled.SCRAP_LIMIT)
        ),
        left=hold_on(desk, words),
    )


def _not_good(desk: Desk, words: Words, job: JobRun, first: FirstGarment) -> Sheet:
    number = label_of(job.tickets[first.ticket])
    return Sheet(
        title=words("page.lot.turned_down", number=number),
        lines=(words("page.lot.turned_down_line"),),
        choices=(look_button(desk, words, first.ticket, number),),
        left=hold_on(desk, words),
        right=_waive(desk, words, job),
    )


def _begin(desk: Desk, words: Words, job: JobRun, first: FirstGarment) -> Sheet:
    number = label_of(job.tickets[first.ticket])
    return Sheet(
        title=words("page.lot.first", number=number),
        headline=words(f"page.lot.who.{_approver(job).value}"),
        lines=(words("page.lot.first_line"), _article(job, first, words)),
        main=Button(words("page.lot.look"), desk.of(FirstCard).begin),
        left=hold_on(desk, words),
        right=_waive(desk, words, job),
    )


def _article(job: JobRun, first: FirstGarment, words: Words) -> str:
    """Return the setting and the materials that the garment is approved for."""
    passage = pass_of(job, job.tickets[first.ticket])
    final = next(step for step in passage.steps if step.phase is Phase.FINAL)
    return words(
        "page.lot.article",
        temperature=final.temperature,
        unit=job.plan.unit.value,
        seconds=final.seconds,
        fabric=job.plan.fabric_name,
        materials=tuple(map(job.plan.sources.title_of, materials_of(job.plan, passage))),
    )


def _step(desk: Desk, words: Words) -> Sheet | None:
    """Return the next thing to measure or look at, or None once all is entered."""
    card = desk.of(FirstCard)
    back = Button(words("page.back"), card.back)
    if card.distance is not None:
        direction = "along" if card.across is not None else "across"
        return Sheet(
            title=words(f"page.lot.side.{direction}"),
            lines=(words("page.lot.as_worn"),),
            choices=(
                Button(words(f"page.lot.{direction}.more"), lambda: card.side(1)),
                Button(words(f"page.lot.{direction}.less"), lambda: card.side(-1)),
            ),
            left=back,
        )
    if card.along is None:
        return _distance(desk, words, back)
    if len(card.looks) == len(FIRST_LOOKS):
        return None
    return look_over(card, FIRST_LOOKS[len(card.looks)], words)


def _distance(desk: Desk, words: Words, back: Button) -> Sheet:
    card = desk.of(FirstCard)
    unit = "mm" if card.millimetres else "in"
    direction = "across" if card.across is None else "along"
    return Sheet(
        title=words(f"page.lot.{direction}"),
        entry=f"{desk.entry} {unit}",
        choices=(*digits(desk, words, LONGEST_LENGTH), point(desk, words, LONGEST_LENGTH)),
        columns=6,
        main=Button(words("page.lot.next"), card.measure),
        left=back,
    )


def _result(desk: Desk, words: Words, job: JobRun, first: FirstGarment) -> Sheet:
    card = desk.of(FirstCard)
    number = label_of(job.tickets[first.ticket])
    across, along = (
        _offset_line(desk, words, "across", card.across),
        _offset_line(desk, words, "along", card.along),
    )
    faults = tuple(say(f"defect.{fault}") for fault in card.faults)
    if faults:
        main = Button(words("page.lot.turn_down"), lambda: card.turn_down(first.ticket))
        choices: tuple[Button, ...] = ()
    else:
        main = None
        choices = (*_approvals(desk, words, job, first), Button(words("page.lot.other"), card.name))
    return Sheet(
        title=words("page.lot.approve" if main is None else "page.lot.faulty", number=number),
        headline=words("page.lot.offsets", across=across, along=along),
        second=words("page.lot.faults", faults=faults) if faults else words("page.lot.no_faults"),
        lines=(words(f"page.lot.who.{_approver(job).value}"),),
        choices=choices,
        main=main,
        left=Button(words("page.back"), card.back),
    )


def _defects(desk: Desk, words: Words, job: JobRun, first: FirstGarment) -> Sheet:
    """Page to name another defect."""
    card = desk.of(FirstCard)
    return Sheet(
        title=words("work.what_is_wrong", number=label_of(job.tickets[first.ticket])),
        choices=tuple(
            Button(words.say(defect_word(defect)), partial(card.turn_down, first.ticket, defect))
            for defect in card.other_defects
        ),
        left=Button(words("page.back"), card.back),
    )


def _approvals(desk: Desk, words: Words, job: JobRun, first: FirstGarment) -> tuple[Button, ...]:
    """Return a button for each person who may approve, the supervisor last."""
    card, approver = desk.of(FirstCard), _approver(job)
    state = desk.shell.state
    people = {
        Approver.OPERATOR: (state.operator,),
        Approver.ANOTHER: tuple(o for o in sorted(state.operators) if o != first.operator),
        Approver.SUPERVISOR: (),
    }[approver]

    def approval(initials: str) -> Button:
        label = words("page.lot.approved_by", operator=initials)
        return Button(label, lambda: card.approve(first.ticket, initials))

    def supervisor() -> None:
        number = label_of(job.tickets[first.ticket])
        purpose = say("pin.for.approve", number=number)
        ask_pin(desk, lambda: card.approve(first.ticket, "", supervisor=True), purpose)

    return (
        *(approval(each) for each in people),
        Button(words("page.lot.by_supervisor"), supervisor),
    )


def _approver(job: JobRun) -> Approver:
    return Approver.SUPERVISOR if needs_supervisor(job.plan) else job.rules.approver


def _offset_line(desk: Desk, words: Words, direction: str, inches: float | None) -> str:
    """Return how far a print is off and to which side, as it was entered."""
    millimetres = desk.of(FirstCard).millimetres
    value = (inches or 0.0) * (MM_PER_INCH if millimetres else 1.0)
    side = "more" if value > 0 else "less" if value else "none"
    length = f"{words.number(f'{abs(value):.3g}')} {'mm' if millimetres else 'in'}"
    return words(f"page.lot.is.{direction}.{side}", length=length)


def _waive(desk: Desk, words: Words, job: JobRun) -> Button | None:
    return waive(desk, words, job.rules.first_article, Overruled.FIRST_ARTICLE)
