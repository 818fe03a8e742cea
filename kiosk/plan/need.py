"""What a job takes from the drawers: pieces, spares, stock, shortage; never the wearers' names."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import field

from kiosk.catalog.base import characters, dataclass
from kiosk.catalog.model import BY_CODE, Packs, RosterLine, SpareRule, Stock, same_height
from kiosk.plan.model import Piece, Plan
from kiosk.plan.place.placement import Heights, class_of, element_heights

PIECE = ""  # the character of an element without roster text: one piece per garment


@dataclass(frozen=True, slots=True, order=True)
class Pick:
    """The key of one kind of piece: `character` of `element`, colour, height, layer, material."""

    panel: str
    element: str
    layer: int
    colour: str
    material: str
    height_inches: float
    character: str


@dataclass(frozen=True, slots=True)
class BagPiece:
    """What goes into a garment's bag for one piece: `characters` in reading order."""

    piece: Piece
    height_inches: float
    characters: tuple[str, ...]


AS_PLANNED: Heights = {}


def count_picks(
    plan: Plan, roster: Iterable[RosterLine], heights: Heights = AS_PLANNED
) -> Mapping[Pick, int]:
    """Return how many of each character the whole roster takes, without scrap and spares.

    `heights` are those lowered to fit the roster's names (see `fitted_heights`). A garment of an
    unknown size is not counted yet: see `without_size`.
    """
    letters: dict[tuple[str, int], Counter[str]] = {}
    for line in roster:
        if line.size not in BY_CODE:
            continue
        for place, piece in enumerate(plan.pieces):
            found = letters.setdefault((line.size, place), Counter())
            found.update(_characters(piece, line))
    counts: Counter[Pick] = Counter()
    for (size, place), found in letters.items():
        piece = plan.pieces[place]
        height = _height(plan, piece, size, heights)
        for character, count in found.items():
            kind = piece.panel, piece.element, piece.layer, piece.colour, piece.material
            counts[Pick(*kind, height, character)] += count
    return counts


def pull_counts(plan: Plan, roster: Iterable[RosterLine]) -> tuple[tuple[str, str, int], ...]:
    """Return (element, colour, count of characters) for the roster, in the plan's order."""
    counts: Counter[tuple[str, str]] = Counter()
    for pick, count in count_picks(plan, roster).items():
        counts[pick.element, pick.colour] += count
    kinds = dict.fromkeys((piece.element, piece.colour) for piece in plan.pieces)
    return tuple((*each, counts[each]) for each in kinds if counts[each])


def without_size(roster: Iterable[RosterLine]) -> tuple[RosterLine, ...]:
    """Return the lines whose size is in no table: their pieces have no height yet."""
    return tuple(line for line in roster if line.size not in BY_CODE)


def bag(plan: Plan, line: RosterLine, heights: Heights = AS_PLANNED) -> tuple[BagPiece, ...]:
    """Return what goes into one garment's bag, in the recipe's order, from the fabric up.

    A piece without characters is left out (a garment may have no name). Empty for an unknown size.
    """
    if line.size not in BY_CODE:
        return ()
    found = []
    for piece in plan.pieces:
        height = _height(plan, piece, line.size, heights)
        letters = tuple(_characters(piece, line))
        if letters:
            found.append(BagPiece(piece, height, letters))
    return tuple(found)


def _height(plan: Plan, piece: Piece, size: str, heights: Heights) -> float:
    fitted = heights.get((piece.panel, piece.element, class_of(size)))
    return fitted or element_heights(plan, piece.panel, size)[piece.element]


def _characters(piece: Piece, line: RosterLine) -> list[str]:
    text = line.text_of(piece.element)
    return [PIECE] if text is None else characters(text)


Counts = Mapping[str, int]


@dataclass(frozen=True, slots=True, order=True)
class Drawer:
    """Pieces that differ only by character; height in inches.

    Their place on the garment makes no difference; their layer does: a lower layer is cut wider
    than the one on it.
    """

    material: str
    colour: str
    height_inches: float
    layer: int
    layers: int


@dataclass(frozen=True, slots=True)
class Need:
    """What is to come out of one drawer, by character, and what is in it.

    `stock` is empty if nobody counts it. A piece without text has the character "".
    """

    drawer: Drawer
    pieces: Counts
    spares: Counts = field(default_factory=dict)
    stock: Counts = field(default_factory=dict)

    @property
    def shortage(self) -> Counts:
        """How many of each character are missing for the garments and their spares."""
        return {c: n for c in self.pieces if (n := self.total(c) - self.stock.get(c, 0)) > 0}

    def total(self, character: str) -> int:
        """Return how many of one character are needed, spares included."""
        return self.pieces.get(character, 0) + self.spares.get(character, 0)


def needs(
    plan: Plan, picks: Mapping[Pick, int], packs: Packs, stock: Iterable[Stock] | None
) -> tuple[Need, ...]:
    """Return what each drawer must supply for `picks` (see `count_picks`), sorted by drawer."""
    stocks = tuple(stock or ())
    by_drawer: dict[Drawer, Counter[str]] = {}
    layers = {(piece.panel, piece.element): piece.layers for piece in plan.pieces}
    for pick, count in picks.items():
        drawer = drawer_of(pick, layers[pick.panel, pick.element])
        by_drawer.setdefault(drawer, Counter())[pick.character] += count
    return tuple(
        _need(drawer, dict(sorted(counts.items())), packs, stocks)
        for drawer, counts in sorted(by_drawer.items())
    )


def drawer_of(pick: Pick, layers: int) -> Drawer:
    """Return the drawer of a pick whose element has `layers` layers."""
    return Drawer(pick.material, pick.colour, pick.height_inches, pick.layer, layers)


def _need(drawer: Drawer, pieces: Counts, packs: Packs, stocks: tuple[Stock, ...]) -> Need:
    in_stock: Counter[str] = Counter()
    for stock in stocks:
        if _in_drawer(stock, drawer):
            in_stock.update({c: n for c, n in stock.pieces.items() if c in pieces})
    spares = {c: n for c in pieces if (n := _rule(c, packs).spares(pieces[c]))}
    return Need(drawer, pieces, spares, dict(in_stock))


def _rule(character: str, packs: Packs) -> SpareRule:
    if character.isdigit():
        return packs.digits
    return packs.letters if character[:1].isalpha() else packs.others


def _in_drawer(stock: Stock, drawer: Drawer) -> bool:
    return (
        (stock.material, stock.colour) == (drawer.material, drawer.colour)
        and (stock.layer, stock.layers) == (drawer.layer, drawer.layers)
        and same_height(stock.height, drawer.height_inches)
    )
