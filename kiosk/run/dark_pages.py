"""The dark screens: the press's turn."""

from __future__ import annotations

from kiosk.catalog.message import say
from kiosk.run.moment import Moment
from kiosk.run.page import Page
from kiosk.run.peel_shown import peel_after_heat
from kiosk.run.pressing import countdown, heat_lines, over_lines
from kiosk.run.sentences import PRESSING

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
