"""Plays the demo's shift, once for each size of window that is asked for."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from kiosk.station import header

FAULTY_JOB = """title: Spring order
recipe: two-colour-layerd
fabric: knit-polyester
press: bench-1
roster: roster.csv
"""
WATCHED_SPEED = 4.0


@dataclass(frozen=True, slots=True)
class Look:
    """A window in pixels on a screen of so many inches."""

    width: int
    height: int
    inches: float

    @property
    def name(self) -> str:
        """The folder of its pictures."""
        return f"{self.width}x{self.height}"


LOOKS = (
    Look(1280, 800, 10.1),
    Look(800, 1280, 10.1),
    Look(1024, 600, 7.0),
    Look(600, 1024, 7.0),
    Look(1920, 1200, 13.3),
)


def play(recipes: Path, jobs: Path, shots: Path | None, said: Callable[[str], None]) -> None:
    """Play the shift; with `shots` in every look, each picture named by the screen it shows.

    Works on copies of `recipes` and `jobs`. Without `shots` and with a display it is played
    at a speed that can be watched. `said` gets a line for each picture.
    """
    if shots is not None or not os.environ.get("DISPLAY"):
        os.environ["SDL_VIDEODRIVER"] = "offscreen"
        os.environ["SDL_AUDIODRIVER"] = "dummy"
    looks = LOOKS if shots is not None else LOOKS[:1]
    header.prepare(window=(looks[0].width, looks[0].height), fingers=False)
    from kivy.config import Config

    Config.set("graphics", "maxfps", "0")  # the stage keeps the time
    from kiosk.station.demo.stage import Stage

    watched = os.environ.get("SDL_VIDEODRIVER") != "offscreen"
    stage = Stage(WATCHED_SPEED if watched else 0.0)
    for look in looks:
        folder = None if shots is None else shots / look.name
        with tempfile.TemporaryDirectory(prefix="kiosk-demo-") as place:
            lay_out(Path(place), recipes, jobs)
            stage.resize(look.width, look.height)
            _play_once(stage, Path(place), look, folder, said)


def lay_out(place: Path, recipes: Path, jobs: Path) -> None:
    """Copy recipes and jobs to `place`, and put a job with a fault beside them."""
    shutil.copytree(recipes, place / "recipes")
    shutil.copytree(jobs, place / "jobs", ignore=shutil.ignore_patterns(".claimed"))
    faulty = place / "jobs" / "spring-order"
    faulty.mkdir()
    (faulty / "job.yaml").write_text(FAULTY_JOB, "utf-8")
    (faulty / "roster.csv").write_text("line,size,name,number\n1,AM,VALDEZ,7\n", "utf-8")


def _play_once(
    stage: object, place: Path, look: Look, folder: Path | None, said: Callable[[str], None]
) -> None:
    from kiosk.station.demo.hands import Hands
    from kiosk.station.demo.shift import Shift
    from kiosk.station.demo.stage import Stage

    assert isinstance(stage, Stage)
    hands = Hands(stage, place, look.inches)
    count = 0

    def shot(name: str) -> None:
        nonlocal count
        count += 1
        if folder is not None:
            folder.mkdir(parents=True, exist_ok=True)
            said(str(stage.picture(folder / f"{count:02d}-{name}.png")))

    try:
        Shift(hands, shot).play()
    finally:
        hands.close()
        stage.clear()
