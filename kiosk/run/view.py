"""What the station shows: everything on the screen as plain values, from state and time."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from kiosk.catalog.message import say
from kiosk.plan.model import Phase
from kiosk.run import dark_pages, light_pages
from kiosk.run.apply_heat import unseen_opening
from kiosk.run.bar_shown import bar_shown, bar_without_job
from kiosk.run.chips import chips
from kiosk.run.commands import Back, HoldOn, SayOpened
from kiosk.run.kind import kind_of
from kiosk.run.meaning import bar_meaning
from kiosk.run.model import JobRun, Now, State
from kiosk.run.moment import DARK, Moment, moment
from kiosk.run.naming import called, header
from kiosk.run.pressing import countdown, open_lines, open_since
from kiosk.run.progress import progress
from kiosk.run.ribbon import ribbon
from kiosk.run.scene import Scene
from kiosk.run.settle import settled
from kiosk.run.stack_view import LAYING, closed_stack, open_stack, pieces
from kiosk.run.transitions import is_legal
from kiosk.run.views import Aside, Bar, Kind, Owner, View

PAGES: dict[Kind, Callable[[View, Moment], View]] = {
    Kind.HANDS: light_pages.hands,
    Kind.HEAT: dark_pages.heat,
    Kind.OVER: dark_pages.over,
    Kind.UNASKED: dark_pages.unasked,
    Kind.ASK: light_pages.ask,
    Kind.ASK_CLOSED: light_pages.ask_closed,
    Kind.OPEN_FIRST: light_pages.open_first,
    Kind.HELD: light_pages.held,
    Kind.SETTING: light_pages.setting_page,
    Kind.DONE: light_pages.done,
}
BEGINS_WITH_OPEN = frozenset({Kind.HANDS, Kind.ASK, Kind.SETTING, Kind.HELD, Kind.DONE})
APART = frozenset({Kind.IDLE, Kind.OFF, Kind.NEW})
SHEET_WORDS = {True: say("sheet_line.on"), False: say("sheet_line.off"), None: None}

EMPTY = View(
    kind=Kind.IDLE,
    job="",
    title="",
    nth=0,
    count=0,
    setting=say("setting.none"),
    ribbon=(),
    ticket="",
    line="",
    number="",
    size="",
    panel="",
    move=say("move.no_job"),
    lines=(),
    sheet=None,
    peel=None,
    peel_line=None,
    countdown=None,
    open_since=None,
    phase=None,
    stack=(),
    pieces=(),
    bar=Bar(say("bar.no_job"), say("below.no_job"), Owner.NOBODY, None, 0.0),
    back=False,
    hold=False,
    opened=False,
    chips=(),
    ask=None,
    warnings=(),
)


def view(state: State, now: Now, focus: str = "") -> View:
    """Return what the station shows at `now`.

    `focus` is a ticket of the rack or set aside that a finger touched: it is shown for its
    result, and forward is refused meanwhile; while the press is closed the dark screen stays.
    """
    state = settled(state, now)
    kind = kind_of(state, now)
    if state.job is None or kind in APART:
        return _without_job(state, kind, now)
    at = moment(state, state.job, now, focus)
    base = _frame(at)
    if at.scene is not None:
        base = _garment(base, at, at.scene)
    shown = PAGES[at.kind](base, at) if at.kind in PAGES else base
    return _finished(shown, at)


def _without_job(state: State, kind: Kind, now: Now) -> View:
    """A press that is hot or held without a job is shown all the same."""
    means = bar_meaning(state, now)
    move = {Kind.UNASKED: "unasked", Kind.OPEN_FIRST: "open_first", Kind.HELD: "held"}
    return replace(
        EMPTY,
        kind=kind,
        move=say(f"move.{move.get(kind, 'no_job')}"),
        countdown=None if state.heat is None else countdown(state.heat, None, kind, now),
        opened=state.heat is not None,
        bar=bar_without_job(kind, means),
    )


def _frame(at: Moment) -> View:
    """What every screen of a job has around its garment."""
    job, hot = at.job, at.state.heat is not None
    nth, count = progress(job, None if at.scene is None else at.scene.ticket)
    passage = job.plan.passes[0 if at.scene is None else at.scene.ticket.passage]
    return replace(
        EMPTY,
        kind=at.kind,
        job=job.job,
        title=job.plan.title,
        nth=nth,
        count=count,
        setting=header(job.plan, passage),
        bar=bar_shown(at),
        back=bool(job.undo) and is_legal(Back, at.kind),
        hold=is_legal(HoldOn, at.kind),
        opened=hot and is_legal(SayOpened, at.kind),
        chips=chips(job, at.now),
        aside=() if at.kind in DARK else _aside(job),
    )


def _garment(base: View, at: Moment, scene: Scene) -> View:
    """The garment, where it is in its procedure, and what lies on the platen."""
    ticket, passage, plan = scene.ticket, scene.passage, scene.plan
    first, last = scene.move.first, max(scene.move.first, scene.move.last)
    pressed = at.state.heat is not None
    ahead = scene.pressing if pressed else scene.closing_ahead
    return replace(
        base,
        ticket=ticket.id,
        line=ticket.garment.line,
        number=ticket.garment.number,
        size=ticket.garment.size,
        panel=passage.panel,
        ribbon=ribbon(passage, first, last),
        phase=_phase(scene),
        sheet=None if ahead is None else ahead.sheet,
        stack=closed_stack(plan, passage, first)
        if pressed
        else open_stack(plan, passage, first, scene.move.last, scene.sheet_comes_on),
        pieces=pieces(plan, passage, first, scene.move.last),
        border_check=Phase.LAY_TOP in scene.phases,
    )


def _finished(shown: View, at: Moment) -> View:
    """The words of marks, who can be given a result, and OPEN where nobody has seen it open."""
    inspected = at.inspected
    return replace(
        _opening(shown, at),
        sheet_word=SHEET_WORDS[shown.sheet],
        peel_word=None if shown.peel is None else say(f"peel_mark.{shown.peel.word}"),
        inspecting=inspected is not None,
        inspect_ticket="" if inspected is None else inspected.id,
        inspect_number="" if inspected is None else called(inspected),
    )


def _opening(shown: View, at: Moment) -> View:
    """OPEN and the seconds since the tone, of the garment in the slot or leaving for the rack."""
    ticket = unseen_opening(at.job)
    if ticket is None or at.kind not in BEGINS_WITH_OPEN or at.touched is not None:
        return shown
    since = open_since(at.state, ticket.opened, at.now)
    if since is None:
        return shown
    passage = at.job.plan.passes[ticket.passage]
    step = passage.steps[ticket.step - 1]
    return replace(
        shown, open_since=since, open_lines=open_lines(at.job.plan, passage, step, since)
    )


def _phase(scene: Scene) -> Phase:
    """The phase that a screen draws: of a grouped move the laying, else its last."""
    laying = next((step.phase for step in scene.steps if step.phase in LAYING), None)
    return laying or (scene.steps[-1].phase if scene.steps else scene.pressing.phase)


def _aside(job: JobRun) -> tuple[Aside, ...]:
    tickets = (job.tickets[name] for name in job.aside)
    return tuple(
        Aside(t.id, called(t), t.stage, say(f"aside.{t.stage.name.lower()}")) for t in tickets
    )
