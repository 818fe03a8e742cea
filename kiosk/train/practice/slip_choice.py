"""Random choice of the slips to plant on a garment: kinds, steps and values."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from random import Random

from kiosk.catalog.model import Peel
from kiosk.plan.group import elements_of
from kiosk.plan.model import HOT_PHASES, LAYING, Phase
from kiosk.plan.place import HALF_WIDTHS, class_of
from kiosk.train.practice.bench import (
    FOOTED,
    SETTING,
    Bench,
    BenchJob,
    BenchPiece,
    LaidPiece,
    WorkPosition,
    bench_at,
)
from kiosk.train.practice.looks import SlipKind
from kiosk.train.practice.slips import PlantedSlip, can_share_garment

UPSIDE_DOWN = str.maketrans("69", "96")
LOOKS_TURNED = frozenset("234567")
"""Figures that visibly lie with their back up; the others look nearly the same both ways."""
TWINS = {"6": "9", "9": "6"}
OTHERS = ("TULMERO", "ANDIVAR", "QUESTAN")  # made-up names
OTHER_FILMS = ("orange", "green", "purple", "white")
SHIFT_INSIDE = 0.3  # inches that a misplaced seam lies inside the platen's edge
OFF = (1.15, 1.3)  # a piece's offset in borders; more than 1 leaves no border on one side
BODIES = ("back", "front")


# -- where a slip is possible ------------------------------------------------------------------


def possible_slips(wanted: BenchJob, passage: int, dice: Random) -> Iterator[PlantedSlip]:
    """Yield one slip of each kind possible in this pass, at a random step that allows it."""
    for slip, where in _WHERE.items():
        steps = list(where(wanted, passage))
        if steps:
            made = _MADE[slip](wanted, PlantedSlip(slip, passage, dice.choice(steps)), dice)
            if made is not None:
                yield made


def _phases(*phases: Phase, bare: bool = False) -> Callable[[BenchJob, int], Iterator[int]]:
    """Return a finder of a pass's steps in these phases; `bare` adds the setting of the press."""

    def steps(wanted: BenchJob, passage: int) -> Iterator[int]:
        if bare and passage == 0:
            yield SETTING
        for n, step in enumerate(wanted.plan.passes[passage].steps):
            if step.phase in phases:
                yield n

    return steps


def _first_laid(element: str) -> Callable[[BenchJob, int], Iterator[int]]:
    def steps(wanted: BenchJob, passage: int) -> Iterator[int]:
        laid = [
            n for n in _phases(*LAYING)(wanted, passage) if element in _laid(wanted, passage, n)
        ]
        yield from laid[:1]

    return steps


def _laid(wanted: BenchJob, passage: int, step: int) -> list[str]:
    """Return the elements with a text on this garment that a step lays."""
    pieces = wanted.plan.passes[passage].steps[step].pieces
    return [element for element in elements_of(pieces) if wanted.says(element)]


def _stacked(wanted: BenchJob, passage: int) -> Iterator[int]:
    """Yield the first laying step, if another layer goes on top later."""
    if any(step.phase is Phase.LAY_TOP for step in wanted.plan.passes[passage].steps):
        yield next(_phases(Phase.LAY)(wanted, passage))


_LOAD = _phases(Phase.LOAD)
_WHERE: Mapping[SlipKind, Callable[[BenchJob, int], Iterable[int]]] = {
    SlipKind.LAST_SETTING: _phases(*HOT_PHASES, bare=True),
    SlipKind.PLATEN: _phases(Phase.LOAD, bare=True),
    SlipKind.CARD: _phases(Phase.LOAD, bare=True),
    SlipKind.COLLAR: _LOAD,
    SlipKind.SEAM: _LOAD,
    SlipKind.SIX_NINE: _first_laid("number"),
    SlipKind.DIGIT_TOO_MANY: _first_laid("number"),
    SlipKind.WRONG_DIGIT: _first_laid("number"),
    SlipKind.SWAPPED: _first_laid("number"),
    SlipKind.FACE_DOWN: _first_laid("number"),
    SlipKind.NAME: _first_laid("name"),
    SlipKind.LAYERS: _stacked,
    SlipKind.COLOUR: _phases(*LAYING),
    SlipKind.LINER: _phases(*LAYING),
    SlipKind.CARRIER: _phases(Phase.REMOVE_CARRIER),
    SlipKind.BORDER: _phases(Phase.LAY_TOP),
    SlipKind.SHEET: _phases(Phase.TACK, Phase.FINAL),
    SlipKind.PEEL: _phases(Phase.PEEL),
}


