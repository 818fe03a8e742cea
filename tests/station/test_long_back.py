"""A back too long for the platen, pressed part by part: log, plan, drawing, a person's touches."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from station_driver import Person, lay_out, shorten, taps_of
from station_harness import Bench
from station_tree import walk
from stored import Stored, stored_from

from kiosk.__main__ import main
from kiosk.log.verify import verify
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.show.parts import Ink
from kiosk.run.state.events import Closed, Finished
from kiosk.run.state.model import ENDED
from kiosk.station.glass.widgets.lay_drawing import LayDrawing

JOB, TITLE = "raft-polo", "Orsavel raft polo"
SCREENS = [(1280, 800, 10.1), (800, 1280, 10.1), (1024, 600, 7.0), (600, 1024, 7.0)]


def short_platen(place: Path, away: bool = False) -> Path:
    """Lay out the layered name and number in adult sizes, on a platen of 16 by 13 inches."""
    lay_out(place, JOB)
    shorten(place, JOB, ("1", "5", "8"))
    shop = place / "recipes" / "shop.yaml"
    text = re.sub("platen: .*", "platen: 16 in x 13 in", shop.read_text("utf-8"), count=1)
    if away:
        text = text.replace("collar toward operator", "collar away from operator")
    shop.write_text(text, "utf-8")
    return place


def drawn(person: Person) -> LayDrawing:
    (found,) = (each for each in walk(person.station) if isinstance(each, LayDrawing))
    return found


def to_second_part(person: Person) -> None:
    """Press until the number's lower piece is to be laid."""
    while not any(p.element == "number" and p.ink is Ink.NEXT for p in person.view.pieces):
        person.move_on()


def test_every_garment_is_pressed_in_two_parts_by_touch(bench: Bench, tmp_path: Path) -> None:
    person = Person(bench, short_platen(tmp_path))
    person.first_start()
    person.sign_off()
    person.choose(TITLE)
    assert "too long for the platen, pressed in 2 parts" in person.texts().replace("\n", " ")
    person.choose("Read the cautions")
    to_second_part(person)
    assert "Move it, lay lower piece" in person.texts().replace("\n", " ")
    person.press_all()
    job = person.station.shell.state.jobs[JOB]
    assert {ticket.stage for ticket in job.tickets.values()} <= ENDED
    assert len(job.tickets) == 3 * 2
    events = person.events()
    assert sum(isinstance(e, Finished) for e in events) == 3 * 2
    closed = [e.ticket for e in events if isinstance(e, Closed)]
    # garment by garment: pre-press, two tacks and a final for the name, the same without
    # pre-press for the number
    assert [closed.count(name) for name in job.tickets] == [4, 3] * 3
    forward = taps_of(events).forward
    assert [forward[name] for name in job.tickets] == [4 + 1, 3 + 1] * 3
    person.choose("Put the job away")
    person.close()
    verdict = verify(person.log)
    assert (verdict.ok, verdict.pressed_twice) == (True, 0)


@pytest.fixture(params=SCREENS, ids=lambda s: f"{s[0]}x{s[1]}")
def inches(request: pytest.FixtureRequest, bench: Bench) -> Iterator[float]:
    """The window in one of the screen sizes; the value is its inches across."""
    width, height, across = request.param
    bench.resize(width, height)
    yield across
    bench.clear()
    bench.resize(1280, 800)


@pytest.fixture(scope="module", params=[False, True], ids=["toward", "away"])
def second_part(
    request: pytest.FixtureRequest, _bench: Bench, tmp_path_factory: pytest.TempPathFactory
) -> tuple[Stored, bool]:
    """A shop where the first number's lower piece comes next, and whether the collar is away."""
    _bench.resize(1280, 800)
    person = Person(_bench, short_platen(tmp_path_factory.mktemp("shop"), request.param))
    person.first_start()
    person.sign_off()
    person.begin(TITLE)
    to_second_part(person)
    return stored_from(person), request.param


def test_the_second_part_is_drawn_with_the_first_past_the_platens_edge(
    bench: Bench, tmp_path: Path, inches: float, second_part: tuple[Stored, bool]
) -> None:
    stored, away = second_part
    person = stored.again(bench, tmp_path, inches)
    assert person.view.kind is ScreenKind.HANDS
    shown = drawn(person)
    (number,), (name,) = shown.lay.boxes, shown.lay.pressed
    assert (number.element, name.element) == ("number", "name")
    platen, laid, before = shown.platen, shown.place(number), shown.place(name)
    assert platen.y < laid.y
    assert laid.top < platen.top
    if away:  # the collar's side of the platen is the far one
        assert before.y > platen.top
    else:
        assert before.top < platen.y
    assert shown.whole.y <= min(platen.y, before.y) + 1e-6
    assert max(platen.top, before.top) <= shown.whole.top + 1e-6  # px: floating point
    assert "past the platen's edge" in person.texts().replace("\n", " ")


def test_plan_and_simulation_press_a_long_back_in_two_parts(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    place = short_platen(tmp_path)
    job = [str(place / "jobs" / JOB), "--recipes", str(place / "recipes")]
    assert main(["plan", *job, "--json"]) == 0
    plan = json.loads(capsys.readouterr().out)
    (back,) = plan["panels"]
    finals = [c["elements"] for c in back["closings"] if c["purpose"] == "final"]
    assert finals == [["name.1", "name.2"], ["number.1", "number.2"]]
    assert plan["taps_per_garment"] == 9
    assert [s["phase"] for s in plan["steps"]].count("pre-press") == 1
    log = tmp_path / "simulated.sqlite3"
    assert main(["simulate", *job, "--garments", "3", "--seed", "1", "--log", str(log)]) == 0
    verdict = verify(log)
    assert (verdict.ok, verdict.pressed_twice) == (True, 0)


def test_check_lists_the_parts_without_warnings(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    place = short_platen(tmp_path)
    assert main(["check", str(place / "jobs" / JOB), "--recipes", str(place / "recipes")]) == 0
    said = capsys.readouterr()
    assert "part 2 of 2: number, the seam" in said.out
    assert said.err == ""
