"""The short lines below a move: at most three."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kiosk.catalog.message import Message, Value, say
from kiosk.plan.model import Phase, Piece
from kiosk.plan.phrases import panel_word
from kiosk.plan.reasons import element_words
from kiosk.run.naming import called
from kiosk.run.scene import Scene
from kiosk.run.sentences import after_heat, hot_peels, layer, must_wait, peel_words, peels
from kiosk.run.stack_view import carried_in, has_stack, laid_at

MOST = 3
MARKS = frozenset({"short", "early", "over", "unknown", "unasked"})


def move_lines(scene: Scene) -> tuple[Message, ...]:
    """Return the lines for the hands, the most needed first."""
    return tuple(_lines(scene))[:MOST]


def _lines(scene: Scene) -> Iterator[Message]:
    if Phase.PEEL in scene.phases or Phase.INSPECT in scene.phases:
        yield from _ending(scene)
        return
    if Phase.LOAD in scene.phases:
        yield from _loading(scene)
    elif _sheet_leaves(scene):
        yield say("line.sheet_off")
    if not scene.steps:
        yield say("line.as_before")
    if scene.ticket.represses:
        yield say("line.again")
    yield from _laying(scene)
    if scene.phases == {Phase.REMOVE_CARRIER}:
        yield say("line.carrier")
    if scene.sheet_comes_on:
        yield say("line.sheet")


def _loading(scene: Scene) -> Iterator[Message]:
    """Three lines where nothing else is done in the move, fewer otherwise."""
    racked, lays = scene.leaving, bool(layer(scene))
    if racked is not None:
        yield _racked(scene, called(racked))
    side = "toward" if scene.plan.collar_toward_operator else "away"
    yield say(f"line.load.{side}", panel=panel_word(scene.passage.panel))
    if racked is not None and lays:
        return
    if racked is not None or lays:
        yield say("line.load.seams_flat")
        return
    yield say("line.load.seams")
    yield say("line.load.flat")


def _racked(scene: Scene, racked: str) -> Message:
    """The garment before this one: its hot carriers come off at the press, the others wait."""
    steps = hot_peels(scene)
    if not steps:
        return say("line.racked", racked=racked)
    pieces = element_words(tuple(name for step in steps for name in step.pieces))
    return say("line.racked.peel", racked=racked, pieces=pieces, peel=peel_words(steps))


def _laying(scene: Scene) -> Iterator[Message]:
    names = laid_at(scene.passage, scene.move.first, scene.move.last)
    if not names:
        return
    top = layer(scene) in ("top", "next")
    yield order([scene.pieces[name] for name in names], "top" if top else "lay")
    if top:
        yield say("line.border")
        yield say("line.last_moment")
    else:
        bare = carried_in(scene.passage).isdisjoint(names)  # cut cloth has neither
        yield say("line.edges" if bare else "line.liner")


def order(pieces: Sequence[Piece], where: str) -> Message:
    """Return in which colour and order pieces are laid; `where` is `lay` or `top`."""
    colours = tuple(dict.fromkeys(piece.colour for piece in pieces))
    elements = element_words(tuple(piece.name for piece in pieces))
    if not any(colours):
        return say(f"line.{where}.plain", elements=elements)
    if len(colours) == 1:
        return _one_colour(colours[0].upper(), elements, where)
    if len(pieces) == 2:
        return say(
            f"line.{where}.two_colours",
            colour=colours[0].upper(),
            first=elements[0],
            other=colours[1].upper(),
            second=elements[1],
        )
    mixed: tuple[Value, ...] = tuple(
        (piece.colour.upper(), element) for element, piece in zip(elements, pieces, strict=True)
    )
    return say(f"line.{where}.mixed", pieces=mixed)


def _one_colour(colour: str, elements: tuple[str, ...], where: str) -> Message:
    if len(elements) == 1:
        return say(f"line.{where}.one", colour=colour, first=elements[0])
    if len(elements) == 2:
        return say(f"line.{where}.two", colour=colour, first=elements[0], second=elements[1])
    return say(f"line.{where}.many", colour=colour, elements=elements)


def _ending(scene: Scene) -> Iterator[Message]:
    """Marks of what went wrong come first: they are why this garment needs a second look."""
    at_hand = peels(scene)
    for mark in scene.ticket.marks:
        yield say(f"line.mark.{mark if mark in MARKS else 'other'}")
    if at_hand and _sheet_leaves(scene):
        yield say("line.sheet_off")
    if scene.goes_to_rack or must_wait(scene):
        yield say("line.then_rack" if scene.goes_to_rack else "line.flat")
        return
    if 0 < len(scene.passage.carriers) != sum(len(step.pieces) for step in at_hand[:1]):
        for step in at_hand:
            yield say(
                "line.peel.pieces", pieces=element_words(step.pieces), peel=peel_words((step,))
            )
    if Phase.INSPECT not in scene.phases:
        yield say("line.peel.low")
        return
    yield from inspection(scene)


def inspection(scene: Scene) -> Iterator[Message]:
    """What can have gone wrong with any garment and that nothing but eyes can find."""
    yield say("line.inspect.match", panel=panel_word(scene.passage.panel))
    yield _order(scene)
    bare = not carried_in(scene.passage)
    yield say("line.inspect.bare" if bare else "line.inspect.whole")


def _order(scene: Scene) -> Message:
    """Digits swapped or turned, layers swapped, borders uneven."""
    digits = "digits" if any(p.element == "number" for p in scene.pieces.values()) else "pieces"
    if not has_stack(scene.plan, scene.passage):
        return say(f"line.inspect.{digits}")
    tops = {p.colour for p in scene.pieces.values() if 1 < p.layers == p.layer}
    colour = tops.pop().upper() if len(tops) == 1 else ""
    return say(f"line.inspect.{digits}_{'on_top' if colour else 'layers'}", colour=colour)


def _sheet_leaves(scene: Scene) -> bool:
    """Whether a cover sheet still lies on the garment from the closing just before."""
    return after_heat(scene) and scene.pressed is not None and scene.pressed.sheet
