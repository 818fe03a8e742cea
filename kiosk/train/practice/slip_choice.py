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


def possible_slips(job: BenchJob, passage: int, dice: Random) -> Iterator[PlantedSlip]:
    """Yield one slip of each kind possible in this pass, at a random step that allows it."""
    for kind, steps_of in _STEPS.items():
        steps = list(steps_of(job, passage))
        if steps:
            slip = _MAKERS[kind](job, PlantedSlip(kind, passage, dice.choice(steps)), dice)
            if slip is not None:
                yield slip


def _phases(*phases: Phase, bare: bool = False) -> Callable[[BenchJob, int], Iterator[int]]:
    """Return a finder of a pass's steps in these phases; `bare` adds the setting of the press."""

    def steps(job: BenchJob, passage: int) -> Iterator[int]:
        if bare and passage == 0:
            yield SETTING
        for n, step in enumerate(job.plan.passes[passage].steps):
            if step.phase in phases:
                yield n

    return steps


def _first_laid(element: str) -> Callable[[BenchJob, int], Iterator[int]]:
    def steps(job: BenchJob, passage: int) -> Iterator[int]:
        laid = [
            n for n in _phases(*LAYING)(job, passage) if element in _laid_elements(job, passage, n)
        ]
        yield from laid[:1]

    return steps


def _laid_elements(job: BenchJob, passage: int, step: int) -> list[str]:
    """Return the elements with a text on this garment that a step lays."""
    pieces = job.plan.passes[passage].steps[step].pieces
    return [element for element in elements_of(pieces) if job.text_of(element)]


def _stacked(job: BenchJob, passage: int) -> Iterator[int]:
    """Yield the first laying step, if another layer goes on top later."""
    if any(step.phase is Phase.LAY_TOP for step in job.plan.passes[passage].steps):
        yield next(_phases(Phase.LAY)(job, passage))


