"""Read a whole recipes folder; again only if its files have changed."""

import shutil
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, TypeVar

from kiosk.catalog.base.files import MOST_BYTES, read_text, unreadable_folder
from kiosk.catalog.base.names import (
    CODES,
    FABRICS,
    MATERIALS,
    NUMBER_SIZES,
    PACKS,
    PLACEMENT,
    SHOP,
    SIGN_OFF,
    STOCK,
)
from kiosk.catalog.base.notes import Fault, Message, Notes, Unsound, check_name, say
from kiosk.catalog.base.spots import Spot, ValueRead, attempt, root
from kiosk.catalog.base.tree import compose
from kiosk.catalog.base.values import KeyedEntries, keyed
from kiosk.catalog.model import Catalog, Database, Packs, Policy, StationSettings
from kiosk.catalog.roster.headers import HEADINGS, headings
from kiosk.catalog.roster.job import (
    JobNotFoundError,
    find_job,
    holds_job,
    list_jobs,
    read_job,
    read_sound_rows,
)
from kiosk.catalog.roster.roster import line_digest
from kiosk.catalog.rules.leagues import CODE, SIZE_RULE, SPORT, packs, sign_off_rule, stock
from kiosk.catalog.sheets import FABRIC, MATERIAL, recipe
from kiosk.catalog.sheets.shop import ShopFile, shop

__all__ = [
    "JobNotFoundError", "find_job", "holds_job", "line_digest", "list_jobs", "read_catalog",
    "read_job", "read_sound_rows",
]  # fmt: skip

NO_RECIPES = frozenset(
    {MATERIALS, FABRICS, SHOP, CODES, PACKS, STOCK, NUMBER_SIZES, SIGN_OFF, PLACEMENT, HEADINGS}
)
KINDS = ("materials", "fabrics", "presses", "recipes", "codes", "size_rules", "sports")
UNREAD_SHOP = ShopFile(ValueRead(None), ValueRead(None), ValueRead(None), ValueRead(None))
T = TypeVar("T")

CatalogRead = tuple[Catalog, tuple[Fault, ...]]
_LAST: dict[bytes, tuple[Path, CatalogRead]] = {}
MOST_KEPT = 8


def read_catalog(recipes: Path) -> CatalogRead:
    """Return the sound content of the folder `recipes`, and every fault of its files.

    materials.yaml, fabrics.yaml and shop.yaml are required; codes.yaml, packs.yaml, stock.yaml,
    number-sizes.yaml, sign-off.yaml, placement.yaml and headings.yaml are optional; every
    other *.yaml is a recipe, its key the name without the ending. Never raises for bad content.
    For files with the same content as before, the very same values are returned.
    """
    try:
        if not recipes.is_dir():
            return _empty_catalog(recipes, say("catalog.folder.missing"))
        return _read(recipes)
    except OSError as error:  # no permission, or on a share that has just gone
        return _empty_catalog(recipes, unreadable_folder(error))


def _read(recipes: Path) -> CatalogRead:
    content = _content(recipes)
    folder, last = _LAST.get(content, (recipes, None))
    if last is not None and (folder == recipes or not last[1]):  # faults name their folder
        return last
    last = _read_files(recipes)
    if content and content == _content(recipes):  # unchanged while it was read
        _LAST[content] = recipes, last
        for oldest in list(_LAST)[:-MOST_KEPT]:
            _LAST.pop(oldest, None)
    return last


def _content(recipes: Path) -> bytes:
    """Return a digest of all names and YAML files in a folder, empty if any cannot be read."""
    digest = sha256()
    try:
        for path in sorted(recipes.iterdir()):
            digest.update(repr(path.name).encode())
            if path.suffix.lower() in {".yml", ".yaml"}:
                if not path.is_file() or path.stat().st_size > MOST_BYTES:
                    return b""
                digest.update(sha256(path.read_bytes()).digest())
    except (OSError, ValueError):
        return b""
    return digest.digest()


