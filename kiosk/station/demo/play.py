"""Plays the shift of the demo, once for each look, each in a process and a window of its own."""

import os
import sys
from collections.abc import Callable
from pathlib import Path

from kiosk.catalog.base import dataclass


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


BY_NAME = {look.name: look for look in LOOKS}


class DemoFailed(Exception):
    """The shift could not be played to its end; the message is what the player said."""


def play(
    recipes: Path,
    jobs: Path,
    shots: Path | None,
    said: Callable[[str], None],
    looks: tuple[Look, ...] = LOOKS,
) -> None:
    """Play the shift on copies of `recipes` and `jobs`; `said` gets the path of each picture.

    With `shots` it is played in each of `looks`, as many at a time as there are processors, and
    each picture is told as it is written; without, once in the first. Raises DemoFailed.
    """
    from concurrent.futures import ThreadPoolExecutor  # the command line knows the looks without

    if shots is None:
        looks = looks[:1]
    with ThreadPoolExecutor(max_workers=os.cpu_count()) as workers:
        for _ in workers.map(lambda look: _play_one(look, recipes, jobs, shots, said), looks):
            pass


def _play_one(
    look: Look, recipes: Path, jobs: Path, shots: Path | None, said: Callable[[str], None]
) -> None:
    import subprocess
    import tempfile

    asked = [str(look.width), str(look.height), str(look.inches), str(recipes), str(jobs)]
    if shots is not None:
        asked.append(str(shots / look.name))
    command = [sys.executable, "-m", "kiosk.station.demo", *asked]
    with (
        tempfile.TemporaryFile("w+") as errors,
        subprocess.Popen(command, stdout=subprocess.PIPE, stderr=errors, text=True) as player,
    ):
        for line in player.stdout or ():
            said(line.rstrip("\n"))
        if player.wait():
            errors.seek(0)
            raise DemoFailed(f"{look.name}: {errors.read().strip()[-2000:]}")
