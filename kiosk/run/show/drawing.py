"""Drawing of a garment: its procedure, the cross-section, the pieces laid."""

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from kiosk.catalog.base import Message, dataclass, say
from kiosk.plan.model import FREEING, LAYING, Pass, Phase, Piece, Plan, Step
from kiosk.plan.phrases import element_words
from kiosk.run.facts.moves import Move
from kiosk.run.facts.tickets import pieces_of
from kiosk.run.show.parts import Ink, PieceView, RibbonField, RibbonState, SlabKind, StackSlab
from kiosk.run.show.scene import Scene
from kiosk.run.show.sentences import carriers_wait
from kiosk.run.state.event import replace


@dataclass(frozen=True, slots=True)
class Drawing:
    """Everything drawn of a garment; `sheet` is for the current or next closing."""

    ribbon: tuple[RibbonField, ...] = ()
    phase: Phase | None = None
    sheet: bool | None = None
    stack: tuple[StackSlab, ...] = ()
    pieces: tuple[PieceView, ...] = ()
    border_check: bool = False


class DrawnPanel(NamedTuple):
    """The panel of a pass: the garment's own pieces by name, and pieces from earlier groups."""

    passage: Pass
    pieces: Mapping[str, Piece]
    before: tuple[str, ...]


def draw(scene: Scene, pressed: bool, stack: bool) -> Drawing:
    """Return the drawing of a scene; `stack` False leaves out the stack and the pieces."""
    passage, move = scene.passage, scene.move if pressed else _drawn_move(scene)
    panel = DrawnPanel(passage, scene.pieces, tuple(laid_before(scene.plan, passage)))
    return Drawing(
        ribbon=ribbon(
            passage, scene.move.first, max(scene.move.first, scene.move.last), scene.ticket.without
        ),
        phase=_phase(scene, move),
        sheet=scene.sheet_ahead,
        stack=_stack(scene, panel, move, pressed) if stack else (),
        pieces=pieces(panel, move.first, move.last) if stack else (),
        border_check=move is scene.move and Phase.LAY_TOP in scene.phases,
    )


def _drawn_move(scene: Scene) -> Move:
    """The part of the current move to draw: only a tack's carriers while they are pending."""
    move = scene.move
    if not carriers_wait(scene):
        return move
    freeing = sum(step.phase is Phase.REMOVE_CARRIER for step in scene.steps)
    return replace(move, last=move.first + freeing - 1)


def _stack(scene: Scene, panel: DrawnPanel, move: Move, pressed: bool) -> tuple[StackSlab, ...]:
    off = scene.bare_pieces
    if pressed:
        return closed_stack(panel, move.first, bool(scene.sheet_ahead), off)
    return open_stack(panel, move.first, move.last, scene.sheet_comes_on, off)


def _phase(scene: Scene, move: Move) -> Phase:
    """The phase to draw: the laying of a grouped move, else its last phase."""
    if move is not scene.move:
        return Phase.REMOVE_CARRIER
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


def ribbon(
    passage: Pass, first: int, last: int, without: tuple[int, ...] = ()
) -> tuple[RibbonField, ...]:
    """Return the fields of `passage`, with NOW for steps `first`..`last`.

    Steps in `without` have no field.
    """
    return tuple(
        RibbonField(step.phase, LABELS[step.phase], done)
        for index, step in enumerate(passage.steps)
        if index not in without
        for done in (
            RibbonState.DONE
            if index < first
            else RibbonState.NOW
            if index <= last
            else RibbonState.AHEAD,
        )
    )


PLATEN = StackSlab(SlabKind.PLATEN, say("stack.platen"))
SHEET = StackSlab(SlabKind.SHEET, say("stack.sheet"))
SHEET_COMING = StackSlab(SlabKind.SHEET, say("stack.sheet_on"), coming=True)
CARRIER = StackSlab(SlabKind.CARRIER, say("stack.carrier"))
CARRIER_COMING = StackSlab(SlabKind.CARRIER, say("stack.carrier"), coming=True)
CARRIER_LEAVING = StackSlab(SlabKind.CARRIER, say("stack.carrier_off"), coming=True)
CLOTH = StackSlab(SlabKind.CLOTH, say("stack.cloth"))
CLOTH_COMING = StackSlab(SlabKind.CLOTH, say("stack.cloth"), coming=True)
FILM = say("stack.film_plain")
PAD = StackSlab(SlabKind.PAD, say("stack.pad"))


def closed_stack(
    panel: DrawnPanel, step: int, sheet_on: bool, off: Iterable[str] = ()
) -> tuple[StackSlab, ...]:
    """Return the cross-section from the top while the press is closed on hot step `step`.

    The carriers of the pieces in `off` came off earlier than the steps show.
    """
    sheet = (SHEET,) if sheet_on else ()
    return (PLATEN, *sheet, *_films(panel, step, step, off), CLOTH, PAD)


