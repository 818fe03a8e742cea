"""What is looked over before a garment's result is said: what only eyes can find."""

from collections.abc import Iterator

from kiosk.catalog.base import Message, say
from kiosk.plan.model import Piece
from kiosk.plan.phrases import element_words, panel_word
from kiosk.run.show.drawing import carried_in, has_stack
from kiosk.run.show.scene import Scene


def inspection(scene: Scene) -> Iterator[Message]:
    """What can have gone wrong with any garment and that nothing but eyes can find."""
    panel, there = panel_word(scene.passage.panel), _lying(scene)
    if scene.passage.part is None or {"name", "number"} <= {piece.element for piece in there}:
        yield say("line.inspect.match", panel=panel)
    elif there:
        pieces = tuple(piece.name for piece in there)
        yield say("line.inspect.part", panel=panel, elements=element_words(pieces))
    if there:
        yield _order(scene, there)
    bare = not carried_in(scene.passage)
    yield say("line.inspect.bare" if bare else "line.inspect.whole")


def _order(scene: Scene, there: tuple[Piece, ...]) -> Message:
    """Digits swapped or turned, layers swapped, borders uneven."""
    digits = "digits" if any(p.element == "number" for p in there) else "pieces"
    if not has_stack(scene.plan, scene.passage):
        return say(f"line.inspect.{digits}")
    tops = {p.colour for p in there if 1 < p.layers == p.layer}
    colour = tops.pop().upper() if len(tops) == 1 else ""
    return say(f"line.inspect.{digits}_{'on_top' if colour else 'layers'}", colour=colour)


def _lying(scene: Scene) -> tuple[Piece, ...]:
    """Return the pieces that lie on the panel once this pass is done: all but a later part's."""
    part = scene.passage.part
    if part is None:
        return tuple(scene.pieces.values())
    later = {
        element
        for each in scene.plan.passes
        if each.panel == scene.passage.panel and each.part is not None and each.part.nth > part.nth
        for element in each.part.elements
    }
    return tuple(piece for piece in scene.pieces.values() if piece.element not in later)
