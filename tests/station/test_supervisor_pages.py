"""The supervisor's pages begin with what waits, in large letters; answers are on the buttons."""

from __future__ import annotations

import re
from datetime import datetime
from pathlib import Path

from mistakes import PLAIN, at, hands, judge
from station_driver import PIN, Person
from station_harness import Bench
from station_tree import texts, walk
from trial_person import before_the_trial

from kiosk.plan.model import Phase
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state import Overridden, Overruled, SignOffAsked
from kiosk.station.desk.learn.practice import Practice
from kiosk.station.glass.widgets.buttons import PaperButton

FINISH = re.compile(r"done (\d\d):(\d\d) to (\d\d):(\d\d) \(")


def to_the_supervisor(person: Person) -> None:
    """Hold, then enter the PIN."""
    person.side()
    person.stage.pass_time(0.6)
    person.choose("Supervisor", *PIN, "Enter")


def all_choices(person: Person) -> dict[str, str]:
    """Return every choice of the page with the line on its button, those behind "more" too."""
    sheet = person.station.sheet
    assert sheet is not None
    return {button.label: button.line for button in sheet.sheet.choices}


def on_glass(person: Person) -> dict[str, str]:
    """Return every button that is drawn, with its line."""
    drawn = (each for each in walk(person.station) if isinstance(each, PaperButton))
    return {each.label: each.line for each in drawn}


def headline(person: Person, said: str) -> None:
    """Check that `said` is the page's headline, larger than its lines."""
    sheet = person.station.sheet
    assert sheet is not None
    size_of = {each.text: each.fitted.em for each in texts(sheet)}
    assert sheet.sheet.headline == said
    shown = said[:1].upper() + said[1:]
    assert shown in size_of
    assert all(size_of[shown] > size_of[line] for line in sheet.sheet.lines)


def test_garments_to_decide_come_first_with_their_numbers_on_the_button(
    bench: Bench, tmp_path: Path
) -> None:
    person = hands(at(bench, tmp_path), Phase.INSPECT)
    number = person.view.inspect_number
    assert number
    judge(person, "Rework")
    while person.view.kind is not ScreenKind.HANDS:
        person.move_on()
    bench.pass_time(0.6)
    to_the_supervisor(person)
    headline(person, "1 garment to decide")
    assert on_glass(person)["1 garment to decide"] == number
    assert all_choices(person)["This shift"] == "started: 0 of 3 done"
    person.choose("1 garment to decide", f"Number {number}")
    headline(person, f"Number {number} · rework")
    person.choose("Press once more")
    headline(person, f"Number {number}: Press once more")
    person.close()


def test_nothing_waiting_is_shown_and_every_button_has_its_answer(
    bench: Bench, tmp_path: Path
) -> None:
    person = hands(at(bench, tmp_path), Phase.LOAD)
    person.side()
    person.stage.pass_time(0.6)
    person.choose("Supervisor")
    headline(person, "Supervisor's PIN")
    assert "To open the supervisor's pages" in {each.text for each in texts(person.station)}
    person.choose(*PIN, "Enter")
    headline(person, "Nothing waits for you")
    said = all_choices(person)
    assert said["Sign-offs"] == "nobody asks"
    assert said["What cooling taught"] == "No lesson yet."
    assert said["Tones, voice, vibration"].startswith("on: tones")
    assert said["Pedal and switch"] == "keys the program knows"
    assert said["Upkeep"] == "nothing due"
    assert said["Recipes and policy"] == "no faults"
    lines = (tmp_path / "recipes" / "shop.yaml").read_text("utf-8").splitlines()

    def line_of(key: str) -> int:
        return next(n for n, line in enumerate(lines, 1) if line.strip().startswith(f"{key}:"))

    assert all(said.values())
    person.choose("Recipes and policy", "Presses, policy, tablet", "presses", "heron", "tolerance")
    headline(person, f"now: 6 F (in shop.yaml, line {line_of('tolerance')})")
    person.choose("back", "back", "back", "policy", "check of the press", "asked for")
    headline(person, f"now: no (in shop.yaml, line {line_of('policy')})")
    person.close()


def test_this_shift_says_when_the_job_at_the_press_will_be_done(
    bench: Bench, tmp_path: Path
) -> None:
    """The same sentence as on hold; less time is left once garments are finished."""
    rows = "".join(f"{n},AS,QUILLON,{n + 30}\n" for n in range(1, 9))
    person = hands(at(bench, tmp_path, rows, PLAIN), Phase.LOAD)
    to_the_supervisor(person)

    def latest() -> int:
        person.choose("This shift")
        assert person.station.sheet is not None
        second = person.station.sheet.sheet.second
        assert second in {each.text for each in texts(person.station.sheet)}
        found = FINISH.search(second)
        assert found is not None, second
        now = datetime.fromtimestamp(person.now().wall)
        minutes = [60 * int(found[n]) + int(found[n + 1]) for n in (1, 3)]
        left = [(each - 60 * now.hour - now.minute) % (24 * 60) for each in minutes]
        assert 0 <= left[0] <= left[1] <= 60
        return left[1]

    before = latest()
    person.choose("back", "back")
    person.forward()
    for _ in range(4):
        ticket = person.view.ticket
        while person.view.ticket == ticket:
            person.move_on()
    while not person.view.hold:
        person.move_on()
    to_the_supervisor(person)
    assert latest() < before
    person.close()


def test_a_request_for_sign_off_is_counted_and_comes_first(bench: Bench, tmp_path: Path) -> None:
    person = hands(at(bench, tmp_path), Phase.LOAD)
    record = person.station.desk.of(Practice).record
    assert record.open()
    record.note(SignOffAsked(person.now(), "TR", "two-layer"))
    to_the_supervisor(person)
    headline(person, "1 person asks")
    assert on_glass(person)["Sign-offs"] == "1 person asks"
    person.choose("Sign-offs")
    headline(person, "1 person asks")
    assert next(iter(on_glass(person))) == "TR"
    person.choose("TR")
    headline(person, "0 of 4 sign-offs")
    person.close()


def test_a_part_that_is_due_is_counted_and_comes_first(bench: Bench, tmp_path: Path) -> None:
    person = at(bench, tmp_path)
    shop = tmp_path / "recipes" / "shop.yaml"
    shop.write_text(shop.read_text("utf-8").replace("cover_sheet: 350", "cover_sheet: 1"), "utf-8")
    person.station.desk.library.read()
    to_the_supervisor(hands(person, Phase.INSPECT))
    headline(person, "1 part due")
    assert all_choices(person)["Upkeep"] == "1 part due"
    person.choose("Upkeep")
    assert "Change a pad or grease it only switched off, unplugged and cold." in person.texts()
    headline(person, "1 part due")
    label, line = next(iter(on_glass(person).items()))
    assert "cover sheet" in label
    assert line.startswith("DUE")
    person.close()


def test_a_trial_known_from_an_earlier_lot_can_be_let_pass(bench: Bench, tmp_path: Path) -> None:
    person = before_the_trial(bench, tmp_path)
    person.choose("let pass")
    assert "To let it pass: setting not tried" in {each.text for each in texts(person.station)}
    person.choose(*PIN, "Enter")
    headline(person, "To let it pass: setting not tried")
    person.choose("known from an earlier lot")
    assert person.answer().kind is ScreenKind.HANDS
    person.close()
    (word,) = [each for each in person.events() if isinstance(each, Overridden)]
    assert (word.what, word.reason) == (Overruled.TRIAL, "known")
