"""README and docs: links and named paths exist, and the README begins with how to start."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from source_tree import statements, tree

ROOT = Path(__file__).resolve().parents[1]
PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").glob("*.md"))]
SCREENFUL = 45  # lines
KIOSK = ROOT / "kiosk"
ROOMS = {each.name for each in KIOSK.iterdir() if (each / "__init__.py").exists()}
OWN = {"kiosk", "tests", "assets", "docs", "recipes", "shared"}
MADE_BY_THE_SHOP = {"recipes/stock.yaml", "recipes/headings.yaml", "shared/inbox"}
SOURCES = [path for folder in ("kiosk", "tests") for path in sorted((ROOT / folder).rglob("*.py"))]


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_link_and_picture_on_a_page_exists(page: Path) -> None:
    links = re.findall(r"\]\(([^)#]+)(?:#[^)]*)?\)", page.read_text("utf-8"))
    own = [link for link in links if "://" not in link]
    assert [link for link in own if not (page.parent / link).exists()] == []


def test_every_docs_page_is_linked() -> None:
    texts = [page.read_text("utf-8") for page in PAGES]
    named = {Path(link).name for text in texts for link in re.findall(r"\]\(([^)#]+\.md)", text)}
    assert {page.name for page in PAGES} - {"README.md"} - named == set()


def test_the_readme_opens_with_what_it_is_its_limits_and_two_commands() -> None:
    text = (ROOT / "README.md").read_text("utf-8")
    first = "\n".join(text.splitlines()[:SCREENFUL])
    for part in (
        "python3 -m kiosk.begin station",
        "python3 -m kiosk.begin tests",
        "What it does not do",
        "not yet been tried on a real press",
        "press operator",
    ):
        assert part in first
    assert first.count("![") == 1


def spans(text: str) -> Iterator[str]:
    """Yield each word between backquotes, also across the end of a line."""
    for span in re.findall(r"(?<!`)`([^`\n]+(?:\n[^`\n]+)?)`(?!`)", text):
        yield from (word.strip(",;:()").rstrip("/") for word in span.split())


def is_there(name: str, *folders: Path) -> bool:
    """Return whether a file, module or folder of this name is in one of these folders."""
    return any(path.exists() for each in folders for path in (each / name, each / f"{name}.py"))


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_path_named_on_a_page_exists(page: Path) -> None:
    """By its whole path or by the path below `kiosk`; patterns and <placeholders> do not count."""
    paths = {word for word in spans(page.read_text("utf-8")) if "/" in word}
    own = {word for word in paths if word.partition("/")[0] in OWN | ROOMS}
    plain = {word for word in own if not set("*<") & set(word)} - MADE_BY_THE_SHOP
    assert [word for word in sorted(plain) if not is_there(word, ROOT, KIOSK)] == []


def rows_of_shelves() -> Iterator[tuple[str, tuple[Path, ...], str]]:
    """Yield, for each row of the table of shelves, its first cell, the shelves, the other cells."""
    text = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    table = text.partition("| shelf |")[2].partition("\n\n")[0]
    for first, rest in re.findall(r"^\| (`[^|]*) \| (.*) \|$", table, re.MULTILINE):
        own = list(spans(first))
        room = own[0].partition("/")[0]
        names = [own[0], *(f"{room}/{each}" for each in own[1:])]
        yield first, tuple(KIOSK / name for name in names), rest


ELSEWHERE = {"kiosk", "simulate", "es.po"}  # a command's two words; beside `en.po`


def defined(shelf: Path) -> Iterator[str]:
    """Yield each name that the files of a shelf define."""
    for path in shelf.rglob("*.py") if shelf.is_dir() else [shelf.with_suffix(".py")]:
        for node in statements(path):
            if isinstance(node, ast.ClassDef | ast.FunctionDef):
                yield node.name
            elif isinstance(node, ast.Assign):
                yield from (each.id for each in node.targets if isinstance(each, ast.Name))


@pytest.mark.parametrize(
    ("shelves", "rest"),
    [pytest.param(own, rest, id=first) for first, own, rest in rows_of_shelves()],
)
def test_every_name_in_the_table_of_shelves_exists(shelves: tuple[Path, ...], rest: str) -> None:
    assert all(is_there(each.name, each.parent) for each in shelves)
    words = [word for word in spans(rest) if word not in ELSEWHERE]
    named = [ROOT / word for word in words if word.startswith("kiosk/")]
    known = {name for each in (*shelves, *named) for name in defined(each)}
    beside = [*shelves, *(each.parent for each in shelves if each.parent != KIOSK)]
    gone = [w for w in words if not is_there(w, *beside, *([KIOSK, ROOT] if "/" in w else []))]
    assert [word for word in gone if word not in known] == []


def test_every_file_named_in_a_docstring_or_comment_exists() -> None:
    """Whole paths, and tests by file name alone, so that no renamed file leaves its old name."""
    tests = {path.name for path in SOURCES}
    found = re.compile(
        r"\b((?:kiosk|tests|assets|docs)/[\w/.-]+\.(?:py|md|po|sql|json)|test_\w+\.py)\b"
    )
    gone = [
        f"{path.relative_to(ROOT)}: {name}"
        for path in SOURCES
        for name in found.findall(path.read_text("utf-8"))
        if not (ROOT / name).exists() and name not in tests
    ]
    assert gone == []


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_contributors_commands_use_the_projects_own_python(page: Path) -> None:
    """Debian has no `python`, and its `python3` has none of the libraries these commands need."""
    text = page.read_text("utf-8")
    assert re.findall(r"(?<![\w/])python3? (?:-m tests|assets/|tests/)[\w./]*", text) == []


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_test_quoted_on_a_page_exists(page: Path) -> None:
    """Quoted as (`tests/…`: "a part of its name")."""
    text = " ".join(page.read_text("utf-8").split())
    quoted = re.findall(r'\(`(tests/[^`]+\.py)`: "([^"]+)"', text)
    names = {
        file: " ".join(
            n.name for n in ast.walk(tree(ROOT / file)) if isinstance(n, ast.FunctionDef)
        )
        for file, _ in quoted
    }
    assert [each for each in quoted if each[1].replace(" ", "_") not in names[each[0]]] == []