def open_stack(
    panel: DrawnPanel, first: int, last: int, sheet_comes_on: bool, off: Iterable[str] = ()
) -> tuple[StackSlab, ...]:
    """Return the cross-section for hand steps `first`..`last`: present, going down, coming off."""
    loads = any(step.phase is Phase.LOAD for step in panel.passage.steps[first : last + 1])
    sheet = (SHEET_COMING,) if sheet_comes_on else ()
    return (*sheet, *_films(panel, first, last, off), CLOTH_COMING if loads else CLOTH, PAD)


def pieces(panel: DrawnPanel, first: int, last: int) -> tuple[PieceView, ...]:
    """Return all pieces of the pass's panel for the lay drawing, lowest layers first."""
    steps = panel.passage.steps
    laid_now = set(piece_names(steps[first : last + 1], LAYING))
    laid = {*panel.before, *piece_names(steps[:first], LAYING)}
    return tuple(
        PieceView(p.name, p.element, p.layer, p.colour, ink)
        for p in sorted(panel.pieces.values(), key=lambda p: p.layer)
        for ink in (Ink.NEXT if p.name in laid_now else Ink.LAID if p.name in laid else Ink.AHEAD,)
    )


def laid_at(passage: Pass, first: int, last: int) -> tuple[str, ...]:
    """Return the names of the pieces laid in steps `first`..`last`, in their order."""
    return tuple(piece_names(passage.steps[first : last + 1], LAYING))


def has_stack(plan: Plan, passage: Pass) -> bool:
    """Return whether a piece of more than one layer is laid in this pass."""
    by_name = pieces_of(plan, passage)
    return any(by_name[name].layers > 1 for name in piece_names(passage.steps, LAYING))


def _films(panel: DrawnPanel, first: int, last: int, off: Iterable[str]) -> Iterator[StackSlab]:
    """The films and carriers of each column from the top, column by column."""
    columns = _columns(panel, first, last, off)
    alone = len(columns) == 1
    for number, (element, column) in enumerate(columns):
        for slab in column:
            is_film = slab.kind is SlabKind.FILM and not alone
            label = _film(slab.colour, element) if is_film else slab.label
            yield slab if alone else replace(slab, label=label, column=number)


def _columns(
    panel: DrawnPanel, first: int, last: int, off: Iterable[str]
) -> list[tuple[str, tuple[StackSlab, ...]]]:
    """The distinct ways in which elements are built up now, each with one example element."""
    found: dict[str, list[StackSlab]] = {}
    passage, by_name, _ = panel
    coming = set(piece_names(passage.steps[first : last + 1], LAYING))
    present = {*_under_platen(panel), *piece_names(passage.steps[: last + 1], LAYING)} & set(
        by_name
    )
    freed = {*off, *piece_names(passage.steps[:first], FREEING)}
    leaving = set(piece_names(passage.steps[first : last + 1], FREEING))
    carried = carried_in(passage)
    for piece in sorted((by_name[n] for n in present), key=lambda p: (p.element, -p.layer)):
        column = found.setdefault(piece.element, [])
        if piece.name in carried and piece.name not in freed:
            column.append(_carrier(piece.name in leaving, piece.name in coming))
        label = _film(piece.colour, "")
        column.append(StackSlab(SlabKind.FILM, label, piece.colour, piece.name in coming))
    distinct = {
        tuple(map(_appearance, column)): (name, tuple(column)) for name, column in found.items()
    }
    return list(distinct.values())


def _appearance(slab: StackSlab) -> tuple[str, str, bool]:
    """Columns with equal values are drawn as one."""
    return slab.label.id, slab.colour, slab.coming


def carried_in(passage: Pass) -> set[str]:
    """Return the pieces that have a carrier at some moment of a pass."""
    return {*passage.carriers, *piece_names(passage.steps, FREEING)}


def _carrier(leaving: bool, coming: bool) -> StackSlab:
    if leaving:
        return CARRIER_LEAVING
    return CARRIER_COMING if coming else CARRIER


def _film(colour: str, element: str) -> Message:
    """A film's label: its colour, and its element if elements differ."""
    if not element:
        return say("stack.film", colour=colour.upper()) if colour else FILM
    word = element_words((f"{element}.1",))[0]
    if not colour:
        return say("stack.film", colour=word)
    return say("stack.film_of", colour=colour.upper(), element=word)


def piece_names(steps: Iterable[Step], phases: tuple[Phase, ...]) -> Iterator[str]:
    """Yield the names of the pieces in those steps that have one of these phases."""
    for step in steps:
        if step.phase in phases:
            yield from step.pieces


def _under_platen(panel: DrawnPanel) -> Iterator[str]:
    """Earlier pieces that lie under the platen, not beyond its edge."""
    part = panel.passage.part
    for name in panel.before:
        if name not in panel.pieces:
            continue
        if part is None or panel.pieces[name].element in (*part.elements, *part.under):
            yield name


def laid_before(plan: Plan, passage: Pass) -> Iterator[str]:
    """Yield the names of the pieces that earlier closing groups left on this panel."""
    for other in plan.passes:
        if other.panel == passage.panel and other.group < passage.group:
            yield from piece_names(other.steps, LAYING)
