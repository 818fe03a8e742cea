"""Import rules: a room imports only from rooms to its left (design.md section 2)."""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest
from source_tree import statements, tree

KIOSK = Path(__file__).resolve().parents[1] / "kiosk"

ROOMS = [
    "catalog", "heat", "plan", "run", "peel", "log", "report", "shop", "train", "station",
    "office", "commands",
]  # fmt: skip
SHELVES = {
    "catalog": ["base", "model", "rules", "sheets", "roster"],
    "run": ["state", "facts", "apply", "decide", "show"],
    "log": ["store", "facts", "rescue", "record"],
    "station": ["desk", "glass", "demo"],
}
"""Shelves of rooms that have more than one, left to right."""

PURE = ["heat", "plan", "run", "report"]
IMPURE = {
    "time", "datetime", "os", "io", "pathlib", "sqlite3", "random", "kivy", "plyer", "socket",
    "subprocess", "threading", "tempfile", "shutil", "yaml", "platformdirs",
}  # fmt: skip


@cache
def imports(path: Path) -> tuple[str, ...]:
    return tuple(_imports(path))


def _imports(path: Path) -> Iterator[str]:
    for node in statements(path):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: relative import"
            yield node.module or ""
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


@cache
def files(room: str) -> list[Path]:
    """Return the room's files without __main__, which is a command."""
    return sorted(p for p in (KIOSK / room).rglob("*.py") if p.name != "__main__.py")


def rooms_of(path: Path) -> set[str]:
    wanted = {name for name in imports(path) if name.startswith("kiosk.")} - {"kiosk.face"}
    return {name.split(".")[1] for name in wanted}


def allowed(room: str) -> set[str]:
    left = set(ROOMS[: ROOMS.index(room) + 1])
    if room == "run":
        left.discard("heat")
    if room not in PURE:
        left |= {"words"}
    return left


@pytest.mark.parametrize("room", ROOMS)
def test_a_room_imports_only_from_rooms_to_its_left(room: str) -> None:
    for path in files(room):
        assert rooms_of(path) <= allowed(room), path


def test_only_office_and_commands_import_the_shop_room() -> None:
    """A start imports no driver and a tap never waits: `kiosk ship` is a process of its own."""
    for room in {*ROOMS, "words"} - {"shop", "office", "commands"}:
        for path in files(room):
            assert "shop" not in rooms_of(path), path
    for path in files("shop"):
        assert rooms_of(path) <= {"shop", "catalog", "log", "run"}, path


def test_words_imports_only_the_catalog() -> None:
    for path in files("words"):
        assert rooms_of(path) <= {"words", "catalog"}, path


@pytest.mark.parametrize("room", PURE)
def test_a_pure_room_has_no_clock_file_database_or_window(room: str) -> None:
    for path in files(room):
        roots = {name.split(".")[0] for name in imports(path)}
        assert not roots & IMPURE, path
        opens = [
            node
            for node in ast.walk(tree(path))
            if isinstance(node, ast.Call)
            and isinstance(node.func, ast.Name)
            and node.func.id in {"open", "print", "input"}
        ]
        assert not opens, path


def test_every_room_is_in_the_list() -> None:
    found = {p.name for p in KIOSK.iterdir() if p.is_dir() and not p.name.startswith("__")}
    assert found <= {*ROOMS, "words"}


def module(path: Path) -> str:
    """Return the dotted name; a folder's __init__ counts as the folder."""
    return ".".join(path.relative_to(KIOSK.parent).with_suffix("").parts).removesuffix(".__init__")


@cache
def graph() -> Mapping[str, frozenset[str]]:
    """Return each module of the program with what it imports, at the top or in a function."""
    paths = {module(path): path for path in KIOSK.rglob("*.py")}
    folders = {name for name in paths if any(other.startswith(f"{name}.") for other in paths)}

    def imported(name: str, path: Path) -> Iterator[str]:
        for each in imports(path):
            home = each.rpartition(".")[0]
            found = each if each in paths else home if home in paths else ""
            if each in folders:
                found = "" if name.startswith(f"{each}.") else each  # a folder of its own
            if found and found != name:
                yield found

    return {name: frozenset(imported(name, path)) for name, path in paths.items()}


def circle(arrows: Mapping[str, frozenset[str]]) -> list[str]:
    """Return a cycle of the arrows, empty if there is none."""
    try:
        TopologicalSorter(arrows).prepare()
    except CycleError as found:
        return list(found.args[1])
    return []


@cache
def shelf(name: str) -> str:
    """Return the shelf of a module, or its own name if it is directly in its room."""
    parts = name.split(".")
    folder = KIOSK.parent.joinpath(*parts[:3])
    return ".".join(parts[:3]) if folder.is_dir() else name


def test_no_module_imports_itself_indirectly() -> None:
    assert circle(graph()) == []


def test_no_shelf_imports_itself_indirectly() -> None:
    arrows: dict[str, set[str]] = {}
    for name, imported in graph().items():
        arrows.setdefault(shelf(name), set()).update(map(shelf, imported))
    assert circle({a: frozenset(b - {a}) for a, b in arrows.items()}) == []


@pytest.mark.parametrize("room", SHELVES)
def test_no_shelf_imports_from_a_later_shelf_of_its_room(room: str) -> None:
    order = [f"kiosk.{room}.{each}" for each in SHELVES[room]]
    for name, imported in graph().items():
        if shelf(name) in order:
            later = set(order[order.index(shelf(name)) + 1 :])
            assert not later & set(map(shelf, imported)), name


def test_the_desk_needs_no_window() -> None:
    todo = [name for name in graph() if name.startswith("kiosk.station.desk")]
    reached: set[str] = set()
    while todo:
        name = todo.pop()
        if name not in reached:
            reached.add(name)
            todo += graph()[name]
    for path in KIOSK.rglob("*.py"):
        if module(path) in reached:
            assert not any(name.split(".")[0] == "kivy" for name in imports(path)), path


def test_no_folder_is_crowded() -> None:
    for folder in (KIOSK, *(path for path in KIOSK.rglob("*") if path.is_dir())):
        assert len(list(folder.glob("*.py"))) <= 25, folder
