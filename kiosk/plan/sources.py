"""What a plan rests on and what each pass heats, as plain data, part of a job's start record.

Replay, report and live estimates read no recipe file. `kiosk/plan/heat/story.py` turns a stack into
a story for the solver; nothing here depends on the solver.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import field, fields
from functools import cache
from typing import Any

from kiosk.catalog import model
from kiosk.catalog.base import Message, Value, dataclass, say
from kiosk.catalog.model import Body, Thresholds


@dataclass(frozen=True, slots=True)
class PlanSources:
    """The sources of materials (by key), fabric and press; guesses if the record has none.

    The titles are what people call the materials (by key) and the fabric; old records have none.
    """

    materials: Mapping[str, model.Sources] = field(default_factory=dict)
    fabric: model.Sources = model.ALL_GUESSED
    press: model.Sources = model.ALL_GUESSED
    material_titles: Mapping[str, str] = field(default_factory=dict)
    fabric_title: str = ""

    def of_material(self, key: str) -> model.Sources:
        """Return the sources of material `key`; all guessed if the plan names none."""
        return self.materials.get(key, model.ALL_GUESSED)

    def title_of(self, key: str) -> str:
        """Return what people call material `key`; the key if the plan has no title."""
        return self.material_titles.get(key, key)

    def time_guessed(self, cloth_alone: bool = False) -> bool:
        """Return whether a limit on how long a closing may last is a guess."""
        limits = [self.fabric.of(key) for key in ("dwell_max", "total_heat")]
        if not cloth_alone:
            keys = ("dwell", "tack", "total_heat")
            limits += [each.of(key) for each in self.materials.values() for key in keys]
        return any(each.is_guess for each in limits) or not (cloth_alone or self.materials)

    def kinds(self) -> list[model.SourceKind]:
        """Return every kind of source behind a number, guesses first."""
        found = {s.kind for each in self.owners() for s in (each.owner, *each.keys.values())}
        guess = [model.SourceKind.GUESS] if model.SourceKind.GUESS in found else []
        return guess + [kind for kind in model.SourceKind if kind in found and kind not in guess]

    def owners(self) -> Iterator[model.Sources]:
        """Yield the sources of the materials, then of the fabric and the press."""
        yield from self.materials.values()
        yield self.fabric
        yield self.press


def by_source(
    plan_sources: PlanSources, fabric: str, press: str
) -> dict[model.Source, list[Value]]:
    """Return what rests on each source, by title or by keys of an owner; guesses first."""
    owners = [(plan_sources.title_of(key), each) for key, each in plan_sources.materials.items()]
    owners.append((plan_sources.fabric_title or fabric, plan_sources.fabric))
    return group_by_source([*owners, (press, plan_sources.press)])


def group_by_source(owners: Iterable[tuple[str, model.Sources]]) -> dict[model.Source, list[Value]]:
    """Return what rests on each source, given (owner, sources) pairs; guesses first."""
    found: dict[model.Source, list[Value]] = {model.GUESS: []}
    for owner, sources in owners:
        found.setdefault(sources.owner, []).append(owner)
        by_key: dict[model.Source, list[str]] = {}
        for key, source in sources.keys.items():
            if source != sources.owner:
                by_key.setdefault(source, []).append(key)
        for source, keys in by_key.items():
            keys_of_owner = say("source.of_keys", owner=owner, keys=tuple(map(_key_words, keys)))
            found.setdefault(source, []).append(keys_of_owner)
    return {source: owners for source, owners in found.items() if owners}


def _key_words(key: str) -> Value:
    """A key of a sheet in people's words; a key only older records have stays as written."""
    return say(f"source.key.{key}") if key in _keys() else key


@cache
def _keys() -> frozenset[str]:
    from kiosk.catalog.sheets import FABRIC, MATERIAL, PRESS  # loaded only when first needed

    fields = (field for table in (MATERIAL, FABRIC, PRESS) for field in table.fields)
    return frozenset(field.key for field in fields) - {"title", "source"}


def _lines(found: Mapping[model.Source, Sequence[Value]]) -> tuple[Message, ...]:
    """Return a line for each source with what rests on it."""
    return tuple(
        say("source.told", source=model.source_in_words(source), owners=tuple(owners))
        for source, owners in found.items()
    )


