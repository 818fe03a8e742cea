"""Slips that no tap, switch or clock can sense: shown, not sensed.

Each test makes the slip (the person presses on as if nothing were wrong) and asserts that the right
word, drawing and inspection question are on the screen at that moment.
"""

from __future__ import annotations

from pathlib import Path
from typing import TypeVar

from mistakes import PLAIN, closings, coming, drawings, hands, no_heat_by_the_bar, said
from mistakes import at as begun
from station_driver import Person
from station_harness import Bench
from station_tree import walk

from kiosk.plan.model import Phase
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.show.parts import Ink, SlabKind
from kiosk.run.state.rules import QuestionKind
from kiosk.station.glass.theme import INK
from kiosk.station.glass.widgets.figures import BorderCheck
from kiosk.station.glass.widgets.lay_drawing import LayDrawing
from kiosk.station.glass.widgets.marks import Numeral
from kiosk.station.glass.widgets.text import Text

T = TypeVar("T")

MATCH = "number, name, size as the ticket"
WHOLE = "edges down; no sheet, carrier or marks"


def drawing(person: Person) -> LayDrawing:
    """Return the one lay drawing on the screen."""
    (found,) = drawings(person)
    return found


def figures(shown: LayDrawing) -> list[tuple[str, bool]]:
    """Return the number's figures from the operator's left, each with whether it is turned."""
    (number,) = (box for box in shown.lay.boxes if box.element == "number")
    letters = sorted(number.letters, key=lambda each: shown.ink(each).x)
    return [(each.character, number.turned) for each in letters]


def walked(person: Person, kind: type[T]) -> list[T]:
    """Return the widgets of a kind on the screen."""
    return [each for each in walk(person.station) if isinstance(each, kind)]


def neck(shown: LayDrawing) -> float:
    """Return how far the garment's neck reaches below its seam on the centre line, inches."""
    return max(y for x, y in shown.lay.garment if abs(x) < 0.01 and y < 5.0)


def looked_at(person: Person) -> str:
    """Press on to the inspection and return what it asks."""
    hands(person, Phase.INSPECT)
    assert person.view.inspecting
    return said(person)


def pressed_on(person: Person) -> None:
    """Press forward: the station senses nothing and the heat begins."""
    before = len(closings(person))
    person.forward()
    assert len(closings(person)) == before + 1


def test_the_wrong_number_in_hand_is_shown_not_sensed(bench: Bench, tmp_path: Path) -> None:
    """The bag of 13 at the ticket of 31: the number is the largest thing on the screen."""
    person = hands(begun(bench, tmp_path), Phase.LAY)
    assert person.view.number == "31"
    largest = max(walked(person, Numeral), key=lambda each: each.em)
    assert largest.text == "31"
    assert largest.em >= max(text.fitted.em for text in walked(person, Text))
    pressed_on(person)
    shown = looked_at(person)
    assert MATCH in shown
    assert "31" in shown.split()
    person.close()


def test_the_wrong_size_from_the_same_pile_is_shown_not_sensed(
    bench: Bench, tmp_path: Path
) -> None:
    """Only the first of a size is read back; the ticket's size stays on the screen."""
    person = begun(bench, tmp_path)
    hands(person, Phase.INSPECT)
    first = person.view.ticket
    while person.view.ticket == first:
        person.move_on()
    hands(person, Phase.LOAD)
    assert person.view.size == "AS"
    assert "AS" in said(person)
    pressed_on(person)
    shown = looked_at(person)
    assert MATCH in shown
    assert "AS" in shown
    person.close()


def test_a_6_laid_upside_down_is_shown_not_sensed(bench: Bench, tmp_path: Path) -> None:
    """The drawing has a bar under the foot of the 6; the inspection asks for the right way up."""
    person = hands(begun(bench, tmp_path, "1,AS,QUILLON,6\n2,AS,FENN,45\n3,AS,ORLO,9\n"), Phase.LAY)
    assert person.view.number == "6"
    shown = drawing(person)
    assert figures(shown) == [("6", True)]
    (six,) = (box for box in shown.lay.boxes if box.element == "number")
    place, picture = shown.place(six), bench.pixels()
    beyond = [place.top + k * place.h / 100 for k in range(2, 9)]  # turned: its foot is up
    ink = (INK.red, INK.green, INK.blue)
    assert any(picture.at(place.centre[0] + place.w / 4, y) == ink for y in beyond)
    pressed_on(person)
    assert "digits in order" in looked_at(person)
    person.close()


def test_digits_laid_as_13_for_31_are_shown_not_sensed(bench: Bench, tmp_path: Path) -> None:
    person = hands(begun(bench, tmp_path), Phase.LAY)
    assert person.view.number == "31"
    next_ones = [p.element for p in person.view.pieces if p.ink is Ink.NEXT]
    assert "number" in next_ones  # filled on the drawing
    assert figures(drawing(person)) == [("1", True), ("3", True)]  # as the hands see it
    assert "1 LEFT HAND 3 RIGHT HAND" in said(person)
    pressed_on(person)
    assert "digits in order" in looked_at(person)
    person.close()


def colours(person: Person) -> list[str]:
    """Return the colours of the number's layers, from the fabric up."""
    job = person.station.shell.state.job
    assert job is not None
    return [piece.colour for piece in job.plan.pieces if piece.element == "number"]


def seconds(person: Person, phase: Phase) -> int | None:
    """Return the seconds of the plan's first closing of this phase."""
    job = person.station.shell.state.job
    assert job is not None
    return next(step.seconds for step in job.plan.passes[0].steps if step.phase is phase)


