"""A press not seen to open is called again, less and less often, until the operator taps."""

from __future__ import annotations

from pathlib import Path

import pytest
from station_driver import Person, lay_out, small
from station_harness import Bench

from kiosk.plan.model import Phase
from kiosk.run.facts.questions import ScreenKind
from kiosk.station.desk.cues import Cue

BY_HAND, BY_ITSELF = "swim-school", "ice-crew"  # presses of recipes/shop.yaml: grebe, heron


def rung(
    bench: Bench, place: Path, job: str, signed_off: bool = True
) -> tuple[Person, list[float]]:
    """Return a person at the tone of a final, and the times of OPEN's tone, seconds."""
    person = small(bench, place, job) if signed_off else trainee(bench, place, job)
    while person.view.kind is not ScreenKind.HEAT or person.view.phase is not Phase.FINAL:
        person.until_open() if person.view.kind is ScreenKind.HEAT else person.move_on()
    heard: list[float] = []
    sound = person.station.shell.cue

    def cue(each: Cue) -> None:
        if each is Cue.TIME_UP:
            heard.append(bench.now)
        sound(each)

    person.station.shell.cue = cue
    person.until_open()
    return person, heard


def trainee(bench: Bench, place: Path, job: str) -> Person:
    """Return a person who confirms each phase."""
    lay_out(place, job)
    person = Person(bench, place)
    person.first_start()
    person.begin("Orsavel")
    return person


def after(heard: list[float]) -> list[int]:
    """Return whole seconds from the tone to each call after it."""
    tone, *again = heard
    return [round(each - tone) for each in again]


def test_a_hand_opened_press_is_called_again_at_growing_intervals(
    bench: Bench, tmp_path: Path
) -> None:
    """Nobody taps for 40 minutes. 3, 6, 12, 24: common practice, no source."""
    person, heard = rung(bench, tmp_path, BY_HAND)
    bench.pass_time(40 * 60)
    assert "OPEN" in person.texts()
    assert after(heard) == pytest.approx([180, 360, 720, 1440], abs=2)
    person.close()


def test_the_press_is_called_again_on_another_page_too(bench: Bench, tmp_path: Path) -> None:
    person, heard = rung(bench, tmp_path, BY_HAND)
    bench.pass_time(10)
    person.station.choices()
    bench.pass_time(200)
    assert len(after(heard)) == 1
    person.close()


def test_the_press_is_not_called_again_after_a_tap(bench: Bench, tmp_path: Path) -> None:
    """Each phase is confirmed here: after one tap the hands are still at work on the garment."""
    person, heard = rung(bench, tmp_path, BY_HAND, signed_off=False)
    bench.pass_time(200)
    person.forward()
    assert person.view.kind is ScreenKind.HANDS
    assert person.view.open_since is None
    bench.pass_time(40 * 60)
    assert len(after(heard)) == 1
    person.close()


def test_a_press_that_opens_by_itself_is_not_called_again(bench: Bench, tmp_path: Path) -> None:
    person, heard = rung(bench, tmp_path, BY_ITSELF)
    assert person.view.open_since is not None
    bench.pass_time(40 * 60)
    assert after(heard) == []
    person.close()


def test_a_restart_in_a_hot_phase_sounds_and_calls_again(bench: Bench, tmp_path: Path) -> None:
    """The press may be closed, however it opens, and nobody may be looking at the screen."""
    person = small(bench, tmp_path, BY_ITSELF)
    person.to_heat()
    person.restart("after a power cut")
    heard: list[float] = []
    began = bench.now
    person.station.shell.cue = lambda cue: heard.append(bench.now - began)
    bench.pass_time(400)
    assert person.view.kind is ScreenKind.OPEN_FIRST
    assert [round(each) for each in heard] == pytest.approx([0, 180, 360], abs=2)
    person.press()
    bench.pass_time(400)
    assert len(heard) == 3
    person.close()
