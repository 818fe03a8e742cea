"""What the station has learned is shown on a page behind the PIN, and can be forgotten there."""

from __future__ import annotations

from pathlib import Path

import pytest
from cooling_shop import Presser, cooling_shop
from station_driver import PIN
from station_harness import Bench

from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state.events_station import LearningReset


def taught(bench: Bench, place: Path) -> Presser:
    """Return a person on hold, after a garment on the rack still felt warm."""
    person = Presser(bench, cooling_shop(place, "123"))
    person.begin_shift()
    person.rack(2)
    while person.view.kind is not ScreenKind.HANDS:
        person.move_on()
    bench.pass_time(110.0)
    bench.tap(*person.chips()[0].centre)
    person.touch("Cooling", "Still feels warm")
    bench.pass_time(1.0)
    bench.tap(*person.chips()[0].centre)
    person.side(right=True)
    return person


def test_the_page_shows_what_was_learned_and_can_forget_it(bench: Bench, tmp_path: Path) -> None:
    person = taught(bench, tmp_path)
    person.touch("Supervisor", *PIN, "Enter", "What cooling")
    texts = person.texts()
    assert "Lifted: at least" in texts  # a garment that felt warm gives only the lower end
    assert "touched, lifted, at" in texts
    person.touch("Forget: lifted")
    assert "Lifted: 100 %" in person.texts()
    assert "forgotten: lifted" in person.texts()
    assert any(isinstance(event, LearningReset) for event in person.events())


def test_the_cold_pad_is_mentioned_only_before_the_first_garment_of_a_day(
    bench: Bench, tmp_path: Path
) -> None:
    person = Presser(bench, cooling_shop(tmp_path, "12"))
    person.first_start()
    person.sign_off()
    person.begin("Orsavel")
    bench.pass_time(1.5)
    assert person.view.kind is ScreenKind.SETTING
    assert "Close the empty press for 20 to 30 s" in " ".join(person.texts().split())
    person.rack(1)
    assert person.station.shell.state.pressings or person.station.shell.state.pad
    assert "20 to 30 s" not in person.texts()


@pytest.mark.parametrize(("scale", "far", "near"), [("F", "250", "91"), ("C", "120", "33")])
def test_a_reading_far_off_is_asked_for_again_beside_the_expected_one(
    bench: Bench, tmp_path: Path, scale: str, far: str, near: str
) -> None:
    shop = cooling_shop(tmp_path, "123")
    sheet = next((shop / "recipes").glob("shop.yaml"))
    sheet.write_text(sheet.read_text("utf-8").replace("temperature: C", f"temperature: {scale}")
                     .replace("temperature: F", f"temperature: {scale}"), "utf-8")  # fmt: skip
    person = Presser(bench, shop)
    person.begin_shift()
    person.rack(2)
    while person.view.kind is not ScreenKind.HANDS:
        person.move_on()
    bench.pass_time(110.0)

    def read(digits: str) -> str:
        person.touch("Cooling", "Thermometer reading", *digits, "enter")
        return " ".join(person.texts().split())

    bench.tap(*person.chips()[0].centre)
    assert f"Number 31: read {far} °{scale}, expected" in read(far)
    assert "Read it again." in " ".join(person.texts().split())
    assert "Noted" not in person.texts()
    assert person.station.shell.state.betas == {}
    bench.pass_time(2.0)
    assert "Read it again." not in read(near)
