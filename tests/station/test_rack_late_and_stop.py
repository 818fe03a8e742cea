"""At the real station: the rack in a short closing, a late hot peel, OPEN after a stop."""

from __future__ import annotations

from pathlib import Path

from station_driver import Foot, Person, small
from station_harness import Bench

from kiosk.run.facts.questions import BarOwner, ScreenKind
from kiosk.run.state.events import Closed, Finished
from kiosk.run.state.model import TicketStage

PLAIN = "swim-school"  # one layer, peeled hot at the press
RACK = "ice-crew"


def results(person: Person) -> list[Finished]:
    return [event for event in person.events() if isinstance(event, Finished)]


def test_garments_due_on_the_rack_are_finished_by_pedal_in_a_pre_press(
    bench: Bench, tmp_path: Path
) -> None:
    foot = small(bench, tmp_path, RACK, by=Foot)
    assert isinstance(foot, Foot)
    while len(foot.view.chips) < 2:  # two are cooling, neither is peeled
        foot.move_on()
    foot.until_open() if foot.view.kind is ScreenKind.HEAT else None
    foot.answer()
    bench.pass_time(300.0)
    before = len(results(foot))
    while foot.view.kind is not ScreenKind.HEAT:
        foot.move_on()
    closed = [event for event in foot.events() if isinstance(event, Closed)][-1]
    assert closed.dwell_seconds < 9
    while foot.view.kind is ScreenKind.HEAT:
        if foot.view.bar.owner is BarOwner.RACK:
            bench.pass_time(0.5)
            foot.press_pedal()
        else:
            bench.pass_time(0.1)
    served = results(foot)[before:]
    assert [each.stage for each in served] == [TicketStage.GOOD, TicketStage.GOOD]
    assert all(each.at.clock < closed.at.clock + 1 + closed.dwell_seconds for each in served)


def test_a_hot_peel_15_minutes_late_is_questioned_and_recorded_as_late(
    bench: Bench, tmp_path: Path
) -> None:
    person = small(bench, tmp_path, PLAIN, lines="1")
    while not person.view.inspecting:
        person.move_on()
    bench.pass_time(900.0)
    assert "How did it peel?" in " ".join(person.texts().split())
    person.press()
    assert results(person) == []
    person.choose("Good")
    (result,) = results(person)
    assert result.stage is TicketStage.GOOD
    assert result.late_seconds is not None
    assert result.late_seconds > 800


def test_after_a_stop_nothing_contradicts_open(bench: Bench, tmp_path: Path) -> None:
    person = small(bench, tmp_path, PLAIN)
    person.to_heat(2)
    person.restart("another boot")
    shown = " ".join(person.texts().split())
    assert person.view.kind is ScreenKind.OPEN_FIRST
    assert "OPEN THE PRESS" in shown
    assert "once it is open" in shown
    for other in ("choices", "hold", "back one", "peel now", "Then:"):
        assert other not in shown
