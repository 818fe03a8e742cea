"""Slips that no tap, switch or clock can sense: shown, not sensed.

Each test commits the slip (the person presses on as if nothing were wrong) and holds that the
right word, drawing and inspection question are on the glass at that moment.
"""

from __future__ import annotations

from pathlib import Path

from mistakes import ROWS, closings, coming, drawings, hands, said
from mistakes import at as begun
from station_driver import Person
from station_harness import Bench

from kiosk.plan.model import Phase
from kiosk.run.model import Ask
from kiosk.run.views import Ink, Slab
from kiosk.station.widgets.numeral import has_foot

MATCH = "number, name, size as the ticket"
WHOLE = "edges down, sheet and carriers off, no marks"


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


def test_another_number_in_hand_shown_not_sensed(bench: Bench, tmp_path: Path) -> None:
    """The bag of 13 at the ticket of 31: the number is the largest thing on the glass."""
    person = hands(begun(bench, tmp_path), Phase.LAY)
    assert person.view.number == "31"
    assert "31" in said(person).split()
    pressed_on(person)
    shown = looked_at(person)
    assert MATCH in shown
    assert "31" in shown.split()
    person.close()


def test_another_size_of_the_same_pile_shown_not_sensed(bench: Bench, tmp_path: Path) -> None:
    """Only the first of a size is read back; the ticket's size stays on the glass."""
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


def test_a_6_laid_upside_down_shown_not_sensed(bench: Bench, tmp_path: Path) -> None:
    """The drawing has a bar under the foot of the 6; the inspection asks for the right way up."""
    person = hands(begun(bench, tmp_path, "1,AS,QUILLON,6\n2,AS,FENN,45\n3,AS,ORLO,9\n"), Phase.LAY)
    assert person.view.number == "6"
    assert has_foot(person.view.number)
    assert len(drawings(person)) == 1
    pressed_on(person)
    assert "digits in order" in looked_at(person)
    person.close()


def test_digits_laid_as_13_for_31_shown_not_sensed(bench: Bench, tmp_path: Path) -> None:
    person = hands(begun(bench, tmp_path), Phase.LAY)
    assert person.view.number == "31"
    next_ones = [p.element for p in person.view.pieces if p.ink is Ink.NEXT]
    assert "number" in next_ones  # filled on the drawing
    assert len(drawings(person)) == 1
    pressed_on(person)
    assert "digits in order" in looked_at(person)
    person.close()


def test_layers_swapped_shown_not_sensed(bench: Bench, tmp_path: Path) -> None:
    """Black below, white on top: the colour's word and swatch go with each layer."""
    person = hands(begun(bench, tmp_path), Phase.LAY)
    assert "BLACK" in said(person)
    assert (Slab.FILM, "black") in coming(person)
    assert "WHITE" not in " ".join(map(str, person.view.lines))
    pressed_on(person)
    hands(person, Phase.LAY_TOP)
    assert "top WHITE" in said(person)
    assert (Slab.FILM, "white") in coming(person)
    pressed_on(person)
    assert "WHITE on top, borders even" in looked_at(person)
    person.close()


def test_the_name_of_another_line_shown_not_sensed(bench: Bench, tmp_path: Path) -> None:
    person = hands(begun(bench, tmp_path), Phase.LAY)
    assert "QUILLON" in said(person)
    assert "MARROWAY" not in said(person)
    pressed_on(person)
    shown = looked_at(person)
    assert "QUILLON" in shown
    assert MATCH in shown
    person.close()


def test_the_sheet_forgotten_shown_not_sensed(bench: Bench, tmp_path: Path) -> None:
    """The bar says that the sheet is on, and pressing it claims so; the dark screen repeats it."""
    person = hands(begun(bench, tmp_path), Phase.COVER)
    shown = said(person)
    assert "SHEET ON" in shown or "sheet on" in shown
    assert Slab.SHEET in [slab for slab, _ in coming(person)]
    pressed_on(person)
    person.stage.pass_time(1.5)
    assert "SHEET ON" in said(person)
    assert WHOLE in looked_at(person)
    person.close()


def test_a_carrier_left_on_shown_not_sensed(bench: Bench, tmp_path: Path) -> None:
    person = hands(begun(bench, tmp_path), Phase.REMOVE_CARRIER)
    assert "arriers off" in said(person)
    assert Slab.CARRIER in [slab for slab, _ in coming(person)]
    assert "pull low and flat; the film stays down" in said(person) or person.view.peel is not None
    pressed_on(person)
    assert WHOLE in looked_at(person)
    person.close()


def test_a_tack_run_long_without_a_switch_shown_not_sensed(bench: Bench, tmp_path: Path) -> None:
    """The tone sounds and OPEN with the seconds since stands on top until a hand moves."""
    person = hands(begun(bench, tmp_path), Phase.LAY)
    pressed_on(person)
    person.until_open()
    person.stage.pass_time(9.0)
    assert "OPEN" in said(person).split()
    assert person.view.open_since is not None
    assert person.view.open_since >= 9
    assert WHOLE in looked_at(person)
    person.close()


def test_front_for_back_shown_not_sensed(bench: Bench, tmp_path: Path) -> None:
    """The panel is named as it is loaded, beside the size, and as it is looked over."""
    person = hands(begun(bench, tmp_path, recipe="front-and-back"), Phase.LOAD)
    assert person.view.panel == "back"
    assert "back up, collar toward you" in said(person)
    while person.view.panel != "front":
        person.move_on()
    hands(person, Phase.LOAD)
    assert "front up, collar toward you" in said(person)
    person.forward()
    while not person.view.inspecting:
        person.move_on()
    person.stage.pass_time(0.6)
    assert f"on the {person.view.panel}: {MATCH}" in said(person)
    person.close()


def test_the_second_panel_of_another_run_is_read_again(bench: Bench, tmp_path: Path) -> None:
    """Where the whole lot goes through the back first, the front's garment is asked for."""
    person = begun(bench, tmp_path, ROWS, recipe="front-and-back")
    job = person.station.shell.state.job
    assert job is not None
    runs = job.plan.runs
    while person.view.panel != "front":
        person.move_on()
    asked = [q.ask for q in person.station.shell.state.jobs[job.job].questions]
    assert (Ask.NUMBER in asked) is (len(runs) > 1)
    person.close()
