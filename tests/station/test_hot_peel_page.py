"""A hot peel at the press: late is amber, as everywhere, and an upright screen shows the name."""

from __future__ import annotations

from pathlib import Path

from station_driver import Person, lay_out, shorten
from station_harness import Bench
from station_tree import written

from kiosk.run.facts.questions import ScreenKind
from kiosk.station.demo.hands import READS
from kiosk.station.glass.theme import AMBER
from kiosk.station.glass.type import CAPITAL

JOB = "raft-polo"
OVER = "late: the hot window is over"


def presser(bench: Bench, place: Path) -> Person:
    """Return a person at the league shirts, made of a film that is peeled hot."""
    lay_out(place, JOB)
    shorten(place, JOB, "12")
    job = place / "jobs" / JOB / "job.yaml"
    job.write_text(job.read_text("utf-8").replace("two-layer-pair", "ripple-pair"), "utf-8")
    person = Person(bench, place)
    person.first_start()
    person.sign_off()
    person.begin("Orsavel")
    bench.pass_time(READS)
    return person


def amber_rows(bench: Bench) -> int:
    """Return how many rows of the picture have amber in them."""
    picture = bench.pixels()
    amber = bytes(round(255 * part) for part in AMBER.rgba[:3])
    rows = (
        picture.data[3 * picture.wide * y : 3 * picture.wide * (y + 1)] for y in range(picture.high)
    )
    return sum(amber in row for row in rows)


def test_the_line_turns_amber_only_when_the_hot_window_is_over(
    bench: Bench, tmp_path: Path
) -> None:
    person = presser(bench, tmp_path)
    person.to_heat(2)
    person.until_open()
    bench.pass_time(3.0)
    assert person.view.kind is ScreenKind.HANDS
    assert "hot window:" in person.texts()
    assert amber_rows(bench) == 0
    bench.pass_time(60.0)
    line = next(each for each in written(person.station) if each.text == OVER)
    assert amber_rows(bench) >= line.ink.h * 0.9


def test_on_an_upright_screen_the_name_is_larger_than_text_read_up_close(
    bench: Bench, tmp_path: Path
) -> None:
    """It is compared with the garment at the inspection, and is alone below its number."""
    bench.resize(800, 1280)
    person = presser(bench, tmp_path)
    person.to_heat(2)
    person.until_open()
    bench.pass_time(1.0)
    near, name = (
        next(each for each in written(person.station) if each.text == text)
        for text in ("pre-press", "BRUVANE")
    )
    assert name.fitted.em * CAPITAL > 1.5 * near.fitted.em * CAPITAL
