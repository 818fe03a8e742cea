"""The dark screens, when it is the press's turn: the time and the lines beside it."""

from collections.abc import Iterator
from math import floor

from kiosk.catalog.base import Message, say
from kiosk.plan.model import Phase, Piece, Plan, Step
from kiosk.plan.phrases import ELEMENTS
from kiosk.plan.sources import PlanSources
from kiosk.run.facts import (
    ScreenKind,
    dials_of,
    garment_label,
    lacking,
    next_ready,
    pieces_of,
    setting,
)
from kiosk.run.show import peeling, sentences
from kiosk.run.show.lines import MOST
from kiosk.run.show.parts import Countdown, MovePage, NextGarment
from kiosk.run.show.scene import Moment, Scene
from kiosk.run.state import Heat, Now, State, Ticket, elapsed

UNASKED = say("move.unasked")
OVER = say("move.over")
OPENS_ITSELF, OPEN_BY_HAND = say("line.opens_itself"), say("line.open_by_hand")
COUNTING_IN = say("line.counting_in")
UNASKED_LINES = (say("line.unasked"), say("line.own_release"), say("line.unasked.logged"))


def heat(moment: Moment) -> MovePage:
    """Return the page of a closing while its time runs."""
    scene, closing = moment.scene, moment.state.heat
    if scene is None or closing is None:
        return MovePage(UNASKED)
    after_stop = moment.state.open_first  # after a stop it shows only when to open
    peel, line = (None, None) if after_stop else peel_after_heat(scene)
    return MovePage(
        sentences.PRESSING[scene.pressing.phase],
        heat_lines(scene, closing),
        peel=peel,
        peel_line=line,
        countdown=countdown(closing, scene.pressing, moment.kind, moment.now),
    )


def over(moment: Moment) -> MovePage:
    """Return the page of a closing that lasts longer than planned."""
    scene, closing = moment.scene, moment.state.heat
    if scene is None or closing is None:
        return MovePage(OVER)
    time = countdown(closing, scene.pressing, moment.kind, moment.now)
    lines = over_lines(scene.pressing, -time.left, scene.plan.sources)
    return MovePage(OVER, lines, countdown=time, hides_drawing=True)


def unasked(moment: Moment) -> MovePage:
    """Return the page of heat that nobody asked for: it counts up."""
    closing = moment.state.heat
    time = None if closing is None else countdown(closing, None, moment.kind, moment.now)
    return MovePage(UNASKED, UNASKED_LINES, countdown=time, hides_drawing=True)


OPEN_WORD, BY_ITSELF, BY_HAND = say("open.word"), say("open.itself"), say("line.own_release")


def countdown(heat: Heat, step: Step | None, kind: ScreenKind, now: Now) -> Countdown:
    """Return the time of `heat` at `now`; unasked heat has negative time left, of total 0."""
    counting_in = max(0.0, heat.starts - now.clock)
    due = heat.deadline
    if heat.dwell_seconds is None or due is None:
        return Countdown(min(0.0, heat.starts - now.clock), 0.0, counting_in, None)
    left = min(heat.dwell_seconds, due - now.clock)
    remaining = left if kind is ScreenKind.OVER else max(0.0, left)
    most = None if step is None or step.most_seconds is None else float(step.most_seconds)
    return Countdown(remaining, heat.dwell_seconds, counting_in, most)


def heat_lines(scene: Scene, heat: Heat) -> tuple[Message, ...]:
    """Return the lines beside the time while it runs."""
    return tuple(_heat_lines(scene, heat))[:MOST]


def over_lines(step: Step, over: float, sources: PlanSources) -> tuple[Message, ...]:
    """Return the lines of a closing that lasts longer than planned; `over` in seconds."""
    alone = step.phase is Phase.PRE_PRESS
    cloth = ("_cloth" if alone else "") + ("_guess" if sources.time_guessed(alone) else "")
    most = step.most_seconds
    return (
        say("line.over", over=max(0, floor(over)), total=step.seconds),
        *(() if most is None else (say(f"line.over.most{cloth}", most=most),)),
        say("line.over.look"),
    )


