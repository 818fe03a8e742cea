"""A shop that requires checks: of the press, the first garment, scraps; by fingers and pedal."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from ruled_shop import JOB, at_the_setting, shop, signed_on
from station_driver import PIN, Foot, Person
from station_harness import Bench

from kiosk.catalog.model import Demand
from kiosk.log.verify import verify
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state.events import JobStarted
from kiosk.run.state.events_shift import (
    FirstArticleJudged,
    Overridden,
    Overruled,
    PressVerified,
    UpkeepDone,
    VerificationLapsed,
)
from kiosk.run.state.events_station import HandedOver, SignedOn
from kiosk.station.desk.desk import day_of, moment_of

CHECKED = (("verify: {demand: no}", "verify: {demand: asked}"),)
FIRST = (
    ("first_article: {demand: no, approver: supervisor}",
     "first_article: {demand: asked, approver: operator}"),
)  # fmt: skip


def fill_in(person: Person, readings: tuple[str, ...], slips: str = "") -> None:
    """Fill in the card and record it."""
    for reading in readings:
        person.choose(*reading, "Next")
    for edge in ("left", "right", "front", "back"):
        person.choose("It slips" if edge == slips else "It holds")
    person.choose("Write it down")


def to_the_lot(person: Person) -> None:
    """Press until the lot is on hold."""
    while person.view.kind is not ScreenKind.LOT:
        person.move_on()


@pytest.mark.parametrize("by", [Person, Foot], ids=["fingers", "pedal"])
def test_the_press_is_checked_and_the_first_garment_approved(
    by: type[Person], bench: Bench, tmp_path: Path
) -> None:
    shop(tmp_path, *CHECKED, *FIRST)
    person = at_the_setting(bench, tmp_path, by)
    person.enter_setting()
    assert person.view.kind is ScreenKind.VERIFY
    person.choose("Begin the card")
    assert person.station.sheet is not None
    assert person.station.sheet.sheet.entry == "°F"  # the unit of the probe
    readings = tuple(person.setting() + off for off in (1, -1, 0, 2, -2))
    fill_in(person, tuple(map(str, readings)))
    person.answer()
    to_the_lot(person)
    person.choose("Look it over", ".", "2", "Next", "To the left", "0", "Next")
    person.choose("It holds", "No marks", "It springs back whole", "Approved: IK")
    assert person.answer().kind is ScreenKind.HANDS
    person.close()
    events = person.events()
    (started,) = [e for e in events if isinstance(e, JobStarted)]
    assert (started.rules.verify, started.rules.first_article) == (Demand.ASKED, Demand.ASKED)
    (check,) = [e for e in events if isinstance(e, PressVerified)]
    assert (check.readings, check.passed) == (readings, True)
    (judged,) = [e for e in events if isinstance(e, FirstArticleJudged)]
    assert (judged.approver, judged.across_inches, judged.along_inches) == ("IK", -0.2, 0.0)
    assert verify(person.log).ok


def test_the_first_garment_is_named_with_its_set(bench: Bench, tmp_path: Path) -> None:
    shop(tmp_path, *FIRST)
    roster = "line,size,name,number,set\n1,AM,KOVA,7,home\n2,AM,KOVA,7,away\n"
    (tmp_path / "jobs" / JOB / "roster.csv").write_text(roster, "utf-8")
    person = at_the_setting(bench, tmp_path)
    person.enter_setting()
    to_the_lot(person)
    assert "Number 7 home is the first of its kind" in person.texts()
    person.choose("Look it over", "0", "Next", "0", "Next")
    person.choose("It holds", "No marks", "It springs back whole")
    assert "Is number 7 home approved?" in person.texts()
    person.close()


def test_a_failed_press_gets_no_heat_until_a_supervisor_gives_a_reason(
    bench: Bench, tmp_path: Path
) -> None:
    shop(tmp_path, *CHECKED)
    person = at_the_setting(bench, tmp_path)
    needed = person.setting()
    person.enter_setting()
    person.choose("Begin the card", *"909", "Next")  # refused
    person.choose("9", "9", "Next", "back")  # a slip, taken back
    fill_in(person, (str(needed + 7),) * 5, slips="front")  # its tolerance is 6 °F
    assert "No heat: the last check failed" in person.texts()
    person.choose("let pass", *PIN, "Enter", "no probe here")
    assert person.answer().kind is ScreenKind.HANDS
    person.close()
    events = person.events()
    (check,) = [e for e in events if isinstance(e, PressVerified)]
    assert (check.offset, check.paper_held, check.passed) == (7.0, (True, True, False, True), False)
    (word,) = [e for e in events if isinstance(e, Overridden)]
    assert (word.what, word.about, word.reason) == (Overruled.VERIFICATION, "heron", "no_probe")


def test_a_required_check_cannot_be_overridden(bench: Bench, tmp_path: Path) -> None:
    shop(tmp_path, ("verify: {demand: no}", "verify: {demand: required}"))
    person = at_the_setting(bench, tmp_path)
    person.enter_setting()
    assert "Begin the card" in person.texts()
    assert "let pass" not in person.texts()
    person.choose("hold", "Put the job back")
    assert "Which job?" in person.texts()
    person.close()


def test_an_empty_measurement_is_not_zero(bench: Bench, tmp_path: Path) -> None:
    """Tapping through the card would record that the print was measured."""
    shop(tmp_path, *FIRST)
    person = at_the_setting(bench, tmp_path)
    to_the_lot(person)
    person.choose("Look it over", "Next")
    assert "Measure it, then enter it: 0 where it is right." in person.texts()
    assert "How far off to the side?" in person.texts()
    person.choose("0", "Next", "Next")
    assert "How far off up or down?" in person.texts()
    person.choose("0", "Next")
    assert "The edge, cold" in person.texts()


def test_after_a_faulty_first_garment_is_scrapped_the_next_is_inspected(
    bench: Bench, tmp_path: Path
) -> None:
    shop(tmp_path, *FIRST)
    person = at_the_setting(bench, tmp_path)
    to_the_lot(person)
    person.choose("Look it over", "0", "Next", "0", "Next")
    person.choose("It lifts", "No marks", "It springs back whole")
    person.choose("Not approved: rework", "Number ")
    person.choose("Scrap", "lifted edge", "pressed too short")
    to_the_lot(person)
    person.choose("Look it over", "0", "Next", "0", "Next")
    person.choose("It holds", "No marks", "It springs back whole")
    person.choose("Approved: IK")
    person.close()
    judged = [e for e in person.events() if isinstance(e, FirstArticleJudged)]
    assert [(e.approved, e.faults) for e in judged] == [(False, ("lifted_edge",)), (True, ())]


def test_a_first_garment_in_place_can_be_rejected_only_for_another_fault(
    bench: Bench, tmp_path: Path
) -> None:
    """Nobody can reject it as out of place after measuring that it is in place."""
    shop(tmp_path, *FIRST)
    person = at_the_setting(bench, tmp_path)
    to_the_lot(person)
    person.choose("Look it over", "0", "Next", "0", "Next")
    person.choose("It holds", "No marks", "It springs back whole")
    person.choose("Not approved: say what is wrong")
    labels = {button.label for button in person.buttons()}
    assert not labels & {"off centre", "lifted edge", "marks", "stretched"}
    person.choose("back", "Not approved: say what is wrong", "wrong piece")
    person.close()
    (judged,) = [e for e in person.events() if isinstance(e, FirstArticleJudged)]
    assert (judged.approved, judged.faults) == (False, ("wrong_piece",))


def test_a_first_garment_measured_off_centre_can_be_rejected_for_it(
    bench: Bench, tmp_path: Path
) -> None:
    shop(tmp_path, *FIRST)
    person = at_the_setting(bench, tmp_path)
    to_the_lot(person)
    person.choose("Look it over", "1", "Next", "To the right", "0", "Next")
    person.choose("It holds", "No marks", "It springs back whole")
    person.choose("Not approved: say what is wrong", "off centre")
    person.close()
    (judged,) = [e for e in person.events() if isinstance(e, FirstArticleJudged)]
    assert (judged.across_inches, judged.faults) == (1.0, ("off_centre",))


def test_a_held_lot_stays_held_when_resumed_and_a_half_filled_card_restarts(
    bench: Bench, tmp_path: Path
) -> None:
    shop(tmp_path, *CHECKED, *FIRST)
    person = at_the_setting(bench, tmp_path)
    person.enter_setting()
    shown = str(person.setting())
    person.choose("Begin the card", *shown, "Next", *shown, "Next")
    person.close()
    person = Person(bench, tmp_path)
    assert "Begin the card" in person.texts()
    person.choose("Begin the card")
    fill_in(person, (shown,) * 5)
    to_the_lot(person)
    person.choose("Look it over", "back")
    person.choose("hold", "Put the job back")
    person.begin("Orsavel")
    assert "is the first of its kind" in " ".join(person.texts().split())
    person.close()


def test_too_many_scraps_of_one_cause_need_the_supervisor(bench: Bench, tmp_path: Path) -> None:
    shop(tmp_path, ("scrap_limit: null", "scrap_limit: 1"))
    person = at_the_setting(bench, tmp_path)
    while not person.view.inspecting:
        person.move_on()
    bench.pass_time(2.3)  # the chip's wait is shown in steps of 5 s: avoid a change of step
    person.choose("Scrap", "scorch", "pressed too long")
    to_the_lot(person)  # the garment at the press is finished first
    assert "1 scrap of one cause: pressed too long" in person.texts()
    person.choose("Go on with", *PIN, "Enter", "cause removed")
    assert person.answer().kind is ScreenKind.HANDS
    person.close()


def test_handing_over_records_notes_and_signs_the_next_operator_on(
    bench: Bench, tmp_path: Path
) -> None:
    shop(tmp_path)
    person = at_the_setting(bench, tmp_path)
    needed = person.setting()
    person.enter_setting()
    person.answer()
    person.side()
    person.choose("hand over")
    assert f"heron: {needed} °F, not checked" in person.texts()
    person.choose(
        "Next:", "the press is drifting", "the pad is worn", "noted: the pad is worn", "Next:"
    )
    person.choose("New here", *"ZD", "This is me")
    assert person.station.shell.state.operator == "ZD"
    assert person.station.shell.state.held is None
    person.close()
    *_, gone, come = [e for e in person.events() if isinstance(e, HandedOver | SignedOn)]
    assert isinstance(gone, HandedOver)
    assert (gone.operator, gone.to, gone.setting) == ("IK", "ZD", needed)
    assert gone.notes == ("press_drifts",)
    assert isinstance(come, SignedOn)
    assert come.operator == "ZD"


def test_a_pedal_alone_hands_the_station_over(bench: Bench, tmp_path: Path) -> None:
    shop(tmp_path)
    foot = signed_on(bench, tmp_path, Foot)
    foot.choose("hand over", "Next:", "garments are missing", "Next:", "Nobody yet")
    assert "Who is at the press?" in foot.texts()
    foot.close()
    gone = foot.events()[-1]
    assert isinstance(gone, HandedOver)
    assert (gone.operator, gone.to, gone.notes) == ("IK", "", ("garments_missing",))


def test_a_part_due_is_shown_to_the_supervisor_and_its_count_restarts(
    bench: Bench, tmp_path: Path
) -> None:
    shop(tmp_path, ("cover_sheet: 350", "cover_sheet: 1"))
    person = at_the_setting(bench, tmp_path)
    person.to_heat()
    person.until_open()
    person.side()
    person.choose("Supervisor", *PIN, "Enter")
    assert "1 part due" in person.texts()
    person.choose("Upkeep")
    assert "DUE: closings 1 (due at 1)" in person.texts()
    person.choose("heron: cover sheet")
    assert "closings: 0, due at 1" in person.texts()
    person.close()
    (done,) = [e for e in person.events() if isinstance(e, UpkeepDone)]
    assert (done.press, done.part, done.closings) == ("heron", "cover_sheet", 1)


def test_back_undoes_a_cards_last_entry_and_the_correction_is_recorded(
    bench: Bench, tmp_path: Path
) -> None:
    """A slip of the finger on the last strip or look must not count against press or garment."""
    shop(tmp_path, *CHECKED, *FIRST)
    person = at_the_setting(bench, tmp_path)
    person.enter_setting()
    person.choose("Begin the card")
    shown = str(person.setting())
    for _ in range(5):
        person.choose(*shown, "Next")
    person.choose("It holds", "It slips", "back", "It holds", "It holds", "It slips")
    person.choose("back", "It holds", "Write it down")
    person.answer()
    to_the_lot(person)
    person.choose("Look it over", ".", "5", "Next", "To the left", "back", "0", "Next")
    person.choose("0", "Next", "It lifts", "back", "It holds", "No marks")
    person.choose("It springs back whole", "back", "back", "back", "back", "0", "Next")
    person.choose("It holds", "No marks", "It springs back whole", "Approved: IK")
    person.close()
    (card,) = (e for e in person.events() if isinstance(e, PressVerified))
    assert card.paper_held == (True, True, True, True)
    (first,) = (e for e in person.events() if isinstance(e, FirstArticleJudged))
    assert (first.approved, first.faults) == (True, ())
    assert (first.across_inches, first.along_inches) == (0.0, 0.0)


def test_the_hand_over_shows_when_a_check_expired(bench: Bench, tmp_path: Path) -> None:
    """In this shop a check lapses after two minutes without a move."""
    shop(tmp_path, ("verify: {demand: no}", "verify: {demand: asked, idle: 120 s}"))
    person = at_the_setting(bench, tmp_path)
    needed = person.setting()
    person.enter_setting()
    assert told_of_the_press(person).endswith(", not checked")
    person.choose("Begin the card")
    fill_in(person, (str(needed + 9),) * 5)  # its tolerance is 6 °F
    failed = time.strftime("%H:%M", time.localtime(person.now().wall))
    assert told_of_the_press(person).endswith(f", check failed ({failed})")
    person.choose("Check again")
    fill_in(person, (str(needed),) * 5)
    person.answer()
    assert told_of_the_press(person).endswith(", checked")
    lapses = person.now().wall + 120.0
    bench.pass_time(300.0)
    told = told_of_the_press(person)
    (event,) = [e for e in person.events() if isinstance(e, VerificationLapsed)]
    assert abs(event.at.wall - lapses) < 30.0  # the last move was just before
    hour = time.strftime("%H:%M", time.localtime(event.at.wall))
    assert told.endswith(f", check out of date since {hour}")
    assert moment_of(event.at.wall, event.at.wall + 86_400.0) == f"{day_of(event.at.wall)} {hour}"
    person.close()


def told_of_the_press(person: Person) -> str:
    """Return the hand-over page's line about the press; then go back."""
    if any(button.label == "hold" for button in person.buttons()):
        person.choose("hold")
    else:
        person.side()
    person.choose("more", "hand over")
    (line,) = [text for text in person.texts().split("\n") if text.startswith("heron: ")]
    person.choose("back", "Go on")
    return line
