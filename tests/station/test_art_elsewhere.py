"""Art on the proof, on its page and on the practice bench, compared with the font's outlines.

A reader sees art upright. On the bench it lies as the operator sees it: a turned piece is the other
way up, a piece face down is mirrored (plain geometry).
"""

from __future__ import annotations

import re
import sys
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest
from art_seen import TURNED, UPRIGHT, Blob, Way, assert_lies, blobs, capital, read
from kivy.uix.widget import Widget
from station_driver import lay_out, shorten
from station_harness import Bench as Glass

from kiosk.__main__ import main
from kiosk.catalog.model.orders import RosterLine
from kiosk.catalog.rules.faces import read_face
from kiosk.plan.procedure import proofs
from kiosk.run.state.model import Garment
from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.lay import bench_lay
from kiosk.station.glass.theme import PAPER
from kiosk.station.glass.widgets.bench_art import Art, bounding_box
from kiosk.station.glass.widgets.lay_drawing import ProofDrawing
from kiosk.station.glass.widgets.paint import fill
from kiosk.station.glass.widgets.text import Text
from kiosk.train.practice.bench import Bench, BenchJob, WorkPosition, bench_at

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "train"))

from catalog_jobs import planned

YELLOW, DULL = (0xF3, 0xD1, 0x3B), (0xB7, 0xB2, 0xA6)  # a film, and the back of any film
JOB, NUMBER = "raft-polo", re.compile(r"-?[0-9.]+")
ALL, SCALE = Box(0, 0, 1920, 1200), Scale((1920, 1200), 10.1)
PRESSES = {"heron": True, "coot": False}  # whether the collar is toward the operator
DIGITS = "0123456789"


def shown(glass: Glass, drawn: Widget) -> None:
    """Show one drawing on paper in a large window."""
    glass.clear()
    glass.resize(1920, 1200)
    page = Widget()
    with page.canvas:
        fill(ALL, PAPER)
    page.add_widget(drawn)
    glass.show(page)


@pytest.mark.parametrize("press", PRESSES)
def test_a_proof_has_every_letter_upright_and_in_order(bench: Glass, press: str) -> None:
    plan = planned("two-layer-pair", press=press)
    (garment,) = proofs(plan, [RosterLine("1", "AM", "JFREN", "27")], read_face())
    shown(bench, ProofDrawing(ALL, SCALE, [garment]))
    found = blobs(bench.pixels(), YELLOW, [ALL])
    # the name is above the number, and columns overlap: look at each alone
    low, top = min(b.low for b in found), max(b.top for b in found)
    number = blobs(bench.pixels(), YELLOW, [Box(0, low, 1920, (top - low) * 0.6)])
    name = blobs(bench.pixels(), YELLOW, [Box(0, low + (top - low) * 0.75, 1920, (top - low) / 4)])
    assert [read(blob, UPRIGHT, DIGITS) for blob in number] == ["2", "7"]
    for blob, character in zip((*name, *number), "JFREN27", strict=True):
        assert_lies(blob, character, UPRIGHT)


def test_a_proof_uses_two_rows_when_one_would_make_garments_small(bench: Glass) -> None:
    """Below the title on 10 inches, six garments in one row would be half as large."""
    lines = [RosterLine(str(n), "AM", "JFREN", str(n)) for n in range(1, 7)]
    garments = proofs(planned("both-sides"), lines, read_face())
    page = ProofDrawing(Box(0, 0, 1240, 400), Scale((1280, 800), 10.1), garments)
    rows = Counter(round(each.box.y) for each in page.children if isinstance(each, Text))
    assert len(garments[0].panels) == 2
    assert sorted(rows.values()) == [3, 3, 3, 3]  # two lines below each of three, twice