def open_since(state: State, tone: Now | None, now: Now) -> float | None:
    """Return the seconds since the tone while nobody has seen the press open.

    `tone` is that of the last closing, None if its opening was seen or declared. None once a hand
    has moved since.
    """
    if tone is None or _moved_since(state.moved, tone, now):
        return None
    return max(0.0, elapsed(tone, now)[0])


def _moved_since(moved: Now | None, tone: Now, now: Now) -> bool:
    """Whether a hand has moved since the tone; a move in a later boot always has."""
    if moved is None:
        return False
    in_this_boot_alone = moved.boot == now.boot != tone.boot
    return in_this_boot_alone or elapsed(tone, moved)[0] > 0


def open_lines(plan: Plan, passage: int, step: Step | None, since: float) -> tuple[Message, ...]:
    """Return OPEN, the seconds since the tone, and how to open; never that it is safe."""
    how_to_open = BY_ITSELF if opens_itself(plan, passage, step) else BY_HAND
    return OPEN_WORD, say("open.since", seconds=floor(since)), how_to_open


def opens_itself(plan: Plan, passage: int, step: Step | None) -> bool:
    """Whether the press's own timer ends `step`; a shorter step is opened by hand."""
    timer = dials_of(plan, passage).timer
    return timer is not None and step is not None and (step.seconds or 0) >= timer


def _heat_lines(scene: Scene, heat: Heat) -> Iterator[Message]:
    step = scene.pressing
    by_itself = opens_itself(scene.plan, scene.ticket.passage, step)
    how_to_open = OPENS_ITSELF if by_itself else OPEN_BY_HAND
    if scene.state.open_first:  # after a stop: one instruction at a time
        yield how_to_open
        return
    if scene.now.clock < heat.starts:
        yield COUNTING_IN
    yield how_to_open
    yield setting(scene.plan, step)


def upcoming(moment: Moment) -> NextGarment | None:
    """Return the next garment while there is time to fetch it; None if it is the current one."""
    scene = moment.scene
    if scene is None or moment.touched is not None or not _has_time(moment):
        return None
    job, own = moment.job, scene.ticket
    following = job.tickets.get(next_ready(job, own.id, own.id))
    if following is None or following.garment.line == own.garment.line:
        return None
    garment = following.garment
    passage = job.plan.passes[following.passage]
    has_all = own.garment.number and own.garment.line not in scene.nameless
    same_pieces = following.passage == own.passage and has_all
    pieces = scene.pieces if same_pieces else pieces_of(job.plan, passage)
    lacks = lacking(garment, scene.nameless)
    changes = garment.size != own.garment.size
    return NextGarment(
        garment.line,
        garment_label(garment.number, garment.line),
        garment.set,
        _sized(following, changes),
        _pull(tuple(p for p in pieces.values() if p.element not in lacks)),
    )


def _has_time(moment: Moment) -> bool:
    """Whether there is time to fetch: the press is closed, or the garment in hand is done."""
    if moment.kind is ScreenKind.HEAT:
        return True
    return moment.kind is ScreenKind.HANDS and moment.inspected is not None


def _sized(ticket: Ticket, changes: bool) -> Message | None:
    size = ticket.garment.size
    if not size:
        return None
    return say("next.size_change" if changes else "next.size", size=size)


def _pull(pieces: tuple[Piece, ...]) -> Message:
    """Each element once, and the colours from the cloth up."""
    if not pieces:
        return say("next.pull.nothing")
    elements = tuple(ELEMENTS.get(each, each) for each in dict.fromkeys(p.element for p in pieces))
    layered = sorted(pieces, key=lambda piece: piece.layer)
    colours = tuple(dict.fromkeys(p.colour.upper() for p in layered if p.colour))
    if not colours:
        return say("next.pull.plain", elements=elements)
    return say("next.pull", elements=elements, colours=colours)


def peel_after_heat(scene: Scene) -> peeling.PeelLine:
    """Return the peel that follows the final being pressed; nothing during a tack."""
    if scene.pressing.phase is not Phase.FINAL:
        return peeling.NOTHING
    ahead = peeling.peels_ahead(scene)
    return (
        (ahead[0].peel, peeling.where_peeled(scene, ahead))
        if ahead
        else peeling.nothing_to_peel(scene)
    )
