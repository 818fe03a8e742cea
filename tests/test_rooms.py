"""The way through the house: a room imports only from rooms to its left (design.md section 2)."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

KIOSK = Path(__file__).resolve().parents[1] / "kiosk"

ROOMS = ["catalog", "heat", "plan", "run", "peel", "log", "report", "train", "station", "commands"]
PURE = ["heat", "plan", "run", "report"]
IMPURE = {
    "time", "datetime", "os", "io", "pathlib", "sqlite3", "random", "kivy", "plyer", "socket",
    "subprocess", "threading", "tempfile", "shutil", "yaml", "platformdirs", "filelock",
}  # fmt: skip


def imports(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: relative import"
            yield node.module or ""
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def files(room: str) -> list[Path]:
    """The room's files; its __main__, where it has one, is a command at its door."""
    return sorted(p for p in (KIOSK / room).rglob("*.py") if p.name != "__main__.py")


def rooms_of(path: Path) -> set[str]:
    return {name.split(".")[1] for name in imports(path) if name.startswith("kiosk.")}


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


def test_words_knows_nothing_but_the_catalogs_values() -> None:
    for path in files("words"):
        assert rooms_of(path) <= {"words", "catalog"}, path


@pytest.mark.parametrize("room", PURE)
def test_a_pure_room_has_no_clock_file_database_or_window(room: str) -> None:
    for path in files(room):
        roots = {name.split(".")[0] for name in imports(path)}
        assert not roots & IMPURE, path
        opens = [
            node
            for node in ast.walk(ast.parse(path.read_text("utf-8")))
            if isinstance(node, ast.Call)
            and isinstance(node.func, ast.Name)
            and node.func.id in {"open", "print", "input"}
        ]
        assert not opens, path


def test_every_room_is_in_the_list() -> None:
    found = {p.name for p in KIOSK.iterdir() if p.is_dir() and not p.name.startswith("__")}
    assert found <= {*ROOMS, "words"}
