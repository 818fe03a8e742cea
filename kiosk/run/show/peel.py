"""The peel mark: which peel comes next, and how."""

from __future__ import annotations

from kiosk.catalog.base import Message, say
from kiosk.catalog.model import Peel
from kiosk.plan.model import Phase, Place, Step
from kiosk.run.facts.naming import called
from kiosk.run.show.scene import Scene
from kiosk.run.show.sentences import hot_peels, peel_words, peels
from kiosk.run.show.stack import has_stack
from kiosk.run.state.cooling import Lies

Shown = tuple[Peel | None, Message | None]
NOTHING: Shown = (None, None)


def peel_in_hands(scene: Scene) -> Shown:
    """Return the peel of the move at hand, with its line; both None where there is none."""
    hot, leaving = hot_peels(scene), scene.leaving
    if hot and leaving is not None and Phase.LOAD in scene.phases:
        return _leaving(called(leaving), hot)
    carriers = [step for step in scene.steps if step.phase is Phase.REMOVE_CARRIER]
    if carriers:
        freed = sum(len(step.pieces) for step in carriers)
        return carriers[0].peel, say("peel.line.carriers", count=freed)
    if at_hand := peels(scene):
        return at_hand[0].peel, _where(scene, at_hand)
    return _nothing(scene) if Phase.INSPECT in scene.phases else NOTHING


def _leaving(racked: str, steps: tuple[Step, ...]) -> Shown:
    """What the garment before this one still needs from the hands, the earliest peel first."""
    first = steps[0].peel
    if len(steps) > 1:
        words = {"peel": peel_words(steps[:1]), "then": peel_words(steps[1:])}
        return first, say("peel.line.leaving_then", racked=racked, **words)
    if first is Peel.HOT:
        return first, say("peel.line.leaving", racked=racked)
    return first, say("peel.line.leaving_hand", racked=racked, peel=peel_words(steps))


def peel_after_heat(scene: Scene) -> Shown:
    """Return the peel that follows the final being pressed; nothing during a tack."""
    if scene.pressing.phase is not Phase.FINAL:
        return NOTHING
    ahead = peels_ahead(scene)
    return (ahead[0].peel, _where(scene, ahead)) if ahead else _nothing(scene)


def peels_ahead(scene: Scene) -> tuple[Step, ...]:
    """Return the peel steps that follow the hot step at hand."""
    if scene.ticket.peeled:
        return ()
    after = scene.passage.steps[scene.move.first :]
    return tuple(step for step in after if step.phase is Phase.PEEL)


def _nothing(scene: Scene) -> Shown:
    """A stack's carriers are off before its final: said, so that nobody looks for one."""
    if scene.passage.carriers or not has_stack(scene.plan, scene.passage):
        return NOTHING
    return None, say("peel.line.nothing")


def _where(scene: Scene, ahead: tuple[Step, ...]) -> Message:
    """How the first of `ahead` is peeled; staged peels take the hotter pieces off first."""
    place, first = scene.passage.place, peel_words(ahead[:1])
    if len(ahead) > 1:
        return say("peel.line.staged", peel=first, then=peel_words(ahead[1:]))
    if ahead[0].peel is Peel.HOT:
        return say("peel.line.at_once")
    if place is Place.RACK:
        if scene.ticket.lies is Lies.ON_PAD:
            return say("peel.line.on_pad")
        on_rack = scene.ticket.id in scene.job.rack
        return say("peel.line.on_rack" if on_rack else "peel.line.rack")
    return say("peel.line.hand" if place is Place.HAND else "peel.line.press", peel=first)
