"""From a job to its plan, step by step, and to a proof of each of its garments."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace

from kiosk.catalog.base import Fault, dataclass, question_id
from kiosk.catalog.model import Catalog, Job, Panel, Recipe, RosterLine, recoloured
from kiosk.catalog.rules import Face
from kiosk.plan.group import ClosingGroup
from kiosk.plan.model import PanelRefusal, PanelSettings, Pass, PeelPlace, Piece, Plan
from kiosk.plan.passes import group_runs, make_pass, place_peels
from kiosk.plan.place import (
    Bed,
    ElementBox,
    PlatenParts,
    Team,
    bed_of,
    class_of,
    lay_out,
    place_questions,
    platen_parts,
    right_side,
    size_faults,
    text_on,
)
from kiosk.plan.settings import solve
from kiosk.plan.sizes import rooms_of
from kiosk.plan.sources import sources_of

WHOLE: PlatenParts = {}
"""Every panel fits on the platen whole."""


def make_plan(
    job: Job, catalog: Catalog, settings: tuple[PanelSettings, ...], parts: PlatenParts = WHOLE
) -> Plan:
    """Return the plan of `job` with the settings of each panel of its recipe, in order.

    `settings` must be solved for `parts`, the parts of panels too long for the platen.

    Raises KeyError if the job names something that is not in the catalog: reading checks that.
    """
    recipe, press = _recipe(job, catalog), catalog.presses[job.press]
    closes_in = float(press.closes_in.value)
    groups = _groups(job, catalog, settings, parts)
    drafts = [make_pass(group) for group in groups]
    runs = group_runs(drafts)
    passes = place_peels(drafts, runs, closes_in)
    return Plan(
        job=job.key,
        title=job.title,
        recipe=job.recipe,
        fabric=job.fabric,
        press=job.press,
        unit=press.unit,
        opens_itself=press.opens_itself,
        collar_toward_operator=press.collar_toward_operator,
        closes_in_seconds=closes_in,
        confirm_opening=catalog.policy.confirm_opening,
        pieces=pieces_of(recipe),
        settings=settings,
        passes=passes,
        runs=runs,
        taps_per_garment=count_taps(passes),
        platen_width_inches=float(press.platen_width.inches),
        platen_height_inches=float(press.platen_height.inches),
        rooms=rooms_of(catalog.sports, job.sport, (panel.name for panel in recipe.panels)),
        sources=sources_of(job, catalog),
        films=tuple(group.films for group in groups),
        sheets_again=tuple(group.sheets_again for group in groups),
        recipe_title=recipe.title,
    )


def plan_job(job: Job, catalog: Catalog, face: Face) -> Plan | PanelRefusal:
    """Return the plan of a job that was read without faults, or why it cannot be pressed.

    A panel too long for the platen with letters of `face` is pressed part by part.
    """
    parts = platen_parts(job_bed(job, catalog), job.roster, face)
    settings = solve(
        _recipe(job, catalog),
        catalog.fabrics[job.fabric],
        catalog.presses[job.press],
        catalog.policy,
        catalog.materials,
        catalog.fabrics,
        parts,
    )
    if isinstance(settings, PanelRefusal):
        return settings
    return make_plan(job, catalog, settings, parts)


def job_bed(job: Job, catalog: Catalog) -> Bed:
    """Return what a job lays on its press, and the platen's size."""
    press, pieces = catalog.presses[job.press], pieces_of(_recipe(job, catalog))
    rooms = rooms_of(catalog.sports, job.sport, (piece.panel for piece in pieces))
    return Bed(pieces, float(press.platen_width.inches), float(press.platen_height.inches), rooms)


def _recipe(job: Job, catalog: Catalog) -> Recipe:
    """The job's recipe in the order's own colours."""
    return recoloured(catalog.recipes[job.recipe], job.colours)


def count_taps(passes: tuple[Pass, ...]) -> int:
    """Return a signed-off operator's taps per garment; each early peel on the rack is one."""
    racked = sum(each.places[:-1].count(PeelPlace.RACK) for each in passes)
    return sum(each.closings + 1 for each in passes) + racked


def _groups(
    job: Job, catalog: Catalog, settings: tuple[PanelSettings, ...], parts: PlatenParts
) -> list[ClosingGroup]:
    panels = {panel.name: panel for panel in _recipe(job, catalog).panels}
    fabric, press = catalog.fabrics[job.fabric], catalog.presses[job.press]
    return [
        ClosingGroup(
            panels[each.panel],
            each,
            number,
            fabric,
            press,
            catalog.materials,
            parts.get(each.panel, ()),
        )
        for each in settings
        for number in sorted({closing.group for closing in each.closings})
    ]


def pieces_of(recipe: Recipe) -> tuple[Piece, ...]:
    """Return the pieces of every panel, in the recipe's order, from the fabric up."""
    return tuple(piece for panel in recipe.panels for piece in _pieces(panel))


