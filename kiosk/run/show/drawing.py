"""A garment as the screens draw it: its place in the procedure, and what lies on the platen."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.catalog.base import Message, say
from kiosk.plan.model import Pass, Phase
from kiosk.run.show.parts import Done, Mark, PieceView, StackSlab
from kiosk.run.show.scene import Scene
from kiosk.run.show.stack import LAYING, closed_stack, open_stack, pieces


@dataclass(frozen=True, slots=True)
class Drawing:
    """All that is drawn of a garment; `sheet` is that of the closing at hand or ahead."""

    ribbon: tuple[Mark, ...] = ()
    phase: Phase | None = None
    sheet: bool | None = None
    stack: tuple[StackSlab, ...] = ()
    pieces: tuple[PieceView, ...] = ()
    border_check: bool = False


NOTHING = Drawing()


def draw(scene: Scene, pressed: bool, stack: bool) -> Drawing:
    """Return the drawing of a scene; `stack` False leaves the platen away."""
    passage, move = scene.passage, scene.move
    ahead = scene.pressing if pressed else scene.closing_ahead
    return Drawing(
        ribbon=ribbon(passage, move.first, max(move.first, move.last)),
        phase=_phase(scene),
        sheet=None if ahead is None else ahead.sheet,
        stack=_stack(scene, pressed) if stack else (),
        pieces=pieces(scene.plan, passage, move.first, move.last) if stack else (),
        border_check=Phase.LAY_TOP in scene.phases,
    )


def _stack(scene: Scene, pressed: bool) -> tuple[StackSlab, ...]:
    move = scene.move
    if pressed:
        return closed_stack(scene.plan, scene.passage, move.first)
    return open_stack(scene.plan, scene.passage, move.first, move.last, scene.sheet_comes_on)


def _phase(scene: Scene) -> Phase:
    """The phase that a screen draws: of a grouped move the laying, else its last."""
    laying = next((step.phase for step in scene.steps if step.phase in LAYING), None)
    return laying or (scene.steps[-1].phase if scene.steps else scene.pressing.phase)


LABELS: dict[Phase, Message] = {
    Phase.LOAD: say("ribbon.load"),
    Phase.PRE_PRESS: say("ribbon.pre_press"),
    Phase.LAY: say("ribbon.lay"),
    Phase.TACK: say("ribbon.tack"),
    Phase.REMOVE_CARRIER: say("ribbon.carrier"),
    Phase.LAY_TOP: say("ribbon.lay_top"),
    Phase.COVER: say("ribbon.sheet"),
    Phase.FINAL: say("ribbon.final"),
    Phase.PEEL: say("ribbon.peel"),
    Phase.INSPECT: say("ribbon.inspect"),
}


def ribbon(passage: Pass, first: int, last: int) -> tuple[Mark, ...]:
    """Return the fields of `passage` with its steps `first`..`last` at hand.

    All phases of a grouped move are NOW: what happens inside it is not seen.
    """
    return tuple(
        Mark(step.phase, LABELS[step.phase], _done(index, first, last))
        for index, step in enumerate(passage.steps)
    )


def _done(index: int, first: int, last: int) -> Done:
    if index < first:
        return Done.DONE
    return Done.NOW if index <= last else Done.AHEAD
