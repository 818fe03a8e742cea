"""What each garment of an order will look like as worn, for the customer to look over and sign."""

from collections.abc import Collection, Iterable, Mapping

from kiosk.catalog.base import dataclass
from kiosk.catalog.model import RosterLine
from kiosk.catalog.rules import Face
from kiosk.plan.model import Plan
from kiosk.plan.place import Box, Team, bed_of, class_of, lay_out, right_side, said

BELOW = 1.5  # inches of cloth shown below the lowest ink
WIDEST = 20.0  # inches: no garment's panel is wider

Points = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class PanelProof:
    """A panel as a reader sees it: inches, x to the right, y down from the collar seam.

    `films` names the colour of each layer by element, the lowest first.
    """

    panel: str
    outline: Points
    boxes: tuple[Box, ...]
    films: Mapping[str, tuple[str, ...]]

    @property
    def extent(self) -> tuple[float, float, float, float]:
        """Left, top, width and height of all that is drawn: a name may be wider than the cloth."""
        inks = [box.ink for box in self.boxes if box.letters]
        xs = [x for x, _ in self.outline] + [x for ink in inks for x in (ink[0], ink[2])]
        ys = [y for _, y in self.outline] + [y for ink in inks for y in (ink[1], ink[3])]
        return min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys)


@dataclass(frozen=True, slots=True)
class GarmentProof:
    """A garment of the order with its panels, in the recipe's order.

    `lacking` are the letters that no face has: their width is not known.
    """

    line: RosterLine
    panels: tuple[PanelProof, ...]
    lacking: tuple[str, ...]


def proofs(
    plan: Plan, roster: Iterable[RosterLine], face: Face, only: Collection[str] | None = None
) -> tuple[GarmentProof, ...]:
    """Return every garment of an order, in the order's own sequence; of the lines `only`, if given.

    The heights of names are those of the whole order.
    """
    lines = tuple(roster)
    team = Team(tuple((line.size, line.name) for line in lines))
    wanted = (line for line in lines if only is None or line.line in only)
    return tuple(_garment(plan, line, face, team) for line in wanted)


def _garment(plan: Plan, line: RosterLine, face: Face, team: Team) -> GarmentProof:
    panels = dict.fromkeys(piece.panel for piece in plan.pieces)
    made = tuple(_panel(plan, panel, line, face, team) for panel in panels)
    letters = (letter for panel in made for box in panel.boxes for letter in box.letters)
    lacking = dict.fromkeys(letter.character for letter in letters if not letter.known)
    return GarmentProof(line, made, tuple(lacking))


def _panel(plan: Plan, panel: str, line: RosterLine, face: Face, team: Team) -> PanelProof:
    pieces = [piece for piece in plan.pieces if piece.panel == panel]
    texts = {each.element: said(line, each.element) for each in pieces}
    boxes = lay_out(bed_of(plan), panel, line.size, texts, face, team).boxes
    upward = sorted(pieces, key=lambda piece: piece.layer)
    films = {e: tuple(each.colour for each in upward if each.element == e) for e in texts}
    return PanelProof(panel, _outline(panel, line.size, boxes), boxes, films)


def _outline(panel: str, size: str, boxes: tuple[Box, ...]) -> Points:
    """The garment from its collar to a little below the lowest ink."""
    end = max((box.ink[3] for box in boxes), default=4.0) + BELOW
    right = right_side(panel, class_of(size), WIDEST, end)
    return (*right, *((-x, y) for x, y in reversed(right) if x))
