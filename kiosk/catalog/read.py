"""Reads a recipes folder and a job's folder whole."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from functools import partial
from pathlib import Path, PureWindowsPath
from tempfile import TemporaryDirectory
from typing import Any, TypeVar

from kiosk.catalog.base.fields import Field, read_fields
from kiosk.catalog.base.files import read_bytes, read_text
from kiosk.catalog.base.message import say
from kiosk.catalog.base.notes import Fault, Notes, Unsound, check_name, listed, nearest_word
from kiosk.catalog.base.spots import Got, Spot, attempt, root
from kiosk.catalog.base.tree import compose
from kiosk.catalog.base.values import Keyed, day, flag, keyed, reference, word
from kiosk.catalog.model.rules import Packs
from kiosk.catalog.model.sheets import Catalog, Job, Policy, Recipe, StationSettings
from kiosk.catalog.roster.forget import MARK
from kiosk.catalog.roster.questions import check_roster, intake, intake_fields, letter_sets
from kiosk.catalog.roster.roster import line_digest, roster, roster_digest
from kiosk.catalog.rules.leagues import CODE, SIZE_RULE, SPORT, packs, sign_off_rule, stock
from kiosk.catalog.sheets.materials import FABRIC, MATERIAL
from kiosk.catalog.sheets.recipes import recipe
from kiosk.catalog.sheets.shop import Shop, shop

__all__ = [
    "JobNotFoundError", "find_job", "line_digest", "list_jobs", "read_catalog", "read_job",
]  # fmt: skip

JOB_FILE = "job.yaml"
NAME_AND_NUMBER = frozenset({"name", "number"})


class JobNotFoundError(LookupError):
    """No job goes by that name; `fault` says which ones do, and which is nearest."""

    def __init__(self, fault: Fault) -> None:
        super().__init__(fault.found)
        self.fault = fault


def list_jobs(jobs: Path) -> tuple[Path, ...]:
    """Return the job folders in `jobs` by name: those that hold a job.yaml."""
    try:
        return tuple(sorted(filter(holds_job, jobs.iterdir())))
    except OSError:  # no such folder, or not to be read: there are no jobs in it
        return ()


def find_job(name: str, jobs: Path) -> Path:
    """Return the folder of the job `name`: a job folder, its job.yaml, or a name in `jobs`.

    Raises JobNotFoundError.
    """
    for folder in (Path(name).parent if Path(name).name == JOB_FILE else Path(name), jobs / name):
        if name.strip() and holds_job(folder):
            return folder
    names = [folder.name for folder in list_jobs(jobs)]
    notes = Notes(str(jobs))
    notes.add(
        say("catalog.job.unknown"),
        found=name,
        allowed=listed(names),
        nearest=nearest_word(name, names),
    )
    raise JobNotFoundError(notes.faults[0])


def read_job(folder_or_yaml: Path, catalog: Catalog) -> tuple[Job | None, tuple[Fault, ...]]:
    """Return the job and all faults of its two files.

    With questions alone there is a job, its doubtful cells as written: it may be shown, and
    must not be pressed before a person has decided. With a fault there is none.
    """
    path = folder_or_yaml / JOB_FILE if folder_or_yaml.is_dir() else folder_or_yaml
    notes, roster_notes = Notes(str(path)), Notes(str(path.parent))
    job = None
    with suppress(Unsound):
        text = read_text(path, notes)  # first: a path that is not there has no wrong name
        check_name(path.parent.resolve().name, notes)
        spot = root(compose(text, notes), notes)
        job = _job(path, spot, catalog, roster_notes)
    faults = (*notes.faults, *roster_notes.faults)
    return (None if notes.hard or roster_notes.hard else job), faults


def holds_job(folder: Path) -> bool:
    """Return whether a job.yaml is in `folder`, and the folder may be looked into."""
    try:
        return (folder / JOB_FILE).is_file()
    except OSError:  # a name too long for the file system is nobody's
        return False


def _job_fields(folder: Path, catalog: Catalog) -> tuple[Field, ...]:
    def known(kind: str) -> Callable[[Spot], str]:
        return reference(catalog.known(kind), getattr(catalog, kind))

    return (
        Field("title", word, folder.resolve().name),
        Field("recipe", known("recipes")),
        Field("fabric", known("fabrics")),
        Field("press", known("presses")),
        Field("roster", partial(_roster_file, folder)),
        Field("due", day, ""),
        Field("size_rule", known("size_rules"), ""),
        Field("sport", known("sports"), ""),
        Field(MARK, flag, False),
        *intake_fields(catalog),
    )


def _job(path: Path, spot: Spot, catalog: Catalog, roster_notes: Notes) -> Job:
    folder = path.parent
    values = read_fields(spot, _job_fields(folder, catalog))
    asked, recipe = intake(values, catalog), values.got["recipe"]
    own = catalog.recipes.get(recipe.value) if recipe.sound else None
    file = values["roster"]
    roster_notes.file = str(file)
    data = read_bytes(file, roster_notes)
    wanted, given = _elements(own), asked.columns
    if values[MARK]:  # closed long ago: what the garments wore is not kept
        wanted, given = wanted - {"name"}, {}
    found = roster(file.name, data, wanted, roster_notes, given)
    check_roster(found.placed, asked, letter_sets(own, catalog.materials), roster_notes)
    told = ("title", "recipe", "fabric", "press", "size_rule", "sport", "due")
    return Job(
        key=folder.resolve().name,
        folder=str(folder),
        roster=found.lines,
        roster_digest=roster_digest(data),
        columns=found.columns,
        **{name: values[name] for name in told},
    )


def _elements(recipe: Recipe | None) -> frozenset[str]:
    if recipe is None:
        return NAME_AND_NUMBER
    return frozenset(element.name for panel in recipe.panels for element in panel.elements)


def _roster_file(folder: Path, spot: Spot) -> Path:
    """Return the roster's path; Unsound for one that leads out of the job's folder."""
    name = word(spot)
    path = folder / name
    written = PureWindowsPath(name)  # knows both slashes and drive letters
    if written.anchor or ".." in written.parts:
        raise spot.wrong(say("catalog.job.outside"))
    try:
        inside = path.resolve().is_relative_to(folder.resolve())
    except (OSError, RuntimeError):  # RuntimeError: a ring of symbolic links
        inside = False
    if not inside:
        raise spot.wrong(say("catalog.job.outside"))
    return path


MATERIALS, FABRICS, SHOP = "materials.yaml", "fabrics.yaml", "shop.yaml"
# A shop may do without these.
CODES, PACKS, STOCK = "codes.yaml", "packs.yaml", "stock.yaml"
NUMBER_SIZES, SIGN_OFF, PLACEMENT = "number-sizes.yaml", "sign-off.yaml", "placement.yaml"
NO_RECIPES = frozenset(
    {MATERIALS, FABRICS, SHOP, CODES, PACKS, STOCK, NUMBER_SIZES, SIGN_OFF, PLACEMENT}
)
KINDS = ("materials", "fabrics", "presses", "recipes", "codes", "size_rules", "sports")
UNREAD_SHOP = Shop(Got(None), Got(None), Got(None))
T = TypeVar("T")


def read_catalog(recipes: Path) -> tuple[Catalog, tuple[Fault, ...]]:
    """Return what could be read of the folder `recipes`, and every fault of its files.

    materials.yaml, fabrics.yaml and shop.yaml must be there, codes.yaml, packs.yaml,
    stock.yaml, number-sizes.yaml, sign-off.yaml and placement.yaml may; every other *.yaml is
    a recipe, its key the name without the ending. Never raises for what the files hold.
    """
    if not recipes.is_dir():
        return _nothing(recipes)
    faults: list[Fault] = []
    materials = _keyed(recipes / MATERIALS, MATERIAL.under, faults)
    fabrics = _keyed(recipes / FABRICS, FABRIC.under, faults)
    own_shop = _or(_file(recipes / SHOP, shop, faults), UNREAD_SHOP)
    presses = _or(own_shop.presses, Keyed({}, None))
    files = _recipe_files(recipes, faults)
    read = {p.stem: _file(p, partial(recipe, p.stem, materials), faults) for p in files}
    codes = _keyed(recipes / CODES, CODE.under, faults, needed=False)
    counted = _optional(recipes / STOCK, partial(stock, materials), faults)
    bought = _optional(recipes / PACKS, partial(packs, materials), faults)
    rules: dict[str, Keyed[Any]] = {"codes": codes, **_rules(recipes, faults)}
    known = {**rules, "recipes": Keyed({}, frozenset(read))}
    known |= {"materials": materials, "fabrics": fabrics, "presses": presses}
    catalog = Catalog(
        materials=materials.sound,
        fabrics=fabrics.sound,
        presses=presses.sound,
        policy=_or(own_shop.policy, Policy()),
        station=_or(own_shop.station, StationSettings()),
        recipes={key: got.value for key, got in read.items() if got.sound},
        packs=_or(bought, Packs()),
        stock=counted.value if counted.sound else None,
        faulty={kind: known[kind].names for kind in KINDS},
        **{kind: each.sound for kind, each in rules.items()},
    )
    return catalog, tuple(faults)


def _nothing(recipes: Path) -> tuple[Catalog, tuple[Fault, ...]]:
    notes = Notes(str(recipes))
    notes.add(say("catalog.folder.missing"))
    faulty = dict.fromkeys(KINDS)  # nobody knows what would be in it
    return Catalog({}, {}, {}, Policy(), StationSettings(), {}, faulty=faulty), notes.faults


def _rules(recipes: Path, faults: list[Fault]) -> dict[str, Keyed[Any]]:
    """What leagues and sports ask for, and what a trainee has to show, by kind."""
    readers: dict[str, tuple[str, Callable[[str, Spot], object]]] = {
        "size_rules": (NUMBER_SIZES, SIZE_RULE.under),
        "sign_off": (SIGN_OFF, sign_off_rule),
        "sports": (PLACEMENT, SPORT.under),
    }
    return {
        kind: _keyed(recipes / file, read_one, faults, needed=False)
        for kind, (file, read_one) in readers.items()
    }


def _keyed(
    path: Path, read_one: Callable[[str, Spot], T], faults: list[Fault], needed: bool = True
) -> Keyed[T]:
    """Return the entries of a file by key; where it is not `needed` it may be missing."""
    if not needed and not path.exists():
        return Keyed({}, frozenset())
    return _or(_file(path, keyed(read_one), faults), Keyed({}, None))


def _file(path: Path, read: Callable[[Spot], T], faults: list[Fault]) -> Got[T]:
    """Return what `read` makes of a YAML file; its faults are put behind the others."""
    notes = Notes(str(path))
    try:
        check_name(path.stem, notes)
        got = attempt(read, root(compose(read_text(path, notes), notes), notes))
    except Unsound:
        got = Got(None)
    faults.extend(notes.faults)
    return got


def _optional(path: Path, read: Callable[[Spot], T], faults: list[Fault]) -> Got[T]:
    """Return what `_file` does; a file that is not there is no fault."""
    return _file(path, read, faults) if path.exists() else Got(None)


def _or(got: Got[T], otherwise: T) -> T:
    return got.value if got.sound else otherwise


def _recipe_files(folder: Path, faults: list[Fault]) -> list[Path]:
    """Return the recipe files by name; note those whose ending keeps them from being read."""
    found = []
    for path in sorted(folder.iterdir()):
        if path.name.startswith(".") or path.name in NO_RECIPES:
            continue
        if path.suffix == ".yaml":
            found.append(path)
        elif path.suffix.lower() in {".yml", ".yaml"}:
            notes = Notes(str(path))
            notes.add(say("catalog.file.ending"), nearest=f"{path.stem}.yaml")
            faults.extend(notes.faults)
    return found


def new_faults(recipes: Path, file: str, text: str) -> tuple[Fault, ...]:
    """Return the faults that the folder would have with `text` in `file` and has not now.

    A copy is read: nothing of the shop's is touched. Raises OSError where it cannot be copied.
    """
    before = {_known(fault) for fault in read_catalog(recipes)[1]}
    with TemporaryDirectory(prefix="kiosk-trial-") as place:
        folder = Path(place) / "recipes"
        folder.mkdir()
        for path in recipes.glob("*.y*ml"):
            shutil.copyfile(path, folder / path.name)
        (folder / file).write_bytes(text.encode())
        found = [replace(f, file=Path(f.file).name) for f in read_catalog(folder)[1]]
    return tuple(fault for fault in found if _known(fault) not in before)


def _known(fault: Fault) -> tuple[str, str, str, str]:
    """What makes two faults the same although lines have moved."""
    return Path(fault.file).name, fault.key, fault.problem.id, fault.found
