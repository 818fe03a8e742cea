"""What the station shows: everything on the screen as plain values, from state and time."""

from collections.abc import Callable, Iterator
from math import floor

from kiosk.catalog.base import Message, say
from kiosk.catalog.model import Peel
from kiosk.plan.model import Phase
from kiosk.run.decide import is_legal, meaning_of, settled, waits_for_peel
from kiosk.run.facts.hands import CLOSED, unseen_opening
from kiosk.run.facts.moves import has_all_closings, waiting_carriers
from kiosk.run.facts.peels import chip_wait, serve_next, time_of, zone_at
from kiosk.run.facts.questions import ScreenKind, kind_of
from kiosk.run.facts.represses import closed_before
from kiosk.run.facts.tickets import garment_label, label_of, pass_of, press_and_setting, progress
from kiosk.run.show import dark as dark_pages
from kiosk.run.show import light as light_pages
from kiosk.run.show.bar import bar_of, bar_without_job, stage_peel
from kiosk.run.show.dark import countdown, open_lines, open_since, upcoming
from kiosk.run.show.drawing import draw
from kiosk.run.show.parts import AsideGarment, BarView, Chip, MovePage, View
from kiosk.run.show.scene import DARK, Moment, Scene, moment
from kiosk.run.show.sentences import zone_words
from kiosk.run.state import Back, JobRun, Now, PutOnHold, SayOpened, State, Ticket, replace

PAGES: dict[ScreenKind, Callable[[Moment], MovePage]] = {
    ScreenKind.HANDS: light_pages.hands,
    ScreenKind.HEAT: dark_pages.heat,
    ScreenKind.OVER: dark_pages.over,
    ScreenKind.UNASKED: dark_pages.unasked,
    ScreenKind.ASK: light_pages.ask,
    ScreenKind.ASK_CLOSED: light_pages.ask_closed,
    ScreenKind.OPEN_FIRST: light_pages.open_first,
    ScreenKind.HELD: light_pages.held,
    ScreenKind.SETTING: light_pages.ask,
    ScreenKind.VERIFY: light_pages.verify,
    ScreenKind.TRIAL: light_pages.trial,
    ScreenKind.LOT: light_pages.lot,
    ScreenKind.DONE: light_pages.done,
}
BEGINS_WITH_OPEN = frozenset(
    {
        ScreenKind.HANDS,
        ScreenKind.ASK,
        ScreenKind.SETTING,
        ScreenKind.HELD,
        ScreenKind.VERIFY,
        ScreenKind.TRIAL,
        ScreenKind.LOT,
        ScreenKind.DONE,
    }
)
APART = frozenset({ScreenKind.IDLE, ScreenKind.OFF, ScreenKind.NEW})
WITHOUT_JOB = {
    ScreenKind.UNASKED: "unasked",
    ScreenKind.OPEN_FIRST: "open_first",
    ScreenKind.HELD: "held",
}
SHEET_WORDS = {True: say("sheet_line.on"), False: say("sheet_line.off"), None: None}

Opening = tuple[float | None, tuple[Message, ...]]


def view(state: State, now: Now, focus: str = "", nameless: frozenset[str] = frozenset()) -> View:
    """Return what the station shows at `now`; `nameless` are the roster lines without a name.

    `focus` is a touched ticket, on the rack or aside: it is shown for its result, and forward is
    refused meanwhile; while the press is closed the dark screen stays.
    """
    state = settled(state, now)
    kind = kind_of(state, now)
    if state.job is None or kind in APART:
        move = say(f"move.{WITHOUT_JOB.get(kind, 'no_job')}")
        time = None if state.heat is None else countdown(state.heat, None, kind, now)
        bar = bar_without_job(kind, meaning_of(state, kind, now))
        return _of_page(kind, MovePage(move, countdown=time), bar)
    subject = moment(state, kind, state.job, now, focus, nameless)
    page, scene = PAGES[kind](subject), subject.scene
    screen = _with_job(_of_page(kind, page, bar_of(subject)), subject)
    if scene is not None:
        screen = _with_garment(screen, scene, page, state.heat is not None)
    return (
        screen if subject.inspected is None else _with_inspected(screen, subject, subject.inspected)
    )


def _of_page(kind: ScreenKind, page: MovePage, bar: BarView) -> View:
    """The move with its lines and the bar: everything there is without a job."""
    return View(
        kind=kind,
        move=page.move,
        lines=page.lines,
        peel=page.peel,
        peel_line=page.peel_line,
        peel_word=None if page.peel is None else say(f"peel_mark.{page.peel.word}"),
        countdown=page.countdown,
        ask=page.ask,
        warnings=page.warnings,
        first=page.first,
        bar=bar,
        hold=is_legal(PutOnHold, kind),
        opened=page.countdown is not None and is_legal(SayOpened, kind),
    )


def _with_job(screen: View, subject: Moment) -> View:
    """The frame around the move: the job, its progress, the garments beside the press."""
    job, kind = subject.job, subject.kind
    ticket = None if subject.scene is None else subject.scene.ticket
    nth, count = progress(job, ticket)
    since, lines = _opening(subject)
    return replace(
        screen,
        job=job.job,
        title=job.plan.title,
        nth=nth,
        count=count,
        setting=press_and_setting(
            job.plan, job.plan.passes[0 if ticket is None else ticket.passage]
        ),
        open_since=since,
        open_lines=lines,
        back=bool(job.undo) and is_legal(Back, kind),
        back_closing=bool(job.undo) and job.undo[-1].what == CLOSED,
        chips=chips(job, subject.now),
        upcoming=upcoming(subject),
        aside=() if kind in DARK else _aside(job),
        touched="" if subject.touched is None or kind in DARK else subject.touched.id,
    )


