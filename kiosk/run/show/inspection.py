"""What to look at before a garment is given its result: what only eyes can find."""

from collections.abc import Iterator

from kiosk.catalog.base import Message, say
from kiosk.plan.model import LAYING, Piece
from kiosk.plan.phrases import element_words, panel_word
from kiosk.run.facts import label_of
from kiosk.run.show.drawing import carried_in, has_stack, laid_before, piece_names
from kiosk.run.show.scene import Scene


def inspection(scene: Scene) -> Iterator[Message]:
    """What can go wrong with any garment and only eyes can find."""
    panel, lying = panel_word(scene.passage.panel), _lying(scene)
    if not lying:
        yield from _cloth(scene)
        return
    if scene.passage.part is None or {"name", "number"} <= {piece.element for piece in lying}:
        yield say("line.inspect.match", panel=panel)
    else:
        pieces = tuple(piece.name for piece in lying)
        yield say("line.inspect.part", panel=panel, elements=element_words(pieces))
    yield _order(scene, lying)
    bare = not carried_in(scene.passage)
    yield say("line.inspect.bare" if bare else "line.inspect.whole")


def _cloth(scene: Scene) -> Iterator[Message]:
    """Nothing lies on the panel: the reason, and what to check on its cloth."""
    laid = tuple(piece_names(scene.passage.steps, LAYING))
    yield say("line.lacks", number=label_of(scene.ticket), elements=element_words(laid))
    yield say("line.inspect.cloth")


def _order(scene: Scene, lying: tuple[Piece, ...]) -> Message:
    """Digits swapped or turned, layers swapped, borders uneven."""
    digits = "digits" if any(p.element == "number" for p in lying) else "pieces"
    if not (has_stack(scene.plan, scene.passage) and any(p.layers > 1 for p in lying)):
        return say(f"line.inspect.{digits}")
    tops = {p.colour for p in lying if 1 < p.layers == p.layer}
    colour = tops.pop().upper() if len(tops) == 1 else ""
    return say(f"line.inspect.{digits}_{'on_top' if colour else 'layers'}", colour=colour)


def _lying(scene: Scene) -> tuple[Piece, ...]:
    """Return the pieces that lie on the panel after this pass."""
    panel = scene.passage.panel
    if sum(each.panel == panel for each in scene.plan.passes) < 2:
        return tuple(scene.pieces.values())
    laid = {*laid_before(scene.plan, scene.passage), *piece_names(scene.passage.steps, LAYING)}
    return tuple(piece for name, piece in scene.pieces.items() if name in laid)
