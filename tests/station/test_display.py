"""Language and units change in one tap for the operator, and stay after a restart."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from mistakes import PLAIN, at, said
from station_driver import Person
from station_harness import Bench
from station_scenes import SCENES
from station_screen import screen_of

from kiosk.catalog.base.notes import say
from kiosk.run.state.events_shift import DisplayChosen
from kiosk.station.demo.hands import in_english
from kiosk.station.glass.screens.work import YOUNG_SECONDS


def on_hold(person: Person) -> Person:
    person.side(right=True)
    return person


def operator(person: Person, initials: str) -> Person:
    """Let another operator sign on, from the sign-on page."""
    person.choose("New here", *initials, "This is me")
    return person


def test_one_tap_on_hold_switches_to_spanish_and_a_restart_keeps_it(
    bench: Bench, tmp_path: Path
) -> None:
    person = on_hold(at(bench, tmp_path))
    assert "On hold" in said(person)
    person.choose("Español")
    assert "Seguir" in said(person)
    person.restart("a later boot")
    assert "En pausa" in said(person)
    person.choose("English")
    assert "Go on" in said(person)
    person.close()


def test_each_operator_keeps_their_own_language(bench: Bench, tmp_path: Path) -> None:
    person = on_hold(at(bench, tmp_path))
    person.choose("Español", "hand over", "Next:", "Next:", "Nobody yet")
    assert "Who is at the press?" in said(person)  # nobody has signed on: the shop's own
    operator(person, "AB")
    assert "On hold" not in said(person)
    assert "Set the press" in said(person)
    on_hold(person)
    person.choose("hand over", "Next:", "Next:", "Nobody yet", "IK")
    assert "Poner la plancha" in said(person)
    changes = [e for e in person.events() if isinstance(e, DisplayChosen)]
    assert [(e.operator, e.display.language) for e in changes] == [("IK", "es")]
    person.close()


def test_the_sign_on_page_has_a_language_of_its_own(bench: Bench, tmp_path: Path) -> None:
    person = on_hold(at(bench, tmp_path))
    person.choose("hand over", "Next:", "Next:", "Nobody yet", "Español")
    assert "¿Quién está en la plancha?" in said(person)
    operator(person, "AB")  # has not chosen yet: the station's own
    assert "Poner la plancha" in said(person)
    person.close()


def test_the_operators_scale_is_in_brackets_after_that_of_the_press(
    bench: Bench, tmp_path: Path
) -> None:
    """Readings from the press keep its scale; °C = (°F - 32)/1.8 (SI definitions)."""
    person = on_hold(at(bench, tmp_path, job=PLAIN))
    person.choose("Put the job back", "Screen and units", "°C", "Millimetres", "back")
    person.choose(PLAIN[1])
    (needed,) = set(re.findall(r"(\d+) °F \(", said(person)))
    both = f"{needed} °F ({round((int(needed) - 32) / 1.8)} °C)"
    assert both in said(person)
    person.choose("Read the cautions")
    assert f"Set the press to {both}" in said(person)
    person.answer()
    while not any("mm" in text for text in person.texts().splitlines()):
        person.move_on()
    person.close()


@pytest.mark.parametrize(
    ("label", "english"),
    [
        ("Seguir con este PIN", "Go on with this PIN"),
        ("1 prenda por decidir", "1 garment to decide"),
        ("Vistos buenos que tiene IK", "Sign-offs of IK"),
        ("heron: hoja", "heron: cover sheet"),
        ("300", "300"),
    ],
)
def test_a_spanish_label_is_found_in_english(label: str, english: str) -> None:
    assert english in in_english(label, "es")


def test_a_new_finish_time_in_the_header_keeps_the_pedals_choice(bench: Bench) -> None:
    """Nor does it restart the wait for touches: only another question does."""
    screen = screen_of(bench, "ask-number-by-pedal")
    assert screen.view is not None
    assert screen.painted is not None
    screen.painted.choices.step()
    screen.painted.choices.step()
    later = say("station.finish.header", first="10:30", last="10:45")
    screen.show(replace(screen.view, finish=later))
    assert screen.painted.choices.at == 1
    assert screen._since < bench.now - YOUNG_SECONDS
    screen.show(SCENES["ask-size"]()[0])
    assert screen.painted.choices.at == -1
    assert screen._since == bench.now


def test_a_change_beside_the_buttons_does_not_restart_the_wait_for_touches(bench: Bench) -> None:
    """While a garment cools, the wait is shown in steps; its results can be touched throughout."""
    screen = screen_of(bench, "touched-dark")
    assert screen.view is not None
    told = replace(screen.view, peel_line=say("work.cancel"), lines=(say("work.cancel"),))
    screen.show(told)
    assert screen._since < bench.now - YOUNG_SECONDS
    screen.show(replace(told, inspect_number="99"))
    assert screen._since == bench.now


def test_a_new_finish_time_in_the_header_keeps_what_is_typed(bench: Bench) -> None:
    screen = screen_of(bench, "setting")
    assert screen.view is not None
    assert screen.painted is not None
    bench.tap(*screen.painted.foot.bar.centre)
    bench.wait(1.0)
    pad = screen._pad()
    assert pad is not None
    pad.buttons[2].on_press()
    assert pad.value == "3"
    screen.show(
        replace(screen.view, finish=say("station.finish.header", first="10:30", last="10:45"))
    )
    drawn = screen._pad()
    assert drawn is not None
    assert drawn is not pad
    assert drawn.value == "3"
