"""What can be done besides going on: on the page of choices, on hold, and by "back one"."""

from collections.abc import Iterator
from functools import partial

from kiosk.run.decide import closing_ahead, is_legal
from kiosk.run.facts import (
    is_first_pass,
    kind_of,
    label_of,
    last_closing,
    last_tap,
    next_hot,
    pass_of,
    slot_ticket,
)
from kiosk.run.show import ASKS, FOCUSABLE, View
from kiosk.run.state import JobRun, PutOnHold, TicketStage, commands, commands_shift
from kiosk.station.desk.desk import Desk, digits
from kiosk.station.desk.sheet import Button, PageKind, Sheet
from kiosk.station.desk.work.hold import back_to_press, before_pre_press, may_be_put_aside, options
from kiosk.words import Words


class Choosing:
    """The choices of the moment."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk

    def open(self) -> None:
        """Turn to the page of choices."""
        self._desk.go(PageKind.CHOICES)

    def hold(self) -> None:
        """Put the station on hold."""
        self._desk.shell.focus = ""
        self.do(commands.PutOnHold())

    def back(self) -> None:
        """Take back the last tap that is not a closing."""
        self._desk.end_hold()
        self.do(commands.Back(closing_stays=True))

    def never_closed(self) -> None:
        """Record that the last closing never happened."""
        self._desk.end_hold()
        self.do(commands_shift.SayNeverClosed())

    def record_closing(self) -> None:
        """Record a closing made without a tap, with the seconds that were typed."""
        if self._desk.entry:
            seconds = float(self._desk.entry)
            self._desk.end_hold()
            self.do(commands_shift.SayPressed(seconds))

    def give(self, ticket: str, number: str, stage: TicketStage) -> None:
        """Give a garment its result; anything but good is asked about first."""
        self._desk.go(PageKind.WORK)
        if stage is TicketStage.GOOD:
            self._desk.shell.work(commands.Inspect(ticket, stage))
        else:
            self._desk.judge(ticket, number, stage)

    def spoil(self, ticket: str, number: str) -> None:
        """Ask why a garment is scrap before its final, without pressing it whole first."""
        self._desk.end_hold()
        self._desk.go(PageKind.WORK)
        self._desk.judge(ticket, number, TicketStage.SCRAP)

    def look_at(self, ticket: str) -> None:
        """Look at a garment of the rack or aside, to give it a result."""
        self._desk.shell.focus = ticket
        self._desk.go(PageKind.WORK)

    def do(self, command: commands.Command) -> None:
        """Do a command and turn to the press."""
        self._desk.shell.work(command)
        self._desk.go(PageKind.WORK)


SECONDS_LONGEST = 3
NOT_GOOD = {
    TicketStage.REWORK: "rework",
    TicketStage.SCRAP: "scrap",
    TicketStage.ACCEPTED: "accept",
}


def choices(desk: Desk, words: Words) -> Sheet:
    """Page of all that can be done now: short press steps, long press chooses, none preselected."""
    view = desk.shell.view(desk.shell.now())
    go_on = Button(words("choices.go_on"), lambda: back_to_press(desk))
    return Sheet(title=words("choices.title"), choices=(go_on, *_buttons(desk, words, view)))


def _buttons(desk: Desk, words: Words, view: View) -> Iterator[Button]:
    job, held = desk.shell.state.job, desk.shell.state.held is not None
    if view.inspecting:
        yield from _results(desk, words, view)
    if job is not None:
        yield from closing_choices(desk, words, job)
        yield from _back(desk, words, job)
        yield from _scrap_choice(desk, words, job)
        if view.kind not in ASKS:
            yield from _other_garments(desk, words, view)
    if held:
        yield from (
            Button(words.say(option.label), option.action)
            for option in options(desk, with_closings=False)
            if callable(option.action)
        )
        return
    if job is not None:
        yield from _detours(desk, words, job)
    if is_legal(PutOnHold, kind_of(desk.shell.state, desk.shell.now())):
        yield Button(words("work.hold"), desk.of(Choosing).hold)


def _results(desk: Desk, words: Words, view: View) -> Iterator[Button]:
    """Yield results of the garment shown that a short press does not give."""
    ticket, number = view.inspect_ticket, view.inspect_number
    stages = dict(NOT_GOOD)
    if view.inspect_scrap:
        stages = {TicketStage.SCRAP: NOT_GOOD[TicketStage.SCRAP]}
    elif view.bar.meaning is None:
        stages = {TicketStage.GOOD: "good", **stages}
    for stage, word in stages.items():
        label = words("choices.result", number=number, result=words(f"work.{word}"))
        yield Button(label, partial(desk.of(Choosing).give, ticket, number, stage))


def closing_choices(desk: Desk, words: Words, job: JobRun) -> Iterator[Button]:
    """Yield the choices that it was never closed, or was pressed without a tap."""
    undo, hot = last_closing(job), closing_ahead(job)
    if undo is not None:
        label = words("choices.never_closed", number=label_of(undo.tickets[0]))
        yield Button(label, desk.of(Choosing).never_closed)
    if hot is not None:
        label = words("choices.pressed", number=label_of(job.tickets[job.slot]))
        yield Button(label, lambda: desk.go(PageKind.SECONDS_BY_HAND))


def _back(desk: Desk, words: Words, job: JobRun) -> Iterator[Button]:
    undo = last_tap(job)
    if undo is not None:
        label = words("choices.back", number=label_of(undo.tickets[0]))
        yield Button(
            label, desk.of(Choosing).back, words(f"choices.tap.{undo.what.replace(' ', '_')}")
        )


def _scrap_choice(desk: Desk, words: Words, job: JobRun) -> Iterator[Button]:
    """Yield scrap for the current garment, if it has taken heat but no final."""
    ticket = slot_ticket(job)
    if ticket is None or ticket.stage is not TicketStage.AT_PRESS or ticket.finals:
        return
    first = next_hot(pass_of(job, ticket), 0, ticket.skipped, ticket.without)
    if not is_first_pass(job, ticket) or (first is not None and first < ticket.step):
        number = label_of(ticket)
        label = words("choices.result", number=number, result=words("work.scrap"))
        yield Button(label, partial(desk.of(Choosing).spoil, ticket.id, number))


def _other_garments(desk: Desk, words: Words, view: View) -> Iterator[Button]:
    """Yield garments of the rack and aside, to look at for a result."""
    garments = [(chip.ticket, chip.number, chip.word) for chip in view.chips]
    garments += [(e.ticket, e.number, e.word) for e in view.aside if e.stage in FOCUSABLE]
    for ticket, number, word in garments:
        if ticket != view.inspect_ticket:
            label = words("page.look_at", number=number)
            yield Button(label, partial(desk.of(Choosing).look_at, ticket), words.say(word))


def _detours(desk: Desk, words: Words, job: JobRun) -> Iterator[Button]:
    if may_be_put_aside(job):
        yield Button(words("page.put_aside"), lambda: desk.go(PageKind.PUT_ASIDE))
    if before_pre_press(job):
        yield Button(words("page.skip"), lambda: desk.go(PageKind.SKIP))


def was_it_closed(desk: Desk, words: Words) -> Sheet:
    """Page of "back one" after a closing, which is taken back only if it never happened."""
    job, undo = desk.shell.state.job, last_closing(desk.shell.state.job)
    corrections = (
        () if job is None else (*closing_choices(desk, words, job), *_back(desk, words, job))
    )
    if undo is None:
        go_on = Button(words("choices.go_on"), lambda: back_to_press(desk))
        return Sheet(title=words("choices.put_right"), choices=(*corrections, go_on))
    return Sheet(
        title=words("choices.was_it_closed", number=label_of(undo.tickets[0])),
        lines=(words("choices.was_it_closed_line"),),
        choices=(*corrections, Button(words("choices.it_was_closed"), lambda: back_to_press(desk))),
    )


def seconds_by_hand(desk: Desk, words: Words) -> Sheet:
    """Page for the seconds of a closing made without a tap."""
    job = desk.shell.state.job
    number = label_of(job.tickets[job.slot]) if job is not None and job.slot else ""
    return Sheet(
        title=words("choices.told", number=number),
        entry=f"{desk.entry} s".strip(),
        choices=digits(desk, words, SECONDS_LONGEST),
        columns=6,
        main=Button(
            words("choices.told_main"), desk.of(Choosing).record_closing, words("choices.told_line")
        ),
        left=Button(words("page.back"), lambda: back_to_press(desk)),
    )
