"""The dark screens: the press's turn."""

from __future__ import annotations

from dataclasses import replace

from kiosk.catalog.message import say
from kiosk.run.moment import Moment
from kiosk.run.peel_shown import peel_after_heat
from kiosk.run.pressing import countdown, heat_lines, over_lines
from kiosk.run.sentences import PRESSING
from kiosk.run.views import View


def heat(base: View, moment: Moment) -> View:
    """Return the page of a closing while its time runs."""
    scene, pressed = moment.scene, moment.state.heat
    if scene is None or pressed is None:
        return base
    peel, line = peel_after_heat(scene)
    return replace(
        base,
        move=PRESSING[scene.pressing.phase],
        lines=heat_lines(scene, pressed),
        peel=peel,
        peel_line=line,
        countdown=countdown(pressed, scene.pressing, moment.kind, moment.now),
    )


def over(base: View, moment: Moment) -> View:
    """Return the page of a closing that lasts longer than planned."""
    scene, pressed = moment.scene, moment.state.heat
    if scene is None or pressed is None:
        return base
    time = countdown(pressed, scene.pressing, moment.kind, moment.now)
    return replace(
        base,
        move=say("move.over"),
        lines=over_lines(scene.pressing, -time.left),
        countdown=time,
        stack=(),
    )


def unasked(base: View, moment: Moment) -> View:
    """Return the page of heat that nothing asked for: it counts up."""
    pressed = moment.state.heat
    return replace(
        base,
        move=say("move.unasked"),
        lines=(say("line.unasked"), say("line.own_release"), say("line.unasked.logged")),
        countdown=None if pressed is None else countdown(pressed, None, moment.kind, moment.now),
        stack=(),
    )
