"""The short lines below a move: at most three."""

from collections.abc import Iterator, Sequence

from kiosk.catalog.base import Message, Value, say
from kiosk.catalog.model import Peel, size_named
from kiosk.plan.heat import time_note
from kiosk.plan.model import LAYING, PeelPlace, Phase, Piece, PlatenPart
from kiosk.plan.phrases import element_words, load_side, panel_word, ruler
from kiosk.plan.place import seam_ruler
from kiosk.run.facts import has_number_laid, label_of, lacking, peel_time
from kiosk.run.show import peeling, sentences
from kiosk.run.show.drawing import carried_in, laid_at
from kiosk.run.show.inspection import inspection
from kiosk.run.show.scene import Scene
from kiosk.run.state import CoolingPlace, TicketStage, elapsed

MOST = 3
MARKS = frozenset({"short", "early", "over", "unknown", "unasked", "told", "late"})


def move_lines(scene: Scene) -> tuple[Message, ...]:
    """Return the lines for the hands, the most needed first."""
    return tuple(_lines(scene))[:MOST]


def _lines(scene: Scene) -> Iterator[Message]:
    if Phase.PEEL in scene.phases or Phase.INSPECT in scene.phases:
        yield from _ending(scene)
        return
    yield from _unknown_size(scene)
    if Phase.LOAD in scene.phases:
        yield from _loading(scene)
    elif scene.sheet_before:
        yield say("line.sheet_off")
    waits = sentences.carriers_wait(scene)
    if scene.was_off_press and not waits:
        yield _with_side("line.load_again", scene)
    apart_line = peeling.carriers_apart(scene)
    if apart_line is not None:
        yield apart_line
    yield from _carriers(scene, waits)
    if waits:
        return
    yield from _repress_lines(scene)
    yield from _laying(scene)
    if scene.phases == {Phase.REMOVE_CARRIER} and sentences.freed_count(scene):
        yield say("line.carrier")
    if scene.sheet_comes_on:
        yield say("line.sheet")


def _with_side(sentence: str, scene: Scene) -> Message:
    side = load_side(scene.plan, scene.passage.panel)
    return say(sentence, side=say(f"line.load.{side}", panel=panel_word(scene.passage.panel)))


def _carriers(scene: Scene, waits: bool) -> Iterator[Message]:
    """When a tack's carriers come off, where to wait, and to lay the garment back afterwards."""
    waiting = [step for step in scene.steps if step.wait is not None]
    if not waiting:
        return
    zone, off = _zone(scene), scene.was_off_press or waiting[-1].place is not PeelPlace.PRESS
    if zone is not None and zone.id != "time.now_if_lifted":  # the move and its chip show it
        yield _with_basis(scene, zone) if waits else zone
    if scene.ticket.opened is None or sentences.not_due(scene):  # nobody saw how long it has cooled
        yield say("line.carriers_off_platen" if off else "line.carriers_on_platen")
    if off and (waits or not scene.was_off_press):
        yield _with_side("line.lay_back", scene)


def _repress_lines(scene: Scene) -> Iterator[Message]:
    """A final allowed again; or a closing with no hand steps before it."""
    if scene.is_repress:
        yield _which_way(scene)
        yield say("line.again")
        if not scene.sheet_ahead and scene.hot is not None and scene.hot.sheet:
            yield say("line.again_no_sheet")
    elif not scene.steps:
        yield say("line.as_before")


def _unknown_size(scene: Scene) -> Iterator[Message]:
    """Tell the operator if a piece's place is only a guess because the size is not known."""
    size, laying = scene.ticket.garment.size, not scene.phases.isdisjoint(LAYING)
    if laying and size_named(size) is None:
        yield say("line.size_unknown" if size else "line.size_none", size=size)


def _loading(scene: Scene) -> Iterator[Message]:
    """Three lines, fewer if pieces are laid in the same move: the most needed ones."""
    found = tuple(_load_lines(scene))
    most = MOST - bool(sentences.layer_laid(scene)) - bool(_missing_pieces(scene))
    last_one = sorted(rank for rank, _ in found)[:most][-1]
    yield from (line for rank, line in found if rank <= last_one)


