"""The dark screens, the press's turn: the time, and the lines beside it."""

from __future__ import annotations

from collections.abc import Iterator
from math import floor

from kiosk.catalog.base import Message, say
from kiosk.plan.model import Pass, Phase, Plan, Step
from kiosk.plan.sources import PlanSources
from kiosk.run.facts.kind import Kind
from kiosk.run.facts.tickets import setting
from kiosk.run.show.lines import MOST
from kiosk.run.show.parts import Countdown, Page
from kiosk.run.show.scene import Moment, Scene
from kiosk.run.show.sentences import PRESSING, peel_after_heat
from kiosk.run.state.event import Now
from kiosk.run.state.model import Heat, State

UNASKED = say("move.unasked")
OVER = say("move.over")
UNASKED_LINES = (say("line.unasked"), say("line.own_release"), say("line.unasked.logged"))


def heat(moment: Moment) -> Page:
    """Return the page of a closing while its time runs."""
    scene, pressed = moment.scene, moment.state.heat
    if scene is None or pressed is None:
        return Page(UNASKED)
    after_stop = moment.state.open_first  # then it says when to open, and nothing else
    peel, line = (None, None) if after_stop else peel_after_heat(scene)
    return Page(
        PRESSING[scene.pressing.phase],
        heat_lines(scene, pressed),
        peel=peel,
        peel_line=line,
        countdown=countdown(pressed, scene.pressing, moment.kind, moment.now),
    )


def over(moment: Moment) -> Page:
    """Return the page of a closing that lasts longer than planned."""
    scene, pressed = moment.scene, moment.state.heat
    if scene is None or pressed is None:
        return Page(OVER)
    time = countdown(pressed, scene.pressing, moment.kind, moment.now)
    lines = over_lines(scene.pressing, -time.left, scene.plan.sources)
    return Page(OVER, lines, countdown=time, hides_drawing=True)


def unasked(moment: Moment) -> Page:
    """Return the page of heat that nothing asked for: it counts up."""
    pressed = moment.state.heat
    time = None if pressed is None else countdown(pressed, None, moment.kind, moment.now)
    return Page(UNASKED, UNASKED_LINES, countdown=time, hides_drawing=True)


OPEN_WORD = say("open.word")


def countdown(heat: Heat, step: Step | None, kind: Kind, now: Now) -> Countdown:
    """Return the time of `heat` at `now`; unasked heat counts up, below zero, of a total of 0."""
    counting_in = max(0.0, heat.starts - now.clock)
    if heat.dwell_seconds is None or heat.deadline is None:
        return Countdown(min(0.0, heat.starts - now.clock), 0.0, counting_in, None)
    left = min(heat.dwell_seconds, heat.deadline - now.clock)
    shown = left if kind is Kind.OVER else max(0.0, left)
    most = None if step is None or step.most_seconds is None else float(step.most_seconds)
    return Countdown(shown, heat.dwell_seconds, counting_in, most)


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

    `tone` is that of the last closing, None where its opening was seen or declared. None once
    a hand has moved since.
    """
    moved = state.moved
    if tone is None or tone.boot != now.boot:
        return None
    if moved is not None and moved.boot == tone.boot and moved.clock > tone.clock:
        return None
    return max(0.0, now.clock - tone.clock)


def open_lines(plan: Plan, passage: Pass, step: Step | None, since: float) -> tuple[Message, ...]:
    """Return OPEN, the seconds since the tone, and how: it never says safe."""
    how = "open.itself" if opens_itself(plan, passage, step) else "line.own_release"
    return OPEN_WORD, say("open.since", seconds=floor(since)), say(how)


def opens_itself(plan: Plan, passage: Pass, step: Step | None) -> bool:
    """Whether the press ends `step` by its own timer, which is set to the pass's final.

    A shorter closing has to be opened by hand on such a press too.
    """
    if not plan.opens_itself or step is None or step.seconds is None:
        return False
    finals = (each.seconds or 0 for each in passage.steps if each.phase is Phase.FINAL)
    return step.seconds >= max(finals, default=0)


def _heat_lines(scene: Scene, heat: Heat) -> Iterator[Message]:
    step = scene.pressing
    itself = opens_itself(scene.plan, scene.passage, step)
    how = say("line.opens_itself" if itself else "line.open_by_hand")
    if scene.state.open_first:  # after a stop: one order at a time
        yield how
        return
    if scene.now.clock < heat.starts:
        yield say("line.counting_in")
    yield how
    yield setting(scene.plan, step)
