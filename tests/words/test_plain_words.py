"""Plain English on screens, in the documentation and in the code: words that nobody says.

They are those of the project's rules of style; a comment or docstring that needs one of them reads
as translated, and is better written again.
"""

import io
import re
import tokenize
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PAGES = [*ROOT.glob("*.md"), *(ROOT / "docs").glob("*.md")]
SOURCES = sorted((ROOT / "kiosk").rglob("*.py"))
NOBODY_SAYS = re.compile(
    r"\b(anew|whoever|whomever|what of|of it that|has room|thereof"
    r"|(?:is|are|was|were) told(?! apart))\b",
    re.IGNORECASE,
)


def remarks(path: Path) -> Iterator[str]:
    """The comments and docstrings of a source file."""
    with tokenize.open(path) as file:
        text = file.read()
    for token in tokenize.generate_tokens(io.StringIO(text).readline):
        if token.type == tokenize.COMMENT or token.string.startswith(('"""', 'r"""')):
            yield token.string


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_a_page_has_no_word_that_nobody_says(page: Path) -> None:
    assert NOBODY_SAYS.findall(page.read_text("utf-8")) == []


@pytest.mark.parametrize("room", sorted({path.relative_to(ROOT).parts[1] for path in SOURCES}))
def test_comments_and_docstrings_have_no_word_that_nobody_says(room: str) -> None:
    own = [path for path in SOURCES if path.relative_to(ROOT).parts[1] == room]
    found = [(path.name, NOBODY_SAYS.findall(text)) for path in own for text in remarks(path)]
    assert [each for each in found if each[1]] == []


def test_the_screens_have_no_word_that_nobody_says() -> None:
    text = (ROOT / "assets" / "locale" / "en.po").read_text("utf-8")
    sentences = re.findall(r'^msgstr.* "(.*)"$', text, re.MULTILINE)
    assert [each for each in sentences if NOBODY_SAYS.search(each)] == []
