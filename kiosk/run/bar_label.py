"""The words of the forward bar: what pressing it confirms, and what it starts."""

from __future__ import annotations

from kiosk.catalog.message import Message, say
from kiosk.catalog.model import Peel
from kiosk.plan.model import Phase, Place
from kiosk.plan.phrases import panel_word
from kiosk.plan.reasons import element_words
from kiosk.run.commands import Meaning, Verb
from kiosk.run.moves import racks
from kiosk.run.naming import called
from kiosk.run.peel_shown import peels_ahead
from kiosk.run.scene import Scene
from kiosk.run.sentences import count, hot_peels, layer, parts, peels
from kiosk.run.stages import place_of, racked_at
from kiosk.run.tickets import next_ready

TAP = say("below.tap")
HANDS_CLEAR = say("below.hands_clear")

CONFIRMED: dict[Phase, str] = {
    Phase.LOAD: "load",
    Phase.LAY: "lay",
    Phase.LAY_TOP: "top",
    Phase.REMOVE_CARRIER: "carrier",
    Phase.COVER: "sheet",
    Phase.PEEL: "peel",
}
FIXED: dict[Verb, Message] = {
    Verb.OPENED: say("bar.opened"),
    Verb.PRESS_IS_OPEN: say("bar.press_is_open"),
    Verb.GO_ON: say("bar.go_on"),
    Verb.RESTART: say("bar.restart"),
}


def meant(meaning: Meaning, scene: Scene) -> Message:
    """Return the label of a meaning about the press; `scene` is that of its ticket."""
    if meaning.verb is Verb.FINISH:
        return _finish(scene)
    return _confirm(scene) if meaning.verb is Verb.CONFIRM else _close(scene)


def then(scene: Scene) -> Message:
    """Return what follows the hot step at hand, for a bar that refuses meanwhile."""
    step = scene.pressing
    if step.phase is Phase.FINAL:
        return _then_final(scene)
    after = scene.passage.steps[scene.move.first + 1]
    if after.phase is Phase.REMOVE_CARRIER:
        peel = say(f"peel.{after.peel.word}") if after.peel is not None else ""
        return say("bar.then.carriers", count=len(after.pieces), peel=peel)
    lower = any(scene.pieces[name].layers > 1 for name in after.pieces)
    return say("bar.then.lower" if lower else "bar.then.lay", count=len(after.pieces))


def _then_final(scene: Scene) -> Message:
    ahead = peels_ahead(scene)
    if not ahead:
        return say("bar.then.inspect")
    peel = say(f"peel.{ahead[0].peel.word}") if ahead[0].peel is not None else ""
    if scene.passage.place is Place.RACK:
        if place_of(scene.passage, 0) is not Place.RACK:
            return say("bar.then.peel_rack", peel=peel)
        following = next_ready(scene.job, scene.ticket.id)
        if not following:
            return say("bar.then.rack")
        return say("bar.then.rack_load", number=called(scene.job.tickets[following]))
    if ahead[0].peel is Peel.HOT:
        return say("bar.then.peel_at_once", peel=peel)
    in_hand = scene.passage.place is Place.HAND
    return say("bar.then.peel_hand" if in_hand else "bar.then.peel", peel=peel)


def _close(scene: Scene) -> Message:
    hot, seconds = scene.hot, 0
    if hot is not None and hot.seconds is not None:
        seconds = hot.seconds
    if scene.leaving is not None:
        return _close_after_racking(scene)
    key = parts(scene) or "as_before"
    return say(f"bar.close.{key}", seconds=seconds, count=count(scene))


def _close_after_racking(scene: Scene) -> Message:
    """The same tap says that the garment before this one lies on the rack: both are named."""
    racked = "" if scene.leaving is None else called(scene.leaving)
    first = "peel" if hot_peels(scene) else "rack"
    done = "laid" if layer(scene) or Phase.COVER in scene.phases else "loaded"
    sheet = "_sheet" if scene.sheet_comes_on else ""
    return say(f"bar.close.{first}_{done}{sheet}", racked=racked, number=called(scene.ticket))


def _confirm(scene: Scene) -> Message:
    """Confirms one hand step and names the next."""
    done, index = scene.steps[-1], scene.move.last + 1
    if scene.ticket.skipped and scene.passage.steps[index].phase is Phase.PRE_PRESS:
        index += 1  # it is left out
    following = CONFIRMED.get(scene.passage.steps[index].phase, "inspect")
    if racks(scene.passage) and index == racked_at(scene.passage, index):
        following = "rack"
    word = "move" if done.phase is Phase.LOAD and scene.moved else CONFIRMED[done.phase]
    key = f"bar.confirm.{word}"
    return say(key, next=say(f"next.{following}"), count=len(done.pieces))


def _finish(scene: Scene) -> Message:
    """Says what comes next: the same garment's next pass is no next garment."""
    peeled = "_peeled" if peels(scene) else ""
    name = next_ready(scene.job, passed=scene.ticket.id)
    if not name:
        return say(f"bar.finish{peeled}.{'rack' if scene.job.rack else 'last'}")
    following = scene.job.tickets[name]
    if following.garment.line != scene.ticket.garment.line:
        return say(f"bar.finish{peeled}")
    ahead, panel = scene.plan.passes[following.passage], scene.passage.panel
    if ahead.part is not None and ahead.part.nth > 1 and ahead.panel == panel:
        pieces = tuple(f"{element}.1" for element in ahead.part.elements)
        return say(f"bar.finish{peeled}.again_part", elements=element_words(pieces))
    panel = ahead.panel
    return say(f"bar.finish{peeled}.again", panel=panel_word(panel))
