"""The light screens: your turn."""

from __future__ import annotations

from dataclasses import replace

from kiosk.catalog.message import Message, say
from kiosk.plan.model import Phase
from kiosk.run.asking import CLOSED_OR_NOT, ask_garment, ask_setting
from kiosk.run.lines import MARKS, MOST, move_lines
from kiosk.run.model import Ask, Stage
from kiosk.run.moment import Moment
from kiosk.run.naming import setting
from kiosk.run.peel_shown import peel_in_hands
from kiosk.run.pressing import countdown
from kiosk.run.questions import question_at_hand
from kiosk.run.scene import Scene
from kiosk.run.sentences import move_sentence
from kiosk.run.views import View

OWN_RELEASE = say("line.own_release")


def hands(base: View, moment: Moment) -> View:
    """Return the page of the move at hand; of one that waits for a person, its inspection."""
    scene = moment.scene
    if scene is None:
        return replace(base, move=say("move.wait"), lines=(say("line.wait"),))
    if scene.ticket.stage in (Stage.UNKNOWN, Stage.REWORK):
        return replace(base, move=say("move.inspect"), lines=_aside_lines(scene))
    peel, line = peel_in_hands(scene)
    return replace(
        base, move=move_sentence(scene), lines=move_lines(scene), peel=peel, peel_line=line
    )


def ask(base: View, moment: Moment) -> View:
    """Return a question page: what is asked for is nowhere on it."""
    question = question_at_hand(moment.job)
    if question is None:
        return base
    if question.ask is Ask.SETTING:
        return setting_page(base, moment)
    choice = ask_garment(question)
    return replace(
        base,
        move=choice.title,
        lines=(choice.line, choice.foot),
        ask=choice,
        number="",
        size="",
        line="",
        ribbon=(),
        stack=(),
        pieces=(),
        phase=None,
    )


def setting_page(base: View, moment: Moment) -> View:
    """Return the page on which the press is set and read."""
    scene, question = moment.scene, question_at_hand(moment.job)
    if scene is None or question is None:
        return base
    step = scene.closing_ahead
    lines = () if step is None else (setting(scene.plan, step),)
    panel = next((s for s in scene.plan.settings if s.panel == scene.passage.panel), None)
    return replace(
        base,
        move=say("move.setting"),
        lines=(*lines, say("line.setting.settle")),
        ask=ask_setting(scene.plan, question.right, moment.job.setting),
        warnings=()
        if panel is None
        else tuple(say(f"settings.warning.{w}") for w in panel.warnings),
        stack=(),
        pieces=(),
    )


def ask_closed(base: View, moment: Moment) -> View:
    """Return the page that asks whether it was closed; the clock runs on."""
    scene, heat = moment.scene, moment.state.heat
    step = None if scene is None else scene.pressing
    return replace(
        base,
        move=say("move.ask_closed"),
        lines=(say("line.ask_closed.yes"), say("line.ask_closed.no"), say("line.clock_runs")),
        ask=CLOSED_OR_NOT,
        countdown=None if heat is None else countdown(heat, step, moment.kind, moment.now),
    )


def open_first(base: View, moment: Moment) -> View:
    """Return the page after a start in a hot phase: the press may still be closed."""
    return replace(
        base, move=say("move.open_first"), lines=(say("line.open_first"), OWN_RELEASE), stack=()
    )


def held(base: View, moment: Moment) -> View:
    """Return the page of a hold, with its reason if one was given."""
    hold = moment.state.held
    reason = () if hold is None or not hold.reason else (hold.reason,)
    lines = tuple(say("line.held.reason", reason=each) for each in reason)
    rack = (say("line.held.rack"),) if moment.job.rack else ()
    return replace(base, move=say("move.held"), lines=(*lines, *rack))


def done(base: View, moment: Moment) -> View:
    """Return the last page of a job, or the garments that still wait for a person."""
    if moment.scene is not None:
        return hands(base, moment)
    left = len(moment.job.aside)
    if left:
        return replace(base, move=say("move.done_left"), lines=(say("line.done.left", count=left),))
    return replace(base, move=say("move.done"), lines=(say("line.done"),))


def _aside_lines(scene: Scene) -> tuple[Message, ...]:
    """Why it is looked at, then what to look for."""
    marks = [m for m in scene.ticket.marks if m in MARKS]
    unknown = scene.ticket.stage is Stage.UNKNOWN
    goes_on = unknown and scene.pressing.phase is not Phase.FINAL
    lines = (
        *((say("line.unknown"),) if unknown else ()),
        *(say(f"line.mark.{mark}") for mark in marks if mark != "unknown"),
        *((say("line.unknown.on"),) if goes_on else ()),
        say("line.inspect.edges_plain"),
        say("line.inspect.marks"),
    )
    return lines[:MOST]
