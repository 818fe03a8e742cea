"""A station with a long name: its tile on the wall keeps the name off the lines below."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest
from jinja2 import Environment, FileSystemLoader

import kiosk.office
from kiosk.catalog.base import say
from kiosk.office.pages import BoardChip, Tile, Wall, across, clock_text
from kiosk.words import Words

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
HTML = Path(kiosk.office.__file__).parent / "html"
PROBE = """<script>addEventListener("load", () => {
  const box = (tile, what) => tile.querySelector(what).getBoundingClientRect();
  const wrong = [...document.querySelectorAll(".tile")].filter(tile => {
    const name = tile.querySelector("h2"), title = box(tile, ".title");
    return name.scrollHeight > name.clientHeight + 1 || name.scrollWidth > name.clientWidth + 1
      || box(tile, "h2").bottom > title.top + 1 || box(tile, "header p").bottom > title.top + 1
      || box(tile, ".time").top < title.bottom - 3 || box(tile, "h2").height > title.height * 2.2;
  });
  document.title = `wrong ${wrong.length}`; });</script>"""


@pytest.mark.skipif(CHROMIUM is None, reason="needs a chromium")
@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("size", ["1280,800", "800,1280"])
def test_a_long_name_leaves_the_title_and_the_time_their_lines(
    tmp_path: Path, language: str, size: str
) -> None:
    words, made = Words(language), Environment(loader=FileSystemLoader(HTML), autoescape=True)
    made.filters |= {"clock_text": clock_text, "across": across}
    chip = BoardChip("7", say("peel.cold"), "now", 0.0, 3.0, guess=False)
    tile = Tile(
        "workshop-bench-number-two", "dark", say("wall.heat"), "down", 48.0, "7",
        "Harbour Lanterns, away set", 3, 120, None, (chip,), 1, None,
    )  # fmt: skip
    wall = Wall((tile,) * 4, (), 0, {}, "2026-12-01", None, old=False)
    body = made.get_template("stations.html").render(t=words, say=words.say, wall=wall)
    style = (HTML / "board.css").read_text("utf-8")
    (tmp_path / "wall.html").write_text(
        f"<!doctype html><meta charset=utf-8><style>{style}</style>"
        f'<body class="wall"><p class="ways">-</p><main id="wall">{body}</main>{PROBE}</body>',
        "utf-8",
    )
    seen = subprocess.run(
        [CHROMIUM or "", "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run",
         f"--user-data-dir={tmp_path / 'own'}", f"--window-size={size}", "--dump-dom",
         f"file://{tmp_path}/wall.html"],
        check=True, capture_output=True, timeout=60,
    ).stdout.decode()  # fmt: skip
    found = re.search(r"<title>wrong (\d)</title>", seen)
    assert found is not None
    assert found[1] == "0"
