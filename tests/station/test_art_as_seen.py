"""Art on the screen compared with the font's outlines: which letter, which way up, which hand.

Expected values follow from design.md sections 2 and 7 and from giving a sheet of paper half a turn:
with the collar toward the operator every letter is turned, the last figure is at the left hand, the
name is nearer the operator than the number and the wearer's left is at the left.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import partial
from pathlib import Path
from typing import NamedTuple

import pytest
from art_seen import TURNED, UPRIGHT, Blob, Way, assert_lies, blobs, read, span
from station_driver import Person, lay_out
from station_harness import Bench
from station_tree import texts, walk

from kiosk.run.facts.questions import ScreenKind
from kiosk.run.show.parts import Ink
from kiosk.station.glass.widgets.figures import AsWorn, PlaceWorn
from kiosk.station.glass.widgets.lay_drawing import LayDrawing

JOB, TITLE = "raft-polo", "Orsavel raft polo"
RED, GREEN, PURPLE, TEAL = (
    (0xC2, 0x23, 0x29),
    (0x1F, 0x7A, 0x3D),
    (0x4F, 0x2A, 0x80),
    (17, 122, 122),
)
NUMBERS = {"back": GREEN, "left-chest": PURPLE, "right-sleeve": TEAL}
HEIGHTS = {"back": 8.0, "left-chest": 3.0, "right-sleeve": 3.0}
CLOTH = (0xEB, 0xE4, 0xD6)
RECIPE = """\
title: Made to be turned
panels:
  - panel: back
    elements:
      - {element: name, height: 2 in, layers: [{material: glow-film, colour: red}]}
      - {element: number, height: 8 in, layers: [{material: glow-film, colour: green}]}
  - panel: left-chest
    elements:
      - {element: number, height: 3 in, layers: [{material: glow-film, colour: purple}]}
  - panel: right-sleeve
    elements:
      - {element: number, height: 3 in, layers: [{material: glow-film, colour: teal}]}