# -- the values of a slip ----------------------------------------------------------------------


def _without_values(wanted: BenchJob, put: PlantedSlip, dice: Random) -> PlantedSlip:
    return put


def _setting(wanted: BenchJob, put: PlantedSlip, dice: Random) -> PlantedSlip:
    asked = _right(wanted, put).degrees
    shown = asked + dice.choice((-40, -30, -20, 20, 30))
    values = (("shown", shown), ("asked", asked), ("unit", wanted.plan.unit.value))
    return replace(put, values=values)


def _figure(wanted: BenchJob, put: PlantedSlip, dice: Random) -> PlantedSlip | None:
    """Return the slip on one figure of the number: turned, face down, or a wrong figure."""
    number = wanted.garment.number
    fits = {
        SlipKind.SIX_NINE: FOOTED,
        SlipKind.FACE_DOWN: LOOKS_TURNED,
        SlipKind.WRONG_DIGIT: frozenset("0123456789"),
    }
    able = [n for n, figure in enumerate(number) if figure in fits[put.slip]]
    if not able:
        return None
    nth = dice.choice(able)
    own = number[nth]
    taken = dice.choice([d for d in "0123456789" if d not in (own, TWINS.get(own, ""))])
    new = {SlipKind.SIX_NINE: own.translate(UPSIDE_DOWN), SlipKind.FACE_DOWN: own}.get(
        put.slip, taken
    )
    held = number[:nth] + new + number[nth + 1 :]
    layer = min(piece.layer for piece in wanted.plan.pieces if piece.element == "number")
    return replace(
        put,
        cut=BenchPiece("number", nth, layer),
        values=(("held", held), ("number", number), ("figure", own)),
    )


def _number(wanted: BenchJob, put: PlantedSlip, dice: Random) -> PlantedSlip | None:
    """Return the slip on the whole number: reversed, or with one figure too many."""
    number = wanted.garment.number
    if not number.isdecimal():
        return None
    held = number + dice.choice(number)
    if put.slip is SlipKind.SWAPPED:
        held = number[::-1]
        if held == number:
            return None
    return replace(
        put, cut=BenchPiece("number", -1, 1), values=(("held", held), ("number", number))
    )


def _name(wanted: BenchJob, put: PlantedSlip, dice: Random) -> PlantedSlip | None:
    """Return the slip on the name: two letters swapped, or another name."""
    name = wanted.name
    able = [n for n in range(1, len(name) - 1) if name[n] != name[n + 1]]
    if not able or len(name) < 3:
        return None
    n = dice.choice(able)
    near = name[:n] + name[n + 1] + name[n] + name[n + 2 :]
    held = near if dice.random() < 0.5 else next(o for o in OTHERS if o != name)
    return replace(put, cut=BenchPiece("name", -1, 1), values=(("held", held), ("name", name)))


def _card(wanted: BenchJob, put: PlantedSlip, dice: Random) -> PlantedSlip:
    """Return the slip with another garment's card: another number and name."""
    number = wanted.garment.number
    held = dice.choice([n for n in ("4", "23", "57", "80") if n != number])
    values = (
        ("held", held),
        ("number", number),
        ("name", next(o for o in OTHERS if o != wanted.name)),
    )
    return replace(put, values=values)


def _piece(wanted: BenchJob, put: PlantedSlip, dice: Random) -> PlantedSlip | None:
    """Return the slip on a random fitting piece of the step, or None if no piece fits."""
    bench = _right(wanted, put)
    names = wanted.plan.passes[put.passage].steps[put.index].pieces
    own = [each for each in bench.pieces if f"{each.cut.element}.{each.cut.layer}" in names]
    if put.slip is SlipKind.LINER:
        own = [each for each in own if each.carrier]
    if put.slip is SlipKind.LAYERS:
        tops = {p.element for p in wanted.plan.pieces if p.layers > 1}
        own = [each for each in own if each.cut.element in tops]
    if not own:
        return None
    chosen = dice.choice(own)
    return replace(put, cut=chosen.cut, values=tuple(_piece_values(wanted, put.slip, chosen, dice)))


