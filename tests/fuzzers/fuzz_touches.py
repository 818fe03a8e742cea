"""Touches whatever is on the screens of a real station: nothing breaks, nothing is cut off."""

from __future__ import annotations

import os
import shutil
import tempfile
from contextlib import suppress
from pathlib import Path
from random import Random

from fuzz_pace import Pace
from station_window import offscreen

os.environ["LP_NUM_THREADS"] = "0"
offscreen((1920, 1920))  # before the window opens, because it cannot grow later

from station_audit import clipped, overlapping, too_small, touchable  # noqa: E402 - after this
from station_driver import PIN, Person, lay_out  # noqa: E402
from station_harness import Bench  # noqa: E402
from station_screen import PANELS  # noqa: E402

from kiosk.log.verify import verify  # noqa: E402
from kiosk.run.apply.fold import replay  # noqa: E402
from kiosk.station.demo.hands import NotShown  # noqa: E402
from kiosk.station.glass.devices import PAGE_UP, PRESS_CLOSED, PRESS_OPENED, SPACE  # noqa: E402

TOUCHES = 150  # at most, in one case
JOBS = 3


def run(pace: Pace) -> None:
    """Let a person with no plan use a station, `times` times."""
    bench = Bench()
    for dice in pace.cases():
        place = Path(tempfile.mkdtemp(prefix="kiosk-fuzz-"))
        pace.at = str(place)
        _use(_station(bench, place, dice), dice, pace)
        bench.clear()
        shutil.rmtree(place)


def _station(bench: Bench, place: Path, dice: Random) -> Person:
    """Open a station with some of the demo's jobs on one of the panels, mostly signed on."""
    *size, inches = dice.choice(list(PANELS.values()))
    bench.resize(*size)
    jobs = sorted(lay_out(place).joinpath("jobs").iterdir())
    for job in dice.sample(jobs, len(jobs) - JOBS):
        shutil.rmtree(job)
    shop = place / "recipes" / "shop.yaml"
    text = shop.read_text("utf-8")
    if dice.random() < 0.5:
        text = text.replace("trial: no", "trial: asked")
    if dice.random() < 0.5:
        text = text.replace("language: en", "language: es")
    shop.write_text(text, "utf-8")
    person = Person(bench, place, inches)
    if dice.random() < 0.9:
        person.first_start()
        if dice.random() < 0.7:
            person.sign_off()
    return person


ASKS_PIN = frozenset({"choose pin", "repeat pin", "pin"})


def _use(person: Person, dice: Random, pace: Pace) -> None:
    """Do one thing after the other; after each, the screen must look right."""
    for _ in range(TOUCHES):
        page = _page(person)
        pace.counted[page] += 1
        (act,) = dice.choices(list(ACTS), list(ACTS.values()))
        if page in ASKS_PIN and dice.random() < 0.5:
            act = _enter
        act(person, dice)
        faults = list(_faults(person))
        if faults:
            person.stage.picture(person.place / "seen.png")
        assert not faults, f"after {act.__name__[1:]} on {page}, on {_page(person)}: {faults}"
        if person.has_left:
            break
    _recorded(person)
    person.close()


def _page(person: Person) -> str:
    station = person.station
    return person.view.kind.value if station.sheet is None else station.desk.page.value


def _faults(person: Person) -> list[str]:
    station = person.station
    if station.sheet is None and station.live.painted is None:
        return []
    return [*clipped(station), *overlapping(station), *too_small(station)]


def _recorded(person: Person) -> None:
    """Check that the station's state is the fold of its record, and the record whole."""
    events = person.events()
    assert replay(events) == person.station.shell.state
    verdict = verify(person.log)
    assert verdict.ok, verdict.faults
    assert not verdict.pressed_twice


# -- what a person may do -------------------------------------------------


def _touch(person: Person, dice: Random) -> None:
    """Touch something that can be touched."""
    boxes = touchable(person.station)
    if boxes:
        person.stage.pass_time(dice.choice((0.1, 0.7, 0.7, 0.7)))
        person.stage.tap(*dice.choice(boxes).centre, dice.choice((0.05, 0.1, 0.1, 0.1, 1.4)))


