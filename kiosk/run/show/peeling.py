"""The text beside the peel mark, for the current peel and the coming one."""

from kiosk.catalog.base import Message, say
from kiosk.catalog.model import Peel
from kiosk.plan.model import PeelPlace, Phase, Step
from kiosk.plan.phrases import element_words
from kiosk.run.facts import label_of
from kiosk.run.show.drawing import has_stack
from kiosk.run.show.scene import Scene
from kiosk.run.show.sentences import carrier_steps, current_peels, hot_peels, not_due, peel_words
from kiosk.run.state import CoolingPlace

PeelLine = tuple[Peel | None, Message | None]
NOTHING: PeelLine = (None, None)


def peel_in_hands(scene: Scene) -> PeelLine:
    """Return the peel of the current move and its line; both None if there is none."""
    hot, leaving = hot_peels(scene), scene.leaving
    if hot and leaving is not None and Phase.LOAD in scene.phases:
        return _leaving(label_of(leaving), hot)
    if carriers := carrier_steps(scene):
        timed = any(step.wait for step in carriers) and scene.ticket.opened is not None
        # once due, the chip shows it too, and the next layer needs the space
        due = timed and scene.lays_pieces and not not_due(scene)
        return NOTHING if due else _carriers(scene, carriers)
    if at_hand := current_peels(scene):
        return at_hand[0].peel, where_peeled(scene, at_hand)
    return nothing_to_peel(scene) if Phase.INSPECT in scene.phases else NOTHING


def carriers_apart(scene: Scene) -> Message | None:
    """Return which carriers of one tack come off when, or None if all come off together.

    A line of the move, because it does not fit beside the mark on a small screen.
    """
    steps = carrier_steps(scene)
    if len(steps) < 2 or _carriers(scene, steps)[0] is None:
        return None
    return say("line.carriers_apart", each=tuple(map(_carriers_of, steps)))


def _carriers(scene: Scene, steps: tuple[Step, ...]) -> PeelLine:
    """How a tack's carriers come off: hot ones at once, unless they have cooled meanwhile."""
    peel, freed = steps[0].peel, sum(len(step.pieces) for step in steps)
    hot, waits = peel is Peel.HOT, any(step.peel is Peel.COLD for step in steps)
    if ((hot and scene.open_long) or scene.was_off_press) and not waits:
        return None, say("peel.line.carriers_cooled", count=freed)
    if len(steps) > 1:
        return peel, None
    if hot or peel is None:
        return peel, say("peel.line.carriers", count=freed)
    return peel, say("peel.line.carriers_when", count=freed, peel=say(f"peel.{peel.word}"))


def _carriers_of(step: Step) -> Message:
    """Which carriers of a tack come off together, if not all do."""
    pieces = element_words(step.pieces)
    if step.peel is Peel.HOT or step.peel is None:
        return say("peel.line.carriers_of", pieces=pieces)
    return say("peel.line.carriers_of_when", pieces=pieces, peel=say(f"peel.{step.peel.word}"))


def _leaving(racked: str, steps: tuple[Step, ...]) -> PeelLine:
    """What the garment before this one still needs from the hands, the earliest peel first."""
    first = steps[0].peel
    if len(steps) > 1:
        words = {"peel": peel_words(steps[:1]), "then": peel_words(steps[1:])}
        return first, say("peel.line.leaving_then", racked=racked, **words)
    if first is Peel.HOT:
        return first, say("peel.line.leaving", racked=racked)
    return first, say("peel.line.leaving_hand", racked=racked, peel=peel_words(steps))


def peels_ahead(scene: Scene) -> tuple[Step, ...]:
    """Return the peel steps that follow the current hot step."""
    if scene.ticket.peeled:
        return ()
    after, off = scene.passage.steps[scene.move.first :], scene.bare_pieces
    ahead = (s for s in after if s.phase is Phase.PEEL and not set(s.pieces) <= set(off))
    return tuple(step for step in ahead if not scene.frees_nothing(step))


def nothing_to_peel(scene: Scene) -> PeelLine:
    """A stack's carriers are off before its final: shown, so that nobody looks for one."""
    if scene.passage.carriers or not has_stack(scene.plan, scene.passage):
        return NOTHING
    return None, say("peel.line.nothing")


def where_peeled(scene: Scene, ahead: tuple[Step, ...]) -> Message:
    """How the first of `ahead` is peeled; staged peels take the hotter pieces off first."""
    place, first = scene.passage.place, peel_words(ahead[:1])
    if len(ahead) > 1:
        return say("peel.line.staged", peel=first, then=peel_words(ahead[1:]))
    if ahead[0].peel is Peel.HOT:
        return say("peel.line.at_once")
    if place is PeelPlace.RACK:
        if scene.ticket.lies is CoolingPlace.ON_PAD:
            return say("peel.line.on_pad")
        on_rack = scene.ticket.id in scene.job.rack
        return say("peel.line.on_rack" if on_rack else "peel.line.rack")
    return say("peel.line.hand" if place is PeelPlace.HAND else "peel.line.press", peel=first)