def shop_sources(catalog: model.Catalog) -> tuple[Message, ...]:
    """Return where all numbers of a shop's materials, fabrics and presses come from."""
    shelves = (catalog.materials, catalog.fabrics, catalog.presses)
    return _lines(
        group_by_source((key, each.source) for shelf in shelves for key, each in shelf.items())
    )


def plan_source_lines(plan_sources: PlanSources, fabric: str, press: str) -> tuple[Message, ...]:
    """Return a line for each source with what rests on it, guesses first."""
    return _lines(by_source(plan_sources, fabric, press))


def guess_line(plan_sources: PlanSources, fabric: str, press: str) -> Message | None:
    """Return the set-up's line that names what is guessed, or None if nothing is."""
    owners = by_source(plan_sources, fabric, press).get(model.GUESS)
    return None if owners is None else say("source.guesses", owners=tuple(owners))


def sources_of(job: model.Job, catalog: model.Catalog) -> PlanSources:
    """Return the sources of what `job` is pressed with, materials in the recipe's order."""
    keys = model.materials_of(catalog.recipes[job.recipe])
    films = {key: catalog.materials[key] for key in keys}
    fabric = catalog.fabrics[job.fabric]
    return PlanSources(
        {key: film.source for key, film in films.items()},
        fabric.source,
        catalog.presses[job.press].source,
        {key: film.title for key, film in films.items()},
        fabric.title,
    )


def of_sources(sources: PlanSources) -> dict[str, Any]:
    """Return the sources of materials by key, of the fabric and of the press, in JSON types."""
    return {
        "materials": {key: _owner(each) for key, each in sources.materials.items()},
        "fabric": _owner(sources.fabric),
        "press": _owner(sources.press),
    }


def of_source(source: model.Source) -> dict[str, Any]:
    """Return a source's kind and its non-empty details, in JSON types."""
    values = {each.name: getattr(source, each.name) for each in fields(source)}
    details = {name: value for name, value in values.items() if value and name != "kind"}
    return {"kind": source.kind.value, **details}


def _owner(sources: model.Sources) -> dict[str, Any]:
    own = of_source(sources.owner)
    keys = {key: of_source(each) for key, each in sources.keys.items()}
    return {**own, "keys": keys} if keys else own


MODEL_VERSION = 1


@dataclass(frozen=True, slots=True)
class HeatFilm:
    """One layer of the stack: the film with its glue, and the carrier it comes on."""

    film: Body
    carrier: Body


@dataclass(frozen=True, slots=True)
class HeatState:
    """What lies under the platen during one step; one for each step of the pass, in order.

    `phase` is the step's own word. `films` counts the watched element's films on the cloth;
    `carrier` is whether the top film still has its carrier, `sheet` whether the cover sheet is on.
    `seconds` are planned: the dwell of a hot step, usual handling time for others, including a
    carrier's wait; `lifted` if the garment is off the pad meanwhile.
    """

    phase: str
    films: int
    carrier: bool
    sheet: bool
    closed: bool
    seconds: float
    lifted: bool = False


@dataclass(frozen=True, slots=True)
class HeatStack:
    """The stack of a pass at its watched `piece`: the last to be peeled, else the thickest.

    Temperatures in °C; `films` from the cloth up; `plies` of cloth lie on the pad. `overhead` is
    the share of the view that the open platen fills; `model` is the version of the model's contacts
    and air constants that the plan was made with.
    """

    piece: str
    platen: float
    room: float
    cloth: Body
    plies: int
    films: tuple[HeatFilm, ...]
    sheet: Body
    pad: Body
    lower: Body
    overhead: float
    peel_at: Thresholds
    states: tuple[HeatState, ...]
    model: int = MODEL_VERSION


@dataclass(frozen=True, slots=True)
class HeatLeft:
    """The seconds of heat that `owner` (a piece, or `fabric`) may take in all, and will get.

    `planned_seconds` count every closing of the panel, including this pass and later ones. The
    `spare_seconds` must cover any over-run or re-pressing: see `kiosk/plan/heat/story.py`.
    """

    owner: str
    limit_seconds: int
    planned_seconds: int

    @property
    def spare_seconds(self) -> int:
        """Seconds that the plan leaves, at least 0."""
        return max(0, self.limit_seconds - self.planned_seconds)
