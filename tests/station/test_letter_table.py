"""The table of letter heights in docs/hardware.md, measured in the pictures of the screens."""

import re

import pytest
from station_driver import ROOT
from station_harness import Bench, Picture
from station_screen import PANELS
from station_tree import texts, walk
from test_enlarged_lay import screen_on, touch

from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.widgets.buttons import ForwardBar
from kiosk.station.glass.widgets.ribbon import ChipBox
from kiosk.station.glass.widgets.text import Text

COLUMNS = {
    "7 inch": "7 in",
    "7 inch upright": "7 in upright",
    "10 inch": "10.1 in",
    "10 inch upright": "10.1 in upright",
    "13 inch": "13.3 in",
}
LAID = re.compile(r"RED (name|nombre), .*NAVY")
ROWS = {"en": 0, "es": 1}


def table() -> dict[str, dict[str, tuple[float, float]]]:
    """Return the table by row and column: millimetres in English and in Spanish."""
    text = (ROOT / "docs" / "hardware.md").read_text("utf-8")
    rows = [line.strip("|").split("|") for line in text.splitlines() if line.startswith("|")]
    heads = [cell.strip() for cell in rows[0]]
    return {
        row[0].strip(): {
            head: (float(cell.split("/")[0]), float(cell.split("/")[1]))
            for head, cell in zip(heads[1:], row[1:], strict=True)
        }
        for row in rows[2:]
    }


def ink_height(picture: Picture, text: Text, whole: bool = False) -> int:
    """Return the ink height of the first row's first letter, or of the whole row, px."""
    ground = picture.at(text.ink.x - 3, text.ink.centre[1])
    row = text.ink.h / max(1, len(text.fitted.rows))
    within = Box(text.ink.x, text.ink.top - row, text.ink.w, row)

    def dark(x: int) -> list[int]:
        ys = range(int(within.y), int(within.top + 2))
        return [y for y in ys if abs(picture.at(x, y)[1] - ground[1]) > 110]

    xs = range(int(within.x), int(within.right))
    start = next(x for x in xs if dark(x))
    last = int(within.right)
    end = last if whole else next((x for x in range(start, last) if not dark(x)), last)
    found = [y for x in range(start, end) for y in dark(x)]
    return max(found) - min(found) + 1


def measured(bench: Bench, panel: str, tongue: str) -> dict[str, float]:
    """Return the table's values for a panel in a language, in mm, measured in two pictures."""
    scale = Scale(PANELS[panel][:2], PANELS[panel][2])
    screen = screen_on(bench, "lay-one", panel, tongue)
    assert screen.view is not None
    shown = texts(screen)
    bar = next(each for each in walk(screen) if isinstance(each, ForwardBar))
    lines = {
        "move": next(e for e in shown if e.text == screen.words.say(screen.view.move)),
        "sheet line": next(e for e in shown if e.text in {"NO SHEET", "SIN HOJA"}),
        "colour, order": next(e for e in shown if LAID.match(e.text)),
        "hands": next(e for e in shown if e.text.startswith("1") and not e.text.endswith("in")),
        "distances": next(e for e in shown if e.text.startswith("8") and e.text.endswith("in")),
        "seconds on the bar": texts(bar)[0],
    }
    picture = bench.pixels()
    found = {name: ink_height(picture, text) / scale.px_per_mm for name, text in lines.items()}
    touch(bench, screen)
    large = next(e for e in texts(screen) if LAID.match(e.text))
    height = ink_height(bench.pixels(), large) / scale.px_per_mm
    found["**after a touch**: colour, order, hands; seconds of the rack"] = height
    screen = screen_on(bench, "chips-dark", panel, tongue)
    box = next(each for each in walk(screen) if isinstance(each, ChipBox))
    chip = next(e for e in texts(box) if re.search(r"\d", e.text))  # figures have no descenders
    found["seconds on chips"] = ink_height(bench.pixels(), chip, whole=True) / scale.px_per_mm
    return found


@pytest.mark.parametrize("panel", COLUMNS)
def test_the_table_of_letter_heights_matches_the_pictures(bench: Bench, panel: str) -> None:
    said = table()
    for tongue, nth in ROWS.items():
        found = measured(bench, panel, tongue)
        assert found.keys() == said.keys()
        for row, millimetres in found.items():
            assert millimetres == pytest.approx(said[row][COLUMNS[panel]][nth], abs=0.2), row
        assert found["distances"] >= 2.8
        if not panel.startswith("7"):
            assert found["colour, order"] >= 5.6