def _load_lines(scene: Scene) -> Iterator[tuple[int, Message]]:
    """All possible lines for a load, in order, each with its rank, 0 the most needed."""
    leaving, part, other = scene.leaving, scene.passage.part, _other_set(scene)
    if leaving is not None:
        yield 0, _racked_line(scene, label_of(leaving))
    if other is not None:
        yield 2 if _same_side_before(scene) else 4, other
    if not scene.is_shifted:
        yield 3, _which_way(scene)
    if part is not None:
        yield 1, _seam(scene, part)
    if leaving is not None or sentences.layer_laid(scene) or scene.is_shifted:
        if other is None:
            yield 5, say("line.load.seams_flat")
        return
    yield 5, say("line.load.seams")
    yield 6, say("line.load.flat")


def _which_way(scene: Scene) -> Message:
    """Which way it lies; for a later part with no number yet, to check its name instead."""
    part, panel = scene.passage.part, scene.passage.panel
    has_name = "name" not in lacking(scene.ticket.garment, scene.nameless)
    if (
        has_name
        and part is not None
        and part.nth > 1
        and not has_number_laid(scene.plan, scene.ticket)
    ):
        return say("line.load.name_there")
    return say(f"line.load.{load_side(scene.plan, panel)}", panel=panel_word(panel))


def _same_side_before(scene: Scene) -> bool:
    """Whether the garment loaded last lay the same way, so the hands know how."""
    last = scene.job.tickets.get(scene.job.last_loaded)
    return last is not None and scene.plan.passes[last.passage].panel == scene.passage.panel


def _other_set(scene: Scene) -> Message | None:
    """The set of the garment, if it differs from the last one's: sizes may be equal."""
    last, own = scene.job.tickets.get(scene.job.last_loaded), scene.ticket.garment.set
    if last is None:
        return say("line.load.set", set=own) if own else None
    if last.garment.set == own:
        return None
    return say("line.load.other_set", set=own) if own else say("line.load.no_set")


def _seam(scene: Scene, part: PlatenPart) -> Message:
    """Where the seam lies on the ruler: the garment is shifted for a later part of the panel."""
    where = ruler(seam_ruler(part, scene.ticket.garment.size))
    collar = load_side(scene.plan, scene.passage.panel) in ("toward", "away")
    return say("line.load.collar_seam" if collar else "line.load.seam", ruler=where)


def left_on_platen(scene: Scene) -> tuple[Message, ...]:
    """What to do with the garment still on the platen while one on the rack is shown.

    After the next tap it is assumed to lie where it cools.
    """
    leaving, moved = scene.leaving, scene.state.moved
    if leaving is None or leaving.opened is None or moved is None or leaving.id == scene.ticket.id:
        return ()
    if scene.ticket.stage is not TicketStage.COOLING or elapsed(leaving.opened, moved)[0] > 0:
        return ()
    return (_racked_line(scene, label_of(leaving)),)


def _racked_line(scene: Scene, racked: str) -> Message:
    """The garment before this one: its hot carriers come off at the press, others wait."""
    steps = sentences.hot_peels(scene)
    if not steps:
        return say("line.racked", racked=racked)
    pieces = element_words(tuple(name for step in steps for name in step.pieces))
    return say("line.racked.peel", racked=racked, pieces=pieces, peel=sentences.peel_words(steps))


def _laying(scene: Scene) -> Iterator[Message]:
    names = scene.own_pieces(laid_at(scene.passage, scene.move.first, scene.move.last))
    layer = sentences.layer_laid(scene)
    if names:
        pieces = [scene.pieces[name] for name in names]
        yield laying_order(pieces, "top" if layer == "top" else "lay")
    if missing := _missing_pieces(scene):
        yield say("line.lacks", number=label_of(scene.ticket), elements=element_words(missing))
    if not names:
        return
    if layer in ("top", "next"):
        yield say("line.border")
        yield say("line.last_moment")
    else:
        bare = carried_in(scene.passage).isdisjoint(names)  # cut cloth has no liner
        yield say("line.edges" if bare else "line.liner")