def _read_files(recipes: Path) -> CatalogRead:
    faults: list[Fault] = []
    materials = _entries(recipes / MATERIALS, MATERIAL.under, faults)
    fabrics = _entries(recipes / FABRICS, FABRIC.under, faults)
    shop_file = _value_or(_file(recipes / SHOP, shop, faults), UNREAD_SHOP)
    presses = _value_or(shop_file.presses, KeyedEntries({}, None))
    files = _recipe_files(recipes, faults)
    recipes_read = {p.stem: _file(p, partial(recipe, p.stem, materials), faults) for p in files}
    codes = _entries(recipes / CODES, CODE.under, faults, required=False)
    headings_read: ValueRead[Mapping[str, str]] = _optional(recipes / HEADINGS, headings, faults)
    stock_read = _optional(recipes / STOCK, partial(stock, materials), faults)
    packs_read = _optional(recipes / PACKS, partial(packs, materials), faults)
    rules: dict[str, KeyedEntries[Any]] = {"codes": codes, **_rules(recipes, faults)}
    known = {**rules, "recipes": KeyedEntries({}, frozenset(recipes_read))}
    known |= {"materials": materials, "fabrics": fabrics, "presses": presses}
    catalog = Catalog(
        materials=materials.sound,
        fabrics=fabrics.sound,
        presses=presses.sound,
        policy=_value_or(shop_file.policy, Policy()),
        station=_value_or(shop_file.station, StationSettings()),
        recipes={
            key: each_recipe.value for key, each_recipe in recipes_read.items() if each_recipe.sound
        },
        packs=_value_or(packs_read, Packs()),
        stock=stock_read.value if stock_read.sound else None,
        faulty={kind: known[kind].names for kind in KINDS},
        headings=_value_or(headings_read, {}),
        database=_value_or(shop_file.database, Database()),
        **{kind: each.sound for kind, each in rules.items()},
    )
    return catalog, tuple(faults)


def _empty_catalog(recipes: Path, why: Message) -> CatalogRead:
    notes = Notes(str(recipes))
    notes.add(why)
    faulty = dict.fromkeys(KINDS)  # None: the content is unknown
    return Catalog({}, {}, {}, Policy(), StationSettings(), {}, faulty=faulty), notes.faults


def _rules(recipes: Path, faults: list[Fault]) -> dict[str, KeyedEntries[Any]]:
    """Return the rules of leagues and sports and the sign-off criteria, by kind."""
    readers: dict[str, tuple[str, Callable[[str, Spot], object]]] = {
        "size_rules": (NUMBER_SIZES, SIZE_RULE.under),
        "sign_off": (SIGN_OFF, sign_off_rule),
        "sports": (PLACEMENT, SPORT.under),
    }
    return {
        kind: _entries(recipes / file, read_one, faults, required=False)
        for kind, (file, read_one) in readers.items()
    }


def _entries(
    path: Path, read_one: Callable[[str, Spot], T], faults: list[Fault], required: bool = True
) -> KeyedEntries[T]:
    """Return the entries of a file by key; unless `required`, it may be missing."""
    if not required and not path.exists():
        return KeyedEntries({}, frozenset())
    return _value_or(_file(path, keyed(read_one), faults), KeyedEntries({}, None))


def _file(path: Path, read: Callable[[Spot], T], faults: list[Fault]) -> ValueRead[T]:
    """Return what `read` returns for a YAML file; its faults are appended to `faults`."""
    notes = Notes(str(path))
    try:
        check_name(path.stem, notes)
        result = attempt(read, root(compose(read_text(path, notes), notes), notes))
    except Unsound:
        result = ValueRead(None)
    faults.extend(notes.faults)
    return result


def _optional(path: Path, read: Callable[[Spot], T], faults: list[Fault]) -> ValueRead[T]:
    """Return what `_file` does; a missing file is not a fault."""
    return _file(path, read, faults) if path.exists() else ValueRead(None)


def _value_or(result: ValueRead[T], otherwise: T) -> T:
    return result.value if result.sound else otherwise


def _recipe_files(folder: Path, faults: list[Fault]) -> list[Path]:
    """Return the recipe files by name; note those that are not read because of their ending."""
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
    """Return the new faults that the folder would have with `text` in `file`.

    A copy is read: the shop's files are not touched. Raises OSError if it cannot be copied.
    """
    before = {_fault_identity(fault) for fault in read_catalog(recipes)[1]}
    with TemporaryDirectory(prefix="kiosk-trial-") as place:
        folder = Path(place) / "recipes"
        folder.mkdir()
        for path in recipes.glob("*.y*ml"):
            shutil.copyfile(path, folder / path.name)
        (folder / file).write_bytes(text.encode())
        found = [replace(f, file=Path(f.file).name) for f in read_catalog(folder)[1]]
    return tuple(fault for fault in found if _fault_identity(fault) not in before)


def _fault_identity(fault: Fault) -> tuple[str, str, str, str]:
    """Return what identifies a fault even after its line has moved."""
    return Path(fault.file).name, fault.key, fault.problem.id, fault.found
