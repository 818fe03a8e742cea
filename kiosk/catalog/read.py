"""Reads a recipes folder whole. `read_job`, `find_job` and `list_jobs` stand beside it."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TypeVar

from kiosk.catalog.base.files import read_text
from kiosk.catalog.base.message import say
from kiosk.catalog.base.notes import Fault, Notes, Unsound, check_name
from kiosk.catalog.base.spots import Got, Spot, attempt, root
from kiosk.catalog.base.tree import compose
from kiosk.catalog.base.values import Keyed, keyed
from kiosk.catalog.jobs import JobNotFoundError, find_job, list_jobs, read_job
from kiosk.catalog.model.packs import Packs
from kiosk.catalog.model.sheets import Catalog, Policy, StationSettings
from kiosk.catalog.roster.roster import line_digest
from kiosk.catalog.rules.leagues import code, sign_off_rule, size_rule, sport
from kiosk.catalog.rules.packs import packs, stock
from kiosk.catalog.sheets.fabrics import fabric
from kiosk.catalog.sheets.materials import material
from kiosk.catalog.sheets.recipes import recipe
from kiosk.catalog.sheets.shop import Shop, shop

__all__ = [
    "JobNotFoundError",
    "find_job",
    "line_digest",
    "list_jobs",
    "read_catalog",
    "read_job",
]

MATERIALS, FABRICS, SHOP = "materials.yaml", "fabrics.yaml", "shop.yaml"
CODES, PACKS, STOCK = "codes.yaml", "packs.yaml", "stock.yaml"  # a shop may do without these
NUMBER_SIZES = "number-sizes.yaml"  # and without this
SIGN_OFF = "sign-off.yaml"  # and without this
PLACEMENT = "placement.yaml"  # and without this
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
        notes = Notes(str(recipes))
        notes.add(say("catalog.folder.missing"))
        nobody_knows = dict.fromkeys(KINDS)
        empty = Catalog({}, {}, {}, Policy(), StationSettings(), {}, faulty=nobody_knows)
        return empty, notes.faults
    faults: list[Fault] = []
    materials = _keyed(recipes / MATERIALS, material, faults)
    fabrics = _keyed(recipes / FABRICS, fabric, faults)
    own_shop = _or(_file(recipes / SHOP, shop, faults), UNREAD_SHOP)
    presses = _or(own_shop.presses, Keyed({}, None))
    read = {
        path.stem: _file(path, partial(recipe, path.stem, materials), faults)
        for path in _recipe_files(recipes, faults)
    }
    codes = _keyed(recipes / CODES, code, faults, needed=False)
    counted = _optional(recipes / STOCK, partial(stock, materials), faults)
    bought = _optional(recipes / PACKS, partial(packs, materials), faults)
    rules = _keyed(recipes / NUMBER_SIZES, size_rule, faults, needed=False)
    sign_off = _keyed(recipes / SIGN_OFF, sign_off_rule, faults, needed=False)
    sports = _keyed(recipes / PLACEMENT, sport, faults, needed=False)
    names = (materials.names, fabrics.names, presses.names, frozenset(read), codes.names,
             rules.names, sports.names)  # fmt: skip
    catalog = Catalog(
        materials=materials.sound,
        fabrics=fabrics.sound,
        presses=presses.sound,
        policy=_or(own_shop.policy, Policy()),
        station=_or(own_shop.station, StationSettings()),
        recipes={key: got.value for key, got in read.items() if got.sound},
        codes=codes.sound,
        packs=_or(bought, Packs()),
        stock=counted.value if counted.sound else None,
        size_rules=rules.sound,
        sign_off=sign_off.sound,
        sports=sports.sound,
        faulty=dict(zip(KINDS, names, strict=True)),
    )
    return catalog, tuple(faults)


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