"""
ROWS = {"1": ("YM", "JUF", "69"), "2": ("AL", "RNSE", "27")}
ROSTER = "line,size,name,number\n" + "".join(
    f"{line},{','.join(row)}\n" for line, row in ROWS.items()
)


class Seen(NamedTuple):
    """A lay screen: its garment and panel, and the blobs of each element on the platen and as worn.

    `cloth` and `shirt` are left and right ends, `said` the words beside the platen with their
    places.
    """

    line: str
    panel: str
    name: list[Blob]
    number: list[Blob]
    cloth: tuple[int, int]
    worn_name: list[Blob]
    worn_number: list[Blob]
    shirt: tuple[int, int]
    said: dict[str, tuple[float, float]]


def shop(place: Path, away: bool) -> Path:
    """Lay out a job of three panels, its press with the collar toward or away from the operator."""
    lay_out(place, JOB)
    (place / "recipes" / "made-to-be-turned.yaml").write_text(RECIPE, "utf-8")
    job = place / "jobs" / JOB
    (job / "roster.csv").write_text(ROSTER, "utf-8")
    text = (job / "job.yaml").read_text("utf-8")
    (job / "job.yaml").write_text(re.sub("recipe: .*", "recipe: made-to-be-turned", text), "utf-8")
    if away:
        presses = place / "recipes" / "shop.yaml"
        text = presses.read_text("utf-8").replace("collar toward", "collar away from")
        presses.write_text(text, "utf-8")
    return place


def played(bench: Bench, place: Path, away: bool) -> Iterator[Seen]:
    """Yield every lay screen of the job as it is pressed."""
    bench.resize(1920, 1200)  # fine enough for the smallest figure
    person = Person(bench, shop(place, away))
    person.first_start()
    person.sign_off()
    person.begin(TITLE)
    while person.view.kind is not ScreenKind.DONE:
        pieces = person.view.pieces
        if person.view.kind is ScreenKind.HANDS and any(each.ink is Ink.NEXT for each in pieces):
            yield look(bench, person)
        person.move_on()


def look(bench: Bench, person: Person) -> Seen:
    """Return what the window shows now."""
    picture, view, number = bench.pixels(), person.view, NUMBERS[person.view.panel]
    (drawn,) = (each for each in walk(person.station) if isinstance(each, LayDrawing))
    worn = [each.box for each in walk(person.station) if isinstance(each, AsWorn | PlaceWorn)]
    of = partial(blobs, picture)
    return Seen(
        view.line,
        view.panel,
        of(RED, [drawn.whole]),
        of(number, [drawn.whole]),
        span(of(CLOTH, [drawn.whole])),
        of(RED, worn),
        of(number, worn),
        span(of(CLOTH, worn)),
        {re.sub(r"\s", " ", each.text): each.ink.centre for each in texts(drawn)},
    )


def assert_written(found: Sequence[Blob], text: str, way: Way) -> None:
    """Assert that the blobs are the letters of a text, in order, each lying this way."""
    seen = text if way == UPRIGHT else text[::-1]
    assert len(found) == len(seen)
    for blob, character in zip(found, seen, strict=True):
        assert_lies(blob, character, way)
        assert read(blob, way, "0123456789" if text.isdigit() else "EFJNPRSUZ") == character


def middle(ends: tuple[int, int]) -> float:
    return sum(ends) / 2


@pytest.mark.parametrize("away", [False, True], ids=["toward", "away"])
def test_every_piece_is_drawn_as_the_operator_sees_it(
    bench: Bench, tmp_path: Path, away: bool
) -> None:
    way, sign = (UPRIGHT, 1) if away else (TURNED, -1)
    seen = list(played(bench, tmp_path, away))
    assert {(each.line, each.panel) for each in seen} == {(r, p) for r in ROWS for p in NUMBERS}
    for each in seen:
        _, name, number = ROWS[each.line]
        assert_written(each.number, number, way)
        assert_written(each.name, name if each.panel == "back" else "", way)
        inch = (each.number[0].top - each.number[0].low) / HEIGHTS[each.panel]
        starts = [each.number[0].top if away else each.number[0].low]
        if each.name:  # nearer the collar than the number
            starts.insert(0, each.name[0].top if away else each.name[0].low)
            assert abs(middle(span(each.name)) - middle(each.cloth)) < 2
            assert (starts[0] - starts[1]) * sign > 2 * inch
        assert_hands(each)
        assert_off_centre(each, inch, sign)
        assert_lengths(each, starts, inch)
        assert_worn(each, name, number)


def assert_hands(seen: Seen) -> None:
    """Assert that the figure at each side of the platen is the one named for that hand."""
    words = {said[2:]: (said[0], at) for said, at in seen.said.items() if "HAND" in said}
    left, right = words["LEFT HAND"], words["RIGHT HAND"]
    way = UPRIGHT if ROWS[seen.line][2][0] == left[0] else TURNED
    assert [read(blob, way, "0123456789") for blob in seen.number] == [left[0], right[0]]
    assert left[1][0] < seen.cloth[0] < seen.cloth[1] < right[1][0]


def assert_off_centre(seen: Seen, inch: float, sign: int) -> None:
    """Assert that the number is on the centre line, or off it as written, to the wearer's left."""
    off = (middle(span(seen.number)) - middle(seen.cloth)) / inch
    said = [float(text.split("; ")[1].split()[0]) for text in seen.said if "off centre" in text]
    assert bool(said) == (seen.panel == "left-chest")
    assert off * sign == pytest.approx(said[0] if said else 0.0, abs=0.25)


def assert_lengths(seen: Seen, starts: Sequence[float], inch: float) -> None:
    """Assert that pieces are as far apart as the lengths written beside them."""
    lengths = sorted(inches(text) for text in seen.said if " in" in text and "HAND" not in text)
    assert len(lengths) == len(starts)
    for length, start in zip(lengths, starts, strict=True):
        apart = abs(start - starts[0]) / inch
        assert apart == pytest.approx(length - lengths[0], abs=0.25)


def inches(text: str) -> float:
    """Return inches: 7.5 for `7 1/2 in; 4 in off centre`."""
    whole, *half = text.split(" in")[0].split()
    return float(whole) + (0.5 if half == ["1/2"] else 0.0)


def assert_worn(seen: Seen, name: str, number: str) -> None:
    """Assert that the inset is upright, with the wearer's left at the viewer's right."""
    if not seen.worn_number:
        assert seen.panel != "back"  # the margin is too narrow, or the panel is not on the body
        return
    off = middle(span(seen.worn_number)) - middle(seen.shirt)
    if seen.panel == "back":
        assert_written(seen.worn_number, number, UPRIGHT)
        assert_written(seen.worn_name, name, UPRIGHT)
        assert seen.worn_name[0].low > seen.worn_number[0].top
        assert abs(off) < 3
    else:
        assert off > 10