def _work(person: Person, dice: Random) -> None:
    """Do what the screen asks for, or let time pass on a page."""
    if person.station.sheet is None and person.station.live is person.station.screen:
        with suppress(NotShown):  # as after a touch that the page did not take
            person.move_on()
    else:
        _touch(person, dice)


def _enter(person: Person, dice: Random) -> None:
    """Type the PIN, or something else, and go on."""
    text = dice.choice((PIN, PIN, PIN, str(dice.randint(0, 9999)), "IK"))
    ends = {"choose pin": "Go on with this PIN", "repeat pin": "Keep this PIN"}
    for label in (*text, ends.get(_page(person), "Enter"), "enter"):
        with suppress(NotShown):
            person.touch(label)


def _pedal(person: Person, dice: Random) -> None:
    """Press the pedal."""
    person.stage.key(SPACE)
    person.stage.pass_time(dice.choice((0.05, 0.1, 0.1, 0.3, 1.3, 1.3, 5.0)))
    person.stage.key(SPACE, down=False)


def _key(person: Person, dice: Random) -> None:
    """Press a key of a second pedal, of the press's switch, or of any keyboard."""
    code = dice.choice((PAGE_UP, PRESS_CLOSED, PRESS_OPENED, PRESS_OPENED, dice.randrange(4, 256)))
    person.stage.key(code)
    person.stage.pass_time(dice.choice((0.05, 0.3, 1.3)))
    person.stage.key(code, down=False)


def _anywhere(person: Person, dice: Random) -> None:
    """Touch any point, for any time."""
    wide, high = person.station.size
    person.stage.tap(dice.uniform(0, wide), dice.uniform(0, high), dice.choice((0.05, 0.5, 2.0)))


def _drag(person: Person, dice: Random) -> None:
    """Put a finger down, move it, lift it elsewhere."""
    wide, high = person.station.size
    finger = person.stage.down(dice.uniform(0, wide), dice.uniform(0, high))
    for _ in range(dice.randint(1, 4)):
        person.stage.move(finger, dice.uniform(0, wide), dice.uniform(0, high))
        person.stage.pass_time(0.1)
    person.stage.up(finger)


def _two_fingers(person: Person, dice: Random) -> None:
    """Touch two points at once."""
    wide, high = person.station.size
    fingers = [person.stage.down(dice.uniform(0, wide), dice.uniform(0, high)) for _ in "12"]
    person.stage.pass_time(dice.choice((0.1, 1.5)))
    for finger in fingers:
        person.stage.up(finger)


def _wait(person: Person, dice: Random) -> None:
    """Do nothing for a while."""
    person.stage.pass_time(10 ** dice.uniform(-1, 3.5))


def _restart(person: Person, dice: Random) -> None:
    """End the program and start it again, in the same boot or another."""
    person.restart(dice.choice((person.boot, f"boot {dice.random()}")))


def _roster(person: Person, dice: Random) -> None:
    """Change a job's list, or let it vanish."""
    lists = sorted((person.place / "jobs").glob("*/roster.csv"))
    if not lists:
        return
    path = dice.choice(lists)
    head, *rows = path.read_text("utf-8").splitlines()
    change = dice.choice(("drop", "number", "double", "gone"))
    if change == "gone":
        path.unlink()
        return
    nth = dice.randrange(max(1, len(rows)))
    if change == "drop":
        del rows[nth : nth + 1]
    elif change == "double":
        rows += rows[nth : nth + 1]
    else:
        rows[nth : nth + 1] = [each.replace("1", "7") for each in rows[nth : nth + 1]]
    path.write_text("\n".join([head, *rows]) + "\n", "utf-8")


ACTS = {
    _touch: 50, _work: 25, _enter: 6, _pedal: 8, _key: 2, _anywhere: 3, _drag: 2, _two_fingers: 1,
    _wait: 4, _restart: 1, _roster: 1,
}  # fmt: skip
"""Each act and how often it is chosen."""
