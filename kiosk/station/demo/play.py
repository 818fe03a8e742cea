"""Plays the demo's shift once for each look, each in its own process and window."""

import os
import sys
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

from kiosk.catalog.base import dataclass


@dataclass(frozen=True, slots=True)
class WindowSize:
    """A window size in pixels, and the screen's diagonal in inches."""

    width: int
    height: int
    inches: float

    @property
    def name(self) -> str:
        """The name of the folder for its pictures."""
        return f"{self.width}x{self.height}"


SIZES = (
    WindowSize(1280, 800, 10.1),
    WindowSize(800, 1280, 10.1),
    WindowSize(1024, 600, 7.0),
    WindowSize(600, 1024, 7.0),
    WindowSize(1920, 1200, 13.3),
)


SIZE_BY_NAME = {look.name: look for look in SIZES}


class DemoFailed(Exception):
    """The shift could not be played to its end at `size`; `why` is the last line of the error."""

    def __init__(self, size: str, output: str) -> None:
        super().__init__(f"{size}: {output}")
        self.size, self.why = size, output.splitlines()[-1] if output else ""


def play(
    recipes: Path,
    jobs: Path,
    shots: Path | None,
    report: Callable[[str], None],
    sizes: tuple[WindowSize, ...] = SIZES,
    language: str = "",
) -> None:
    """Play the shift on copies of `recipes` and `jobs`; pass each picture's path to `report`.

    With `shots`, play it in each of `sizes`, as many at a time as there are processors; without,
    once in the first look. `language` is the shop's if empty. Raises DemoFailed.
    """
    from concurrent.futures import ThreadPoolExecutor  # slow to import; LOOKS does not need it

    if shots is None:
        sizes = sizes[:1]
    with ThreadPoolExecutor(max_workers=os.cpu_count()) as workers:
        play_in = partial(_play_one, language=language, shots=shots, report=report)
        for _ in workers.map(lambda size: play_in(size, recipes, jobs), sizes):
            pass


def _play_one(
    size: WindowSize,
    recipes: Path,
    jobs: Path,
    language: str,
    shots: Path | None,
    report: Callable[[str], None],
) -> None:
    import subprocess
    import tempfile

    arguments = [
        str(size.width),
        str(size.height),
        str(size.inches),
        language,
        str(recipes),
        str(jobs),
    ]
    if shots is not None:
        arguments.append(str(shots / size.name))
    command = [sys.executable, "-m", "kiosk.station.demo.play", *arguments]
    with (
        tempfile.TemporaryFile("w+") as errors,
        subprocess.Popen(command, stdout=subprocess.PIPE, stderr=errors, text=True) as player,
    ):
        for line in player.stdout or ():
            report(line.rstrip("\n"))
        if player.wait():
            errors.seek(0)
            raise DemoFailed(size.name, errors.read().strip()[-2000:])


FAULTY_JOB = """title: Spring order
recipe: two-colour-layerd
fabric: deck-knit
press: heron
roster: roster.csv
"""
DOUBTFUL_JOB = """title: Orsavel pond club, juniors
recipe: cool-pair
fabric: allover-print
press: grebe
roster: roster.csv
"""
DOUBTFUL_ROSTER = "line;shirt size;player;number\n1;YM;SAFFE;4\n2;YL;CANDOR;4\n"
ORDER = """Orsavel kelp divers;;;
No.;Player;Size;Sash
7;VANDERHOOK;L;red
11;Mirel;YM;
4;ÅSBO;AM;
"""
SERVER = '\nshop: {database: "service=press"}\n'  # never called: the demo needs no network
WATCHED_SPEED = 4.0
UNWATCHED_FRAME = 1 / 15  # pictures need no smooth motion
SHORT_ROSTER = 7  # garments of each demo job: a short shift


def main(arguments: Sequence[str]) -> int:
    """Play one look: WIDTH HEIGHT INCHES LANGUAGE RECIPES JOBS [SHOTS].

    With SHOTS the window is off screen and each picture's path is printed; without, and with a
    display, the shift is played at a speed that can be watched.
    """
    import tempfile

    from kiosk.station.glass.open import prepare

    width, height, inches, language, recipes, jobs, *optional = arguments
    size = WindowSize(int(width), int(height), float(inches))
    shots = Path(optional[0]) if optional else None
    if shots is not None or not os.environ.get("DISPLAY"):
        os.environ["SDL_VIDEODRIVER"] = "offscreen"
        os.environ["SDL_AUDIODRIVER"] = "dummy"
        os.environ.setdefault("LP_NUM_THREADS", "0")  # the other looks are played at the same time
    prepare(window=(size.width, size.height), fingers=False)
    with tempfile.TemporaryDirectory(prefix="kiosk-demo-") as place:
        lay_out(Path(place), Path(recipes), Path(jobs))
        play_once(Path(place), size, language, shots)
    return 0


def lay_out(place: Path, recipes: Path, jobs: Path) -> None:
    """Copy recipes and shortened jobs to `place`; add a faulty and a doubtful job.

    Also puts an order into the inbox and gives the shop a server.
    """
    _copy(recipes, place / "recipes")
    with (place / "recipes" / "shop.yaml").open("a", encoding="utf-8") as shop:
        shop.write(SERVER)
    _copy(jobs, place / "jobs")
    for roster in (place / "jobs").glob("*/roster.csv"):
        rows = roster.read_text("utf-8").splitlines(keepends=True)
        roster.write_text("".join(rows[: 1 + SHORT_ROSTER]), "utf-8")
    _job(place / "jobs" / "spring-order", FAULTY_JOB, "line,size,name,number\n1,AM,VALDEZ,7\n")
    _job(place / "jobs" / "pond-club", DOUBTFUL_JOB, DOUBTFUL_ROSTER)
    (place / "inbox").mkdir()
    (place / "inbox" / "kelp-divers.csv").write_text(ORDER, "utf-8")


def _copy(folder: Path, to: Path) -> None:
    """Copy a folder's files but neither claims nor permissions: it may be a read-only share."""
    import shutil

    for path in folder.rglob("*"):
        if path.is_file() and path.name != ".claimed":
            copy = to / path.relative_to(folder)
            copy.parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(path, copy)


def _job(folder: Path, job: str, roster: str) -> None:
    folder.mkdir()
    (folder / "job.yaml").write_text(job, "utf-8")
    (folder / "roster.csv").write_text(roster, "utf-8")


def play_once(place: Path, size: WindowSize, language: str, shots: Path | None) -> None:
    """Play the shift in the folder `place`; print the path of each picture."""
    from kiosk.station.demo.hands import DemoHands
    from kiosk.station.demo.shift import DemoShift
    from kiosk.station.demo.stage import DemoWindow

    watched = os.environ.get("SDL_VIDEODRIVER") != "offscreen"
    stage = DemoWindow(WATCHED_SPEED) if watched else DemoWindow(frame=UNWATCHED_FRAME)
    hands = DemoHands(stage, place, size.inches, language=language)
    count = 0

    def shot(name: str) -> None:
        nonlocal count
        count += 1
        if shots is not None:
            shots.mkdir(parents=True, exist_ok=True)
            print(stage.picture(shots / f"{count:02d}-{name}.png"), flush=True)

    try:
        DemoShift(hands, shot).play()
    finally:
        hands.close()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