def test_swapped_layers_are_shown_not_sensed(bench: Bench, tmp_path: Path) -> None:
    """One colour below, the other on top: each layer shows its word and swatch."""
    person = hands(begun(bench, tmp_path), Phase.LAY)
    lower, top = colours(person)
    assert lower.upper() in said(person)
    assert (SlabKind.FILM, lower) in coming(person)
    assert top.upper() not in " ".join(map(str, person.view.lines))
    pressed_on(person)
    hands(person, Phase.LAY_TOP)
    assert f"top {top.upper()}" in said(person)
    assert f"layer 2: {top.upper()}" in said(person)  # the swatch, with its layer
    assert len(walked(person, BorderCheck)) == 1
    assert "border 1/4 in, 1/16 in off at most" in said(person)
    assert (SlabKind.FILM, top) in coming(person)
    pressed_on(person)
    assert f"{top.upper()} on top, borders even" in looked_at(person)
    person.close()


def test_another_garments_name_is_shown_not_sensed(bench: Bench, tmp_path: Path) -> None:
    person = hands(begun(bench, tmp_path), Phase.LAY)
    assert said(person).count("QUILLON") >= 2  # beside the number, and as worn
    assert "MARROWAY" not in said(person)
    assert drawing(person).lay.texts["name"] == "QUILLON"
    pressed_on(person)
    shown = looked_at(person)
    assert "QUILLON" in shown
    assert MATCH in shown
    person.close()


def test_a_forgotten_sheet_is_shown_not_sensed(bench: Bench, tmp_path: Path) -> None:
    """The bar states that the sheet is on: pressing it claims that; the dark screen repeats it."""
    person = hands(begun(bench, tmp_path), Phase.COVER)
    shown = said(person)
    assert "SHEET ON" in shown
    final = seconds(person, Phase.FINAL)
    assert f"Carriers off, sheet on: close {final} s" in shown  # what pressing it claims
    assert "NO SHEET" not in shown
    assert SlabKind.SHEET in [slab for slab, _ in coming(person)]
    pressed_on(person)
    person.stage.pass_time(1.5)
    assert "SHEET ON" in said(person)
    assert WHOLE in looked_at(person)
    person.close()


def test_a_carrier_left_on_is_shown_not_sensed(bench: Bench, tmp_path: Path) -> None:
    person = hands(begun(bench, tmp_path), Phase.REMOVE_CARRIER)
    shown = said(person)
    assert "Carriers off, lay the top" in shown
    assert "HOT 2 carriers off, at once" in shown
    assert "Carriers off, top even: tack 3 s" in shown  # what pressing it claims
    assert SlabKind.CARRIER in [slab for slab, _ in coming(person)]
    pressed_on(person)
    assert WHOLE in looked_at(person)
    person.close()


def test_a_long_tack_without_a_switch_is_shown_not_sensed(bench: Bench, tmp_path: Path) -> None:
    """The tone sounds, and OPEN with the seconds since stays on top until a hand moves."""
    person = hands(begun(bench, tmp_path), Phase.LAY)
    pressed_on(person)
    person.until_open()
    person.stage.pass_time(9.0)
    assert "OPEN" in said(person).split()
    assert person.view.open_since is not None
    assert person.view.open_since >= 9
    assert WHOLE in looked_at(person)
    person.close()


def test_the_front_loaded_for_the_back_is_shown_not_sensed(bench: Bench, tmp_path: Path) -> None:
    """The panel is named at loading, beside the size, and at the inspection."""
    person = hands(begun(bench, tmp_path, recipe="both-sides"), Phase.LOAD)
    assert person.view.panel == "back"
    assert "back up, collar toward you" in said(person)
    back = neck(drawing(person))
    while person.view.panel != "front":
        person.move_on()
    hands(person, Phase.LOAD)
    assert "front up, collar toward you" in said(person)
    assert neck(drawing(person)) > back + 1.0  # the drawing has the front's deeper neck
    person.forward()
    while not person.view.inspecting:
        person.move_on()
    person.stage.pass_time(0.6)
    assert f"on the {person.view.panel}: {MATCH}" in said(person)
    person.close()


PILE_TWICE = """title: Raised pile, number behind and before
panels:
  - panel: back
    elements: [{element: number, layers: [{material: plush-film, colour: red}]}]
  - panel: front
    elements: [{element: number, layers: [{material: plush-film, colour: red}]}]
"""


def test_the_number_is_read_again_for_a_panel_pressed_in_a_later_run(
    bench: Bench, tmp_path: Path
) -> None:
    """The whole lot has its backs pressed first; at the front the number is read off the shirt."""
    rows = "1,AS,QUILLON,31\n2,AS,FENN,45\n"
    person = begun(bench, tmp_path, rows, PLAIN, "pile-twice", PILE_TWICE)
    job = person.station.shell.state.job
    assert job is not None
    assert len(job.plan.runs) == 2
    while person.view.panel != "front" or person.view.kind is not ScreenKind.ASK:
        assert person.view.kind is not ScreenKind.DONE
        person.move_on()
    assert "Back at the press" in said(person)
    assert "Read the number on the garment and enter it." in said(person)
    asked = person.station.shell.state.job
    assert asked is not None
    (question,) = (q for q in asked.questions if q.ask is QuestionKind.NUMBER)
    person.read_off("31" if question.right == "45" else "45")
    assert person.view.kind is ScreenKind.ASK
    assert no_heat_by_the_bar(person)
    person.close()