_LOAD = _phases(Phase.LOAD)
_STEPS: Mapping[SlipKind, Callable[[BenchJob, int], Iterable[int]]] = {
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


def _without_values(job: BenchJob, slip: PlantedSlip, dice: Random) -> PlantedSlip:
    return slip


def _setting(job: BenchJob, slip: PlantedSlip, dice: Random) -> PlantedSlip:
    required = _right_bench(job, slip).degrees
    shown = required + dice.choice((-40, -30, -20, 20, 30))
    values = (("shown", shown), ("asked", required), ("unit", job.plan.unit.value))
    return replace(slip, values=values)


def _figure(job: BenchJob, slip: PlantedSlip, dice: Random) -> PlantedSlip | None:
    """Return the slip on one figure (turned, face down, wrong), or None if no figure fits."""
    number = job.garment.number
    fits = {
        SlipKind.SIX_NINE: FOOTED,
        SlipKind.FACE_DOWN: LOOKS_TURNED,
        SlipKind.WRONG_DIGIT: frozenset("0123456789"),
    }
    fitting = [n for n, figure in enumerate(number) if figure in fits[slip.kind]]
    if not fitting:
        return None
    nth = dice.choice(fitting)
    own = number[nth]
    wrong_figure = dice.choice([d for d in "0123456789" if d not in (own, TWINS.get(own, ""))])
    new = {SlipKind.SIX_NINE: own.translate(UPSIDE_DOWN), SlipKind.FACE_DOWN: own}.get(
        slip.kind, wrong_figure
    )
    held = number[:nth] + new + number[nth + 1 :]
    layer = min(piece.layer for piece in job.plan.pieces if piece.element == "number")
    return replace(
        slip,
        piece=BenchPiece("number", nth, layer),
        values=(("held", held), ("number", number), ("figure", own)),
    )


def _number(job: BenchJob, slip: PlantedSlip, dice: Random) -> PlantedSlip | None:
    """Return the slip on the whole number: reversed, or a figure too many; None if neither fits."""
    number = job.garment.number
    if not number.isdecimal():
        return None
    held = number + dice.choice(number)
    if slip.kind is SlipKind.SWAPPED:
        held = number[::-1]
        if held == number:
            return None
    return replace(
        slip, piece=BenchPiece("number", -1, 1), values=(("held", held), ("number", number))
    )


def _name(job: BenchJob, slip: PlantedSlip, dice: Random) -> PlantedSlip | None:
    """Return the slip on the name: two letters swapped, or another name; None if neither fits."""
    name = job.name
    fitting = [n for n in range(1, len(name) - 1) if name[n] != name[n + 1]]
    if not fitting or len(name) < 3:
        return None
    n = dice.choice(fitting)
    misspelt = name[:n] + name[n + 1] + name[n] + name[n + 2 :]
    held = misspelt if dice.random() < 0.5 else next(o for o in OTHERS if o != name)
    return replace(slip, piece=BenchPiece("name", -1, 1), values=(("held", held), ("name", name)))


def _card(job: BenchJob, slip: PlantedSlip, dice: Random) -> PlantedSlip:
    """Return the slip with another garment's card: another number and name."""
    number = job.garment.number
    held = dice.choice([n for n in ("4", "23", "57", "80") if n != number])
    values = (
        ("held", held),
        ("number", number),
        ("name", next(o for o in OTHERS if o != job.name)),
    )
    return replace(slip, values=values)


def _piece(job: BenchJob, slip: PlantedSlip, dice: Random) -> PlantedSlip | None:
    """Return the slip on a random fitting piece of the step, or None if no piece fits."""
    bench = _right_bench(job, slip)
    names = job.plan.passes[slip.passage].steps[slip.index].pieces
    own = [each for each in bench.pieces if f"{each.piece.element}.{each.piece.layer}" in names]
    if slip.kind is SlipKind.LINER:
        own = [each for each in own if each.carrier]
    if slip.kind is SlipKind.LAYERS:
        tops = {p.element for p in job.plan.pieces if p.layers > 1}
        own = [each for each in own if each.piece.element in tops]
    if not own:
        return None
    chosen = dice.choice(own)
    return replace(
        slip, piece=chosen.piece, values=tuple(_piece_values(job, slip.kind, chosen, dice))
    )


def _piece_values(
    job: BenchJob, kind: SlipKind, chosen: LaidPiece, dice: Random
) -> Iterator[tuple[str, str | int | float]]:
    if kind is SlipKind.COLOUR:
        own = {piece.colour for piece in job.plan.pieces}
        yield "held", dice.choice([each for each in OTHER_FILMS if each not in own])
        yield "asked", chosen.colour
    if kind is SlipKind.BORDER:
        across, far = dice.choice(((0, 1), (1, 0))), dice.choice(OFF) * dice.choice((-1, 1))
        yield "right", across[0] * far
        yield "up", across[1] * far


def _seam(job: BenchJob, slip: PlantedSlip, dice: Random) -> PlantedSlip | None:
    """Return the slip that shifts a body until a side seam is on the platen, or None."""
    own = job.plan.passes[slip.passage]
    half = HALF_WIDTHS[class_of(job.garment.size)]
    beyond = half - job.plan.platen_width_inches / 2
    if own.panel not in BODIES or beyond <= 0.2:
        return None
    return replace(slip, values=(("shift", dice.choice((-1, 1)) * (beyond + SHIFT_INSIDE)),))


def _peel(job: BenchJob, slip: PlantedSlip, dice: Random) -> PlantedSlip | None:
    """Return the slip with the clock long past a hot peel or before a later one, or None."""
    ticket = _right_bench(job, slip, 0.0).card
    if ticket.window is None or ticket.peel is None:
        return None
    early, late = ticket.window
    soon = ticket.peel is not Peel.HOT
    seconds = round(early * 0.2) if soon else round(late + 60)
    values = (("seconds", seconds), ("early", round(early)), ("late", round(late)))
    return replace(slip, values=(*values, ("soon", int(soon))))


def _right_bench(job: BenchJob, slip: PlantedSlip, clock: float | None = None) -> Bench:
    """Return the bench as it should be after the slip's step."""
    return bench_at(job, WorkPosition(slip.passage, slip.index, slip.index), clock)


_MAKERS: Mapping[SlipKind, Callable[[BenchJob, PlantedSlip, Random], PlantedSlip | None]] = {
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


def choose_slips(
    job: BenchJob, before: tuple[frozenset[str], frozenset[str]], nth: int, operator: str
) -> list[PlantedSlip]:
    """Return the slips for a trainee's `nth` garment; most garments have none.

    `before` holds the kinds missed the last time, which come back, and all kinds shown so far;
    kinds not yet shown come next.
    """
    group_dice = Random(f"{operator}/{nth // EACH}")
    if nth % EACH not in group_dice.sample(range(EACH), HAVE):
        return []
    missed, seen = before
    dice = Random(f"{operator}/{nth}/{job.plan.recipe}/slips")
    possible = [slip for n in range(len(job.plan.passes)) for slip in possible_slips(job, n, dice)]
    count = 1 + (dice.random() < MORE) + (dice.random() < MORE)
    chosen: list[PlantedSlip] = []
    while possible and len(chosen) < count:
        back = [slip for slip in possible if slip.kind.value in missed]
        new = [slip for slip in possible if slip.kind.value not in seen]
        preferred = back if back and dice.random() < BACK else new or possible
        chosen.append(dice.choice(preferred if dice.random() < 0.8 else possible))
        possible = [slip for slip in possible if can_share_garment(slip, chosen[-1])]
    return chosen