def _pieces(panel: Panel) -> list[Piece]:
    return [
        Piece(
            name=name,
            element=element.name,
            layer=layer,
            layers=len(element.layers),
            material=element.layers[layer - 1].material,
            colour=element.layers[layer - 1].colour,
            panel=panel.name,
            height_inches=None if element.height is None else float(element.height.inches),
        )
        for element in panel.elements
        for layer, name in enumerate(element.pieces(), 1)
    ]


def placement_faults(job: Job, catalog: Catalog, face: Face) -> tuple[Fault, ...]:
    """Return what does not fit and what breaks the job's size rule, as questions.

    Questions that a person has already answered as right are left out; names and numbers still in
    question are not measured yet.
    """
    bed = job_bed(job, catalog)
    lines = tuple(_without_doubtful(line, job) for line in job.roster)
    questions = [("recipe", each) for each in place_questions(bed, lines, face)]
    rule = catalog.size_rules.get(job.size_rule)
    if rule is not None:
        broken = size_faults(bed, (line.size for line in job.roster), rule)
        questions += [("size_rule", each) for each in broken]
    faults = (Fault(job.folder, 0, key, message, question=True) for key, message in questions)
    with_ids = (replace(fault, id=question_id(fault)) for fault in faults)
    return tuple(fault for fault in with_ids if fault.id not in job.kept)


def _without_doubtful(line: RosterLine, job: Job) -> RosterLine:
    name = "" if (line.line, "name") in job.doubtful else line.name
    number = "" if (line.line, "number") in job.doubtful else line.number
    return replace(line, name=name, number=number)


BELOW = 1.5  # inches of cloth shown below the lowest ink
WIDEST = 20.0  # inches: no garment's panel is wider

Points = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class PanelProof:
    """A panel as a viewer sees it: inches, x to the right, y down from the collar seam.

    `films` gives the colours of each element's layers, lowest first.
    """

    panel: str
    outline: Points
    boxes: tuple[ElementBox, ...]
    films: Mapping[str, tuple[str, ...]]

    @property
    def extent(self) -> tuple[float, float, float, float]:
        """Left, top, width and height of the drawing: a name may be wider than the cloth."""
        inks = [box.ink for box in self.boxes if box.letters]
        xs = [x for x, _ in self.outline] + [x for ink in inks for x in (ink[0], ink[2])]
        ys = [y for _, y in self.outline] + [y for ink in inks for y in (ink[1], ink[3])]
        return min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys)


@dataclass(frozen=True, slots=True)
class GarmentProof:
    """A garment of the order with its panels, in the recipe's order.

    `lacking` are the letters that no face has: their width is unknown.
    """

    line: RosterLine
    panels: tuple[PanelProof, ...]
    lacking: tuple[str, ...]


def proofs(
    plan: Plan, roster: Iterable[RosterLine], face: Face, only: Collection[str] | None = None
) -> tuple[GarmentProof, ...]:
    """Return the proofs of an order in roster order, or of the lines `only` if given.

    Names have the height that fits the whole order.
    """
    lines = tuple(roster)
    team = Team(tuple((line.size, line.name) for line in lines))
    chosen = (line for line in lines if only is None or line.line in only)
    return tuple(_garment(plan, line, face, team) for line in chosen)


def _garment(plan: Plan, line: RosterLine, face: Face, team: Team) -> GarmentProof:
    panels = dict.fromkeys(piece.panel for piece in plan.pieces)
    drawn = tuple(_panel(plan, panel, line, face, team) for panel in panels)
    letters = (letter for panel in drawn for box in panel.boxes for letter in box.letters)
    lacking = dict.fromkeys(letter.character for letter in letters if not letter.known)
    return GarmentProof(line, drawn, tuple(lacking))


def _panel(plan: Plan, panel: str, line: RosterLine, face: Face, team: Team) -> PanelProof:
    pieces = [piece for piece in plan.pieces if piece.panel == panel]
    texts = {each.element: text_on(line, each.element) for each in pieces}
    boxes = lay_out(bed_of(plan), panel, line.size, texts, face, team).boxes
    upward = sorted(pieces, key=lambda piece: piece.layer)
    films = {e: tuple(each.colour for each in upward if each.element == e) for e in texts}
    return PanelProof(panel, _outline(panel, line.size, boxes), boxes, films)


def _outline(panel: str, size: str, boxes: tuple[ElementBox, ...]) -> Points:
    """The outline of the garment from its collar to a little below the lowest ink."""
    end = max((box.ink[3] for box in boxes), default=4.0) + BELOW
    right = right_side(panel, class_of(size), WIDEST, end)
    return (*right, *((-x, y) for x, y in reversed(right) if x))
