"""`kiosk plan --html` and `--png`: a page and a picture of a job that can be pressed."""

from __future__ import annotations

import re
import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path

from command_line import ROOT, kiosk
from shop_folders import NAMES, write_shop

PNG = b"\x89PNG\r\n\x1a\n"
WITHOUT = "import sys; sys.modules['matplotlib'] = None; from kiosk.__main__ import main; main()"


class Parsed(HTMLParser):
    """The elements still open at the end of a page, and what it would load."""

    VOID = frozenset({"meta", "br", "img", "link", "hr"})

    def __init__(self, page: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.loads: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag not in self.VOID:
            self.open.append(tag)
        self.loads += [v for k, v in attrs if k in {"src", "href", "xlink:href"} and v]

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.loads += [v for k, v in attrs if k in {"src", "href", "xlink:href"} and v]

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def test_the_page_is_complete_loads_nothing_and_has_no_names(tmp_path: Path) -> None:
    target = tmp_path / "plan.html"
    args = ("plan", *write_shop(tmp_path))
    result = kiosk(*args, "--html", str(target))
    assert result.code == 0
    assert str(target) in result.err
    page = target.read_text("utf-8")
    parsed = Parsed(page)
    assert not parsed.open
    assert all(each.startswith("#") for each in parsed.loads)
    assert not re.search(r"<script|@import|url\(\s*['\"]?http", page)
    assert not any(name in page for name in NAMES)
    for part in (
        "no safe touch",
        "licensed person",
        "never leave a hot closed press",
        "fumes",
        "Not yet tried",
        "Final press",
        "<svg",
        "What is estimated",
        "Pull",
        "late from",
    ):
        assert part.casefold() in page.casefold(), part


def test_the_same_plan_gives_the_same_page(tmp_path: Path) -> None:
    args = ("plan", *write_shop(tmp_path), "--html")
    pages = []
    for name in ("one", "two"):
        kiosk(*args, str(tmp_path / name))
        pages.append((tmp_path / name).read_bytes())
    assert pages[0] == pages[1]


def test_the_picture_is_a_png(tmp_path: Path) -> None:
    target = tmp_path / "plan.png"
    args = ("plan", *write_shop(tmp_path))
    assert kiosk(*args, "--png", str(target)).code == 0
    assert target.read_bytes().startswith(PNG)


def test_a_picture_that_cannot_be_written_is_a_fault_and_leaves_nothing(tmp_path: Path) -> None:
    args = ("plan", *write_shop(tmp_path))
    result = kiosk(*args, "--png", str(tmp_path / "none" / "plan.png"))
    assert (result.code, result.out) == (1, "")
    assert "plan.png" in result.err


def test_without_matplotlib_the_fault_says_what_to_install(tmp_path: Path) -> None:
    """In a process of its own where it cannot be imported."""
    target = tmp_path / "plan.png"
    job = write_shop(tmp_path)
    run = subprocess.run(
        [sys.executable, "-c", f"{WITHOUT.replace('main()', 'sys.exit(main())')}",
         "plan", *job, "--png", str(target)],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert run.returncode == 2
    assert "venv/bin/pip install -e '.[pictures]'" in run.stderr
    assert not target.exists()


class Cells(HTMLParser):
    """The cells of a page's tables, with the heading that each names."""

    def __init__(self) -> None:
        super().__init__()
        self.heads: list[str] = []
        self.named: list[list[str]] = []
        self._in_head = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Reset the headings at a new table; note which heading a cell names."""
        self._in_head = tag == "th"
        if tag == "thead":
            self.heads = []
        elif tag == "tr":
            self.named.append([])
        elif tag == "td":
            self.named[-1].append(str(dict(attrs).get("data-head")))

    def handle_data(self, data: str) -> None:
        """Note a heading."""
        if self._in_head:
            self.heads.append(data)
            self._in_head = False

    def handle_endtag(self, tag: str) -> None:
        """Check that a row's cells name its table's headings in order."""
        if tag == "tr" and self.named[-1]:
            assert self.named[-1] == self.heads


def test_every_cell_of_the_page_names_its_heading_for_telephones(tmp_path: Path) -> None:
    """On 375 px the cells are shown below each other, so each needs its heading."""
    target = tmp_path / "plan.html"
    assert kiosk("plan", *write_shop(tmp_path), "--html", str(target)).code == 0
    cells = Cells()
    page = target.read_text("utf-8")
    cells.feed(page)
    assert len([row for row in cells.named if row]) > 3
    assert "attr(data-head)" in page