def _missing_pieces(scene: Scene) -> tuple[str, ...]:
    """The pieces laid in this move that this garment does not have."""
    laid = laid_at(scene.passage, scene.move.first, scene.move.last)
    own = scene.own_pieces(laid)
    return tuple(name for name in laid if name not in own)


def laying_order(pieces: Sequence[Piece], where: str) -> Message:
    """Return the line for the colours and order of laying; `where` is `lay` or `top`."""
    colours = tuple(dict.fromkeys(piece.colour for piece in pieces))
    elements = element_words(tuple(piece.name for piece in pieces))
    if not any(colours):
        return say(f"line.{where}.plain", elements=elements)
    if len(colours) == 1:
        return _one_colour(colours[0].upper(), elements, where)
    if len(pieces) == 2 and all(colours):
        return say(
            f"line.{where}.two_colours",
            colour=colours[0].upper(),
            first=elements[0],
            other=colours[1].upper(),
            second=elements[1],
        )
    mixed: tuple[Value, ...] = tuple(
        (piece.colour.upper(), element) if piece.colour else element
        for element, piece in zip(elements, pieces, strict=True)
    )
    return say(f"line.{where}.mixed", pieces=mixed)


def _one_colour(colour: str, elements: tuple[str | Message, ...], where: str) -> Message:
    if len(elements) == 1:
        return say(f"line.{where}.one", colour=colour, first=elements[0])
    if len(elements) == 2:
        return say(f"line.{where}.two", colour=colour, first=elements[0], second=elements[1])
    return say(f"line.{where}.many", colour=colour, elements=elements)


def _ending(scene: Scene) -> Iterator[Message]:
    """Lines of the last move; marks come first, as reasons to inspect this garment closely."""
    at_hand = sentences.current_peels(scene)
    for mark in scene.ticket.marks:
        yield say(f"line.mark.{mark if mark in MARKS else 'other'}")
    zone = _zone(scene) if at_hand and not scene.goes_to_rack else None
    if at_hand and scene.sheet_before:
        yield say("line.sheet_off")
    if scene.goes_to_rack or sentences.must_wait(scene):
        if zone is not None:
            yield _with_basis(scene, zone)
        if zone is None or scene.ticket.lies is CoolingPlace.NOT_SAID:
            yield say("line.then_rack" if scene.goes_to_rack else "line.flat")
        return
    if zone is not None:
        yield zone
    if 0 < len(scene.passage.carriers) != sum(len(step.pieces) for step in at_hand[:1]):
        for step in at_hand:
            yield say(
                "line.peel.pieces",
                pieces=element_words(step.pieces),
                peel=sentences.peel_words((step,)),
            )
    if Phase.INSPECT not in scene.phases:
        yield say("line.peel.low")
        return
    panel_line, *other_lines = inspection(scene)
    yield panel_line  # the panel first: beside a hot window fewer lines fit
    yield from other_lines if zone is None else reversed(other_lines)


def _zone(scene: Scene) -> Message | None:
    """How long until the current peel is due or too late; None if it is time now."""
    if any(step.peel is Peel.HOT for step in sentences.current_peels(scene)[:1]):
        return sentences.hot_words(scene.job, scene.ticket, scene.now)
    time = peel_time(scene.job, scene.ticket, scene.now)
    words = None if time is None else sentences.zone_words("time", time)
    return None if words is None or words.id == "time.now" else words


def _with_basis(scene: Scene, zone: Message) -> Message:
    """How long to wait, as on its card, and the basis for it; both in one short line."""
    time = peel_time(scene.job, scene.ticket, scene.now)
    if time is None or time.basis is None:
        return zone
    note, zone = time_note(time.basis), sentences.zone_words("chip", time)
    return zone if note is None else say("line.zone", zone=zone, beside=note)
