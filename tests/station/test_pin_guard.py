"""Wrong PINs mean a wait, even after a restart; the machine's owner can choose a new PIN."""

from __future__ import annotations

from pathlib import Path

from log_damage import no_file_grows_beyond
from ruled_shop import shop, signed_on
from station_driver import PIN, Person
from station_harness import Bench

from kiosk.run.state.event import Now
from kiosk.run.state.events_shift import PinChosen, PinTried
from kiosk.station.demo.hands import WALL
from kiosk.station.desk.sheet import PageKind


def page(person: Person) -> PageKind:
    return person.station.desk.page


def wrong(person: Person, times: int) -> None:
    person.choose("Supervisor")
    for _ in range(times):
        person.choose(*"1111", "Enter")


def test_a_third_wrong_pin_means_a_wait_even_after_a_restart(bench: Bench, tmp_path: Path) -> None:
    shop(tmp_path)
    person = signed_on(bench, tmp_path)
    wrong(person, 3)
    assert "Too many wrong PINs" in person.texts()
    bench.pass_time(1.2)  # the seconds go by; the buttons can still be touched
    person.choose("back", "Supervisor")
    assert "Too many wrong PINs" in person.texts()
    person.close()
    rebooted = Now("another boot", 5.0, WALL + bench.now + 5)
    person = Person(bench, tmp_path, now=rebooted)
    person.choose("Supervisor")
    assert "Too many wrong PINs" in person.texts()
    assert "Enter" not in person.texts()
    bench.pass_time(31.0)
    person.choose(*PIN, "Enter")
    assert page(person) is PageKind.SUPERVISOR
    person.close()
    assert [e.right for e in person.events() if isinstance(e, PinTried)] == [False] * 3 + [True]


def test_the_owner_of_the_machine_can_choose_a_new_pin_at_once(
    bench: Bench, tmp_path: Path
) -> None:
    shop(tmp_path)
    person = signed_on(bench, tmp_path)
    wrong(person, 3)
    person.close()
    (tmp_path / "supervisor-pin").unlink()
    person = Person(bench, tmp_path)
    person.choose(*"5566", "Go on with this PIN", *"5566", "Keep this PIN")
    person.choose("Supervisor", *"5566", "Enter")
    assert page(person) is PageKind.SUPERVISOR
    person.close()
    assert sum(isinstance(e, PinChosen) for e in person.events()) == 1


def test_a_pin_that_could_not_be_saved_is_chosen_when_next_needed(
    bench: Bench, tmp_path: Path
) -> None:
    """Otherwise no PIN would fit until the next start, and every try would count as wrong."""
    shop(tmp_path)
    (tmp_path / "supervisor-pin").unlink()
    (tmp_path / "supervisor-pin").symlink_to(tmp_path / "gone" / "supervisor-pin")
    person = Person(bench, tmp_path)
    person.choose(*PIN, "Go on with this PIN", *PIN, "Keep this PIN")
    assert "The PIN could not be saved" in person.texts()
    person.choose("Supervisor", "back")
    assert page(person) is not PageKind.CHOOSE_PIN
    (tmp_path / "gone").mkdir()
    person.choose("Supervisor", *PIN, "Go on with this PIN", *PIN, "Keep this PIN")
    person.choose(*PIN, "Enter")
    assert page(person) is PageKind.SUPERVISOR
    person.close()


def test_no_new_pin_is_chosen_because_the_old_one_cannot_be_read(
    bench: Bench, tmp_path: Path
) -> None:
    shop(tmp_path)
    person = signed_on(bench, tmp_path)
    (tmp_path / "supervisor-pin").unlink()
    (tmp_path / "supervisor-pin").symlink_to("x" * 300)  # the system refuses to follow it
    person.choose("Supervisor", *PIN, "Enter")
    assert "The PIN file is damaged" in person.texts()
    person.close()


def test_two_different_entries_make_no_pin_and_both_are_asked_again(
    bench: Bench, tmp_path: Path
) -> None:
    shop(tmp_path)
    (tmp_path / "supervisor-pin").unlink()
    person = Person(bench, tmp_path)
    person.choose(*PIN, "Go on with this PIN", *"5567", "Keep this PIN")
    assert "The two PINs differ" in person.texts()
    assert not (tmp_path / "supervisor-pin").exists()
    person.choose(*PIN, "Go on with this PIN", *PIN, "Keep this PIN")
    assert person.station.desk.pin.check("".join(PIN))
    person.close()


def test_no_pin_is_in_the_record(bench: Bench, tmp_path: Path) -> None:
    shop(tmp_path)
    person = signed_on(bench, tmp_path)
    person.choose("Supervisor", *"90817263", "Enter", "back")
    person.close()
    files = list(tmp_path.glob("log*"))
    assert person.log in files
    assert not [path for path in files if b"90817263" in path.read_bytes()]


def test_unchanged_keys_are_not_drawn_again(bench: Bench, tmp_path: Path) -> None:
    shop(tmp_path)
    person = signed_on(bench, tmp_path)
    person.choose("Supervisor")
    sheet = person.station.sheet
    assert sheet is not None
    before = {each.label: each for each in sheet.buttons}
    person.choose(PIN[0])
    kept = {each.label: each for each in sheet.buttons}
    assert all(kept[key] is before[key] for key in "1234567890")
    shown = bench.pixels()
    sheet._made.clear()
    sheet._draw()
    assert not any(each is kept[each.label] for each in sheet.buttons)
    assert bench.pixels() == shown  # drawn from scratch it is the same
    person.choose(*PIN[1:], "Enter")
    assert person.station.desk.page is PageKind.SUPERVISOR


def test_a_pin_is_never_shown_and_needs_four_figures(bench: Bench, tmp_path: Path) -> None:
    shop(tmp_path)
    (tmp_path / "supervisor-pin").unlink()
    person = signed_on(bench, tmp_path)
    person.choose(*"427")
    written = person.texts().split("\n")
    assert "●●●" in written
    assert not [text for text in written if "427" in text]
    person.choose("Go on with this PIN")
    person.choose("1", "Go on with this PIN")
    assert page(person) is PageKind.REPEAT_PIN
    person.choose(*"4271", "Keep this PIN", "Supervisor", *"4271")
    assert "●●●●" in person.texts().split("\n")
    assert "4271" not in person.texts()
    person.close()


def test_a_pin_that_cannot_be_saved_is_reported_in_a_few_words(
    bench: Bench, tmp_path: Path
) -> None:
    shop(tmp_path)
    person = signed_on(bench, tmp_path)
    person.close()
    (tmp_path / "supervisor-pin").unlink()
    person = Person(bench, tmp_path)
    person.choose(*"5566", "Go on with this PIN", *"5566")
    with no_file_grows_beyond(0):
        person.choose("Keep this PIN")
    assert "The PIN could not be saved: File too large" in person.texts()
    assert str(tmp_path) not in person.texts()  # nor any temporary file
    person.close()