def _piece_values(
    wanted: BenchJob, slip: SlipKind, chosen: LaidPiece, dice: Random
) -> Iterator[tuple[str, str | int | float]]:
    if slip is SlipKind.COLOUR:
        own = {piece.colour for piece in wanted.plan.pieces}
        yield "held", dice.choice([each for each in OTHER_FILMS if each not in own])
        yield "asked", chosen.colour
    if slip is SlipKind.BORDER:
        across, far = dice.choice(((0, 1), (1, 0))), dice.choice(OFF) * dice.choice((-1, 1))
        yield "right", across[0] * far
        yield "up", across[1] * far


def _seam(wanted: BenchJob, put: PlantedSlip, dice: Random) -> PlantedSlip | None:
    """Return the slip that shifts a body until a side seam is on the platen, or None."""
    own = wanted.plan.passes[put.passage]
    half = HALF_WIDTHS[class_of(wanted.garment.size)]
    beyond = half - wanted.plan.platen_width_inches / 2
    if own.panel not in BODIES or beyond <= 0.2:
        return None
    return replace(put, values=(("shift", dice.choice((-1, 1)) * (beyond + SHIFT_INSIDE)),))


def _peel(wanted: BenchJob, put: PlantedSlip, dice: Random) -> PlantedSlip | None:
    """Return the slip with the clock long after a hot peel, or long before a warm or cold one."""
    ticket = _right(wanted, put, 0.0).ticket
    if ticket.window is None or ticket.peel is None:
        return None
    early, late = ticket.window
    soon = ticket.peel is not Peel.HOT
    seconds = round(early * 0.2) if soon else round(late + 60)
    values = (("seconds", seconds), ("early", round(early)), ("late", round(late)))
    return replace(put, values=(*values, ("soon", int(soon))))


def _right(wanted: BenchJob, put: PlantedSlip, clock: float | None = None) -> Bench:
    """Return the bench as it should be after the slip's step."""
    return bench_at(wanted, WorkPosition(put.passage, put.index, put.index), clock)


_MADE: Mapping[SlipKind, Callable[[BenchJob, PlantedSlip, Random], PlantedSlip | None]] = {
    SlipKind.LAST_SETTING: _setting,
    SlipKind.PLATEN: _without_values,
    SlipKind.CARD: _card,
    SlipKind.COLLAR: _without_values,
    SlipKind.SEAM: _seam,
    SlipKind.SIX_NINE: _figure,
    SlipKind.DIGIT_TOO_MANY: _number,
    SlipKind.WRONG_DIGIT: _figure,
    SlipKind.SWAPPED: _number,
    SlipKind.FACE_DOWN: _figure,
    SlipKind.NAME: _name,
    SlipKind.LAYERS: _piece,
    SlipKind.COLOUR: _piece,
    SlipKind.LINER: _piece,
    SlipKind.CARRIER: _piece,
    SlipKind.BORDER: _piece,
    SlipKind.SHEET: _without_values,
    SlipKind.PEEL: _peel,
}


# -- the choice for one garment ----------------------------------------------------------------

EACH, HAVE = 5, 2
"""Of every EACH garments, HAVE get slips, chosen at random so that nobody can foresee them."""
MORE = 0.5
"""The chance of each of two further slips on a garment that has one."""
BACK = 0.75
"""How often a kind missed the last time is preferred, if there is one."""


def planted(
    wanted: BenchJob, before: tuple[frozenset[str], frozenset[str]], nth: int, operator: str
) -> list[PlantedSlip]:
    """Return the slips for a trainee's `nth` garment; most garments have none.

    `before` holds the kinds missed the last time, which come back, and all kinds shown so far;
    kinds not yet shown come next.
    """
    row = Random(f"{operator}/{nth // EACH}")
    if nth % EACH not in row.sample(range(EACH), HAVE):
        return []
    missed, seen = before
    dice = Random(f"{operator}/{nth}/{wanted.plan.recipe}/slips")
    able = [put for n in range(len(wanted.plan.passes)) for put in possible_slips(wanted, n, dice)]
    count = 1 + (dice.random() < MORE) + (dice.random() < MORE)
    chosen: list[PlantedSlip] = []
    while able and len(chosen) < count:
        back = [put for put in able if put.slip.value in missed]
        new = [put for put in able if put.slip.value not in seen]
        often = back if back and dice.random() < BACK else new or able
        chosen.append(dice.choice(often if dice.random() < 0.8 else able))
        able = [put for put in able if can_share_garment(put, chosen[-1])]
    return chosen
