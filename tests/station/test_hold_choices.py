"""On hold, only what can be done now is offered."""

from __future__ import annotations

from pathlib import Path

from mistakes import STACK, hands, said
from mistakes import at as begun
from station_driver import LONG_SECONDS, Foot, label_of
from station_harness import Bench

from kiosk.plan.model import Phase
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state.model import TicketStage
from kiosk.station.demo.hands import READS

LONGER_THAN_A_BREAK = 11 * 60.0
LEAVE_OUT = "Skip the pre-press"


def test_skipping_the_pre_press_is_not_offered_twice(bench: Bench, tmp_path: Path) -> None:
    person = hands(begun(bench, tmp_path), Phase.LOAD)
    person.side(right=True)
    person.choose(LEAVE_OUT, "already pressed dry")
    bench.pass_time(1.0)
    person.side(right=True)
    labels = {button.label for button in person.buttons()}
    assert "Put this garment aside" in labels
    assert LEAVE_OUT not in labels
    person.close()


def after_a_stop(bench: Bench, place: Path, closings: int) -> Foot:
    """Return a person after a power cut in a closing; a long press has shown the choices."""
    person = begun(bench, place, by=Foot)
    assert isinstance(person, Foot)
    person.to_heat(closings=closings)
    person.restart("another boot")
    while person.view.kind is not ScreenKind.HANDS:
        person.move_on()
    bench.pass_time(READS)
    person.press_pedal(LONG_SECONDS)
    return person


def test_after_a_power_cut_in_the_pre_press_only_possible_results_are_offered(
    bench: Bench, tmp_path: Path
) -> None:
    person = after_a_stop(bench, tmp_path, closings=1)
    labels = {button.label for button in person.buttons()}
    assert {"31: Scrap", "Put this garment aside"} <= labels
    # each of these was offered, and refused: it may have had its heat, and had no final
    assert not labels & {LEAVE_OUT, "31: Rework", "31: Accept"}
    person.close()


def test_a_garment_put_aside_before_its_final_can_only_be_scrapped(
    bench: Bench, tmp_path: Path
) -> None:
    person = after_a_stop(bench, tmp_path, closings=2)
    person.choose("Put this garment aside", "later")
    hands(person, Phase.LOAD)
    person.press_pedal(LONG_SECONDS)
    person.choose("Number 31")
    bench.pass_time(READS)
    assert person.view.inspect_number == "31"
    # Good, Rework and Accept were offered too, but refused; so was going on, impossible here
    assert [label_of(button) for button in person.buttons()] == ["Scrap"]
    assert "whole and in place? a supervisor sends it back" in said(person)
    assert "on top" not in said(person)  # its upper layer was never laid
    person.close()


def test_a_garment_awaiting_the_supervisors_decision_is_not_offered(
    bench: Bench, tmp_path: Path
) -> None:
    person = begun(bench, tmp_path, by=Foot)
    assert isinstance(person, Foot)
    roster = tmp_path / "jobs" / STACK[0] / "roster.csv"
    roster.write_text(roster.read_text("utf-8").replace(",13\n", ",14\n"), "utf-8")
    while not person.view.aside:
        person.move_on()
    hands(person, Phase.LOAD)
    assert [each.stage for each in person.view.aside] == [TicketStage.STOPPED]
    person.press_pedal(LONG_SECONDS)
    labels = {button.label for button in person.buttons()}
    assert "Go on" in labels
    assert "Number 13" not in labels  # it was there, and showed nothing
    person.close()


def test_after_a_long_hold_the_bar_resumes_and_asks_for_the_number(
    bench: Bench, tmp_path: Path
) -> None:
    person = hands(begun(bench, tmp_path), Phase.LOAD)
    person.side(right=True)
    bench.pass_time(LONGER_THAN_A_BREAK)
    assert [person.view.kind] == [ScreenKind.HELD]
    person.bar()
    assert [person.view.kind] == [ScreenKind.ASK]
    person.close()
