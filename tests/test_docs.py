"""README and docs: every link leads somewhere, and the first screenful says how to begin."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").glob("*.md"))]
SCREENFUL = 45  # lines


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_link_and_picture_of_a_page_is_there(page: Path) -> None:
    links = re.findall(r"\]\(([^)#]+)(?:#[^)]*)?\)", page.read_text("utf-8"))
    own = [link for link in links if "://" not in link]
    assert [link for link in own if not (page.parent / link).exists()] == []


def test_every_page_of_the_docs_can_be_reached_from_the_readme() -> None:
    texts = [page.read_text("utf-8") for page in PAGES]
    named = {Path(link).name for text in texts for link in re.findall(r"\]\(([^)#]+\.md)", text)}
    assert {page.name for page in PAGES} - {"README.md"} - named == set()


def test_the_first_screenful_says_what_it_is_what_it_does_not_do_and_the_two_commands() -> None:
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