def test_the_html_proof_has_upright_letters_of_the_recipes_height(tmp_path: Path) -> None:
    lay_out(tmp_path, JOB)
    recipe = tmp_path / "recipes" / "two-layer-pair.yaml"
    text = recipe.read_text("utf-8").replace("element: name", "element: name, height: 2 in")
    recipe.write_text(text.replace("element: number", "element: number, height: 8 in"), "utf-8")
    shorten(tmp_path, JOB, "2")  # ÑANDORI, 52
    page, job = tmp_path / "proof.html", tmp_path / "jobs" / JOB
    assert main(["proof", str(job), "--recipes", str(recipe.parent), "--html", str(page)]) == 0
    html = page.read_text("utf-8")
    assert "rotate" not in html
    assert "matrix" not in html
    found = re.findall(r"<text transform=\"(.*?)\".*?fill=\"(.*?)\".*?>([^<])</text>", html)
    top = [(NUMBER.findall(way), letter) for way, fill, letter in found if fill == "#F3D13B"]
    assert "".join(letter for _, letter in top) == "ÑANDORI52"
    for (_, _, across, up), letter in top:
        high, border = (2, 1 / 8) if letter.isalpha() else (8, 1 / 4)  # border of the layer below
        assert float(across) > 0
        assert capital() * float(up) == pytest.approx(high - 2 * border, abs=0.01)
    for word in ("ÑANDORI", "52"):
        at = [float(across[0]) for across, letter in top if letter in word]
        assert at == sorted(at)
        assert at[0] < 0  # left of the centre line
    down = {letter: float(way[1]) for way, letter in top}
    assert 0 < down["N"] < down["5"] == down["2"]  # y grows from the collar to the hem


def art(glass: Glass, bench: Bench) -> Art:
    """Draw a bench; return its drawing."""
    drawn = Art(ALL, SCALE, bench_lay(bench))
    shown(glass, drawn)
    return drawn


def lain(press: str) -> Bench:
    """Return a bench with all pieces of a garment laid and uncovered."""
    own = BenchJob(planned("two-layer-pair", press=press), Garment("1", "27", "AM", "d"), "JFREN")
    last = len(own.plan.passes[0].steps) - 1
    return replace(bench_at(own, WorkPosition(0, last, last)), sheet=False, rack=False)


def figures(glass: Glass, bench: Bench, colour: Sequence[int] = YELLOW) -> list[Blob]:
    """Return the figures of the number in a colour, from left to right."""
    drawn = art(glass, bench)
    films = [drawn.film(each) for each in drawn.lay.pieces if each.piece.piece.element == "number"]
    return blobs(glass.pixels(), colour, [bounding_box(films)])


@pytest.mark.parametrize("press", PRESSES)
def test_the_practice_bench_is_drawn_as_the_operator_sees_it(bench: Glass, press: str) -> None:
    way, other = (TURNED, UPRIGHT) if PRESSES[press] else (UPRIGHT, TURNED)
    two, seven = figures(bench, lain(press))[:: -1 if PRESSES[press] else 1]
    assert_lies(two, "2", way)
    assert_lies(seven, "7", way)
    wrong = replace(lain(press), toward=not PRESSES[press])  # pieces are laid by the plan
    for blob, character in zip(
        figures(bench, wrong), "72" if PRESSES[press] else "27", strict=True
    ):
        assert_lies(blob, character, way)
    one = tuple(
        replace(each, turned=each.text == "7", face_down=each.text == "2")
        for each in lain(press).pieces
    )
    slips = replace(lain(press), pieces=one)
    (seven,) = figures(bench, slips)
    assert_lies(seven, "7", other)
    (two,) = figures(bench, slips, DULL)
    assert_lies(two, "2", Way(way.quarters, mirrored=True))


@pytest.mark.parametrize("press", PRESSES)
def test_a_finished_garment_is_drawn_as_a_reader_sees_it(bench: Glass, press: str) -> None:
    worn = replace(lain(press), worn=True)
    for blob, character in zip(figures(bench, worn), "27", strict=True):
        assert_lies(blob, character, UPRIGHT)
    wrong = replace(worn, toward=not worn.laid_toward)  # the collar lay the other way
    for blob, character in zip(figures(bench, wrong), "72", strict=True):
        assert_lies(blob, character, TURNED)
