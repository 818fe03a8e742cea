"""The shelves of the rooms: no cycles, no arrows back, no window behind the desk, no crowds.

An import only for a type (`if TYPE_CHECKING`) is not an arrow, since nothing runs by it. A face's
imports are all written that way but are arrows: each runs when its name is first used.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping
from functools import cache
from graphlib import CycleError, TopologicalSorter
from importlib import import_module
from pathlib import Path

import pytest
from source_tree import statements, tree

ROOT = Path(__file__).resolve().parents[1]
SHELVES = {  # of each room, left to right: a shelf imports only from those before it
    "catalog": ["base", "model", "rules", "sheets", "roster"],
    "run": ["state", "facts", "apply", "decide", "show"],
    "log": ["store", "facts", "rescue", "record"],
    "station": ["desk", "glass", "demo"],
}
MOST_FILES = 25


def name_of(path: Path) -> str:
    return ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")


FILES = {name_of(path): path for path in sorted((ROOT / "kiosk").rglob("*.py"))}


def imported(node: ast.AST) -> set[str]:
    """Return the modules that a statement imports."""
    if isinstance(node, ast.Import):
        return {alias.name for alias in node.names}
    if isinstance(node, ast.ImportFrom):
        names = (f"{node.module}.{alias.name}" for alias in node.names)
        return {name if name in FILES else node.module or "" for name in names}
    return set()


def for_types(node: ast.AST) -> bool:
    return isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING"


@cache
def arrows() -> Mapping[str, set[str]]:
    """Return what each module imports when it runs: own modules, and names of others."""
    found = {}
    for name, path in FILES.items():
        ran = statements(path) if is_face(name) else statements(path, but=for_types)
        found[name] = set().union(*map(imported, ran)) - {name}
    return found


def inner(room: str) -> Iterator[tuple[str, str, str]]:
    """Yield file, its shelf and the shelf of each import within a room."""
    for name, wanted in arrows().items():
        for other in wanted:
            own, its = name.split("."), other.split(".")
            if own[1:2] == its[1:2] == [room] and len(own) > 2 < len(its):
                yield name, own[2], its[2]


def test_no_imports_form_a_cycle() -> None:
    own = {name: wanted & FILES.keys() for name, wanted in arrows().items()}
    try:
        TopologicalSorter(own).prepare()
    except CycleError as error:
        pytest.fail(f"a circle: {error.args[1]}")


@pytest.mark.parametrize("room", SHELVES)
def test_a_shelf_imports_only_from_shelves_before_it(room: str) -> None:
    order = SHELVES[room]
    for name, own, other in inner(room):
        if own in order and other in order:
            assert order.index(other) <= order.index(own), f"{name} imports from {other}"


@pytest.mark.parametrize("room", SHELVES)
def test_every_shelf_is_in_the_list(room: str) -> None:
    there = {path.parent.name for path in (ROOT / "kiosk" / room).glob("*/*.py")}
    assert there == set(SHELVES[room])


def test_the_desk_needs_no_window() -> None:
    """Not even indirectly."""
    seen, ahead = set(), {name for name in FILES if name.startswith("kiosk.station.desk")}
    assert ahead
    while ahead:
        name = ahead.pop()
        seen.add(name)
        wanted = arrows()[name]
        assert not [other for other in wanted if other.split(".")[0] == "kivy"], name
        ahead |= (wanted & FILES.keys()) - seen


@cache
def is_face(name: str) -> bool:
    """Return whether a module is a face: an `__init__` that only passes names on."""
    path = FILES[name]
    return path.name == "__init__.py" and "\n    from kiosk" in path.read_text("utf-8")


def test_a_face_gives_each_of_its_names_and_no_other() -> None:
    faces = list(filter(is_face, FILES))
    assert len(faces) > 25
    for name in faces:
        module = import_module(name)
        for each in defined()[name] - {"TYPE_CHECKING", "face"}:
            assert getattr(module, each) is not None
        with pytest.raises(AttributeError, match="no_such_name"):
            module.no_such_name  # noqa: B018 - the access is the test


def test_other_rooms_import_from_the_face_of_a_shelf() -> None:
    """Names come from the face if there is one; a whole module (`commands`) can be imported."""
    faces = {n for n in FILES if n.count(".") == 2 and is_face(n)}
    assert len(faces) > 15
    for name, path in FILES.items():
        for node in statements(path):
            if isinstance(node, ast.ImportFrom) and node.module in FILES:
                shelf, _, module = node.module.rpartition(".")
                strange = name.split(".")[1:2] != shelf.split(".")[1:2]
                assert not (strange and shelf in faces), f"{name} reaches for {module} in {shelf}"


@cache
def defined() -> Mapping[str, set[str]]:
    """Return the names defined at the top of each module; for a face, those it imports."""
    found = {}
    for name, path in FILES.items():
        text = path.read_text("utf-8")
        door = is_face(name) or "\n__all__ = " in text
        found[name] = {
            node.id
            if isinstance(node, ast.Name)
            else node.asname or node.name
            if isinstance(node, ast.alias)
            else node.name
            for node in ast.walk(tree(path))
            if isinstance(node, ast.FunctionDef | ast.ClassDef)
            or (isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store))
            or (isinstance(node, ast.alias) and (door or node.asname == node.name))
        }
    return found


def test_a_name_is_imported_from_where_it_is_defined_or_from_a_face() -> None:
    for path in (*FILES.values(), *(ROOT / "tests").rglob("*.py")):
        for node in statements(path):
            if isinstance(node, ast.ImportFrom) and node.module in FILES:
                for each in (alias.name for alias in node.names):
                    module = f"{node.module}.{each}" in FILES
                    assert module or each in defined()[node.module], f"{path}: {each}"


def test_no_two_classes_of_the_program_share_a_name() -> None:
    classes: dict[str, str] = {}
    for name, path in FILES.items():
        for node in tree(path).body:
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                assert classes.setdefault(node.name, name) == name, f"{node.name}: {name}"


def test_no_folder_is_crowded() -> None:
    for folder in {path.parent for path in FILES.values()}:
        assert len(list(folder.glob("*.py"))) <= MOST_FILES, folder