def _with_garment(screen: View, scene: Scene, page: MovePage, pressed: bool) -> View:
    """The garment and its drawing; hidden while a question asks about it."""
    ticket, drawing = scene.ticket, draw(scene, pressed, not page.hides_drawing)
    screen = replace(
        screen,
        ticket=ticket.id,
        panel=scene.passage.panel,
        passage=ticket.passage,
        sheet=drawing.sheet,
        sheet_word=SHEET_WORDS[drawing.sheet],
        phase=drawing.phase,
        stack=drawing.stack,
        pieces=drawing.pieces,
        border_check=drawing.border_check,
    )
    if page.hides_garment:
        return screen
    own = ticket.was or ticket.garment
    return replace(
        screen,
        ribbon=drawing.ribbon,
        line=own.line,
        number=garment_label(own.number, own.line),
        digits=own.number,
        size=own.size,
        set=own.set,
    )


def _with_inspected(screen: View, subject: Moment, ticket: Ticket) -> View:
    """The garment that can be given a result now."""
    return replace(
        screen,
        inspecting=True,
        inspect_ticket=ticket.id,
        inspect_scrap=not has_all_closings(subject.job, ticket),
        inspect_cools=_cools(subject.state, ticket),
        inspect_lies=ticket.lies,
        inspect_number=label_of(ticket),
        stage_peel=stage_peel(subject.job, ticket),
    )


def _cools(state: State, ticket: Ticket) -> bool:
    """Whether the operator can report where a garment lies and how warm it feels."""
    job = state.job
    wait = None if job is None else pass_of(job, ticket).wait
    return wait is not None and wait.peel is not Peel.HOT and waits_for_peel(state, ticket)


def _opening(subject: Moment) -> Opening:
    """OPEN and the seconds since the tone, for the garment in the slot or leaving for the rack."""
    ticket = unseen_opening(subject.job)
    if ticket is None or subject.kind not in BEGINS_WITH_OPEN or subject.touched is not None:
        return None, ()
    since = open_since(subject.state, ticket.opened, subject.now)
    if since is None:
        return None, ()
    plan = subject.job.plan
    passage = plan.passes[ticket.passage]
    step = passage.steps[closed_before(passage, ticket, ticket.step) or 0]
    return since, open_lines(plan, ticket.passage, step, since)


def _aside(job: JobRun) -> tuple[AsideGarment, ...]:
    tickets = (job.tickets[name] for name in job.aside)
    return tuple(
        AsideGarment(t.id, garment_label(own.number, own.line), t.stage,
                     say(f"aside.{t.stage.name.lower()}"), own.set)
        for t in tickets
        for own in [t.was or t.garment]
    )  # fmt: skip


def chips(job: JobRun, now: Now) -> tuple[Chip, ...]:
    """Return the chips of the rack, oldest first, then that of a garment waiting in hand."""
    own = job.tickets.get(job.slot)
    heated = own is not None and own.opened is not None
    waiting = (*job.rack, job.slot) if heated and _in_hand(job) else job.rack
    following = serve_next(job, now) if len(job.rack) > 1 else ""
    found = (chip(job, job.tickets[name], now, name == following) for name in waiting)
    return tuple(each for each in found if each is not None)


def chip(job: JobRun, ticket: Ticket, now: Now, following: bool = False) -> Chip | None:
    """Return the chip of one ticket, `following` if it is served next; None without a wait."""
    wait = chip_wait(job, ticket, now)
    time = time_of(pass_of(job, ticket), ticket, now, wait)
    if time is None or wait is None:
        return None
    ready = zone_at(time)
    return Chip(
        ticket=ticket.id,
        number=garment_label(ticket.garment.number, ticket.garment.line),
        peel=wait.peel,
        from_seconds=time.from_seconds,
        to_seconds=time.to_seconds,
        share=_share(time.waited, time.waited + time.from_seconds),
        zone=ready,
        uncertain=time.uncertain,
        set=ticket.garment.set,
        word=say(f"chip.{wait.peel.word}{'.next' if following else ''}"),
        line=zone_words("chip", time),
        following=following,
    )


def _in_hand(job: JobRun) -> bool:
    """Whether the garment in the slot is out of the press and waits for a peel that is not hot."""
    ticket = job.tickets[job.slot]
    passage = pass_of(job, ticket)
    ahead = passage.steps[ticket.step : ticket.step + 1]
    if any(step.phase is Phase.REMOVE_CARRIER for step in ahead):
        return bool(waiting_carriers(passage, ticket.step))
    if passage.wait is None or passage.wait.peel is Peel.HOT:
        return False
    return any(step.phase is Phase.FINAL for step in passage.steps[: ticket.step])


def _share(waited: float, wait: float) -> float:
    return 1.0 if wait <= 0 else min(1.0, max(0.0, waited / wait))


AT_LEAST_EVERY = 1.0  # seconds: notices end, rows change on disk, the record is tried again


def next_change(view: View, clock: float) -> float:
    """Return the clock at which `view`, computed at `clock`, has to be computed again.

    A countdown changes every second, and a garment becomes due or late at its own moment; other
    times are shown in steps of five seconds, and `AT_LEAST_EVERY` is enough for them.
    """
    waits = [wait for wait in _waits(view) if wait > 0]
    return clock + min([AT_LEAST_EVERY, *waits])


def _waits(view: View) -> Iterator[float]:
    """Seconds until a countdown shows another second, and until a garment is due or late."""
    if view.countdown is not None:
        for left in (view.countdown.left, view.countdown.counting_in):
            yield left
            yield left - floor(left) or 1.0
    for chip in view.chips:
        yield chip.from_seconds
        yield chip.to_seconds
    if view.open_since is not None:
        yield 1.0 - (view.open_since - floor(view.open_since))
