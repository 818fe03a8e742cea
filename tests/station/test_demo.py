"""`kiosk demo`: a shift through the real screens, in a process and a window of its own."""

from __future__ import annotations

import struct
import subprocess
import sys
import zlib
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import pytest
from station_driver import ROOT
from station_kills import ENVIRONMENT

from kiosk.station.demo.play import LOOKS, DemoFailed, play

LOOK = LOOKS[2]  # the smallest window
OFFSCREEN = {key: value for key, value in ENVIRONMENT.items() if "DISPLAY" not in key}
# Names of some pictures that a look through the shift must hold.
NAMED = (
    "choose-pin", "sign-on", "jobs", "faults", "questions", "columns", "set-up", "setting",
    "ask-size", "ask-number", "ask-wrong", "trainee-load", "trainee-tack-heat", "held",
    "supervisor", "cover-sheet", "final-press-heat", "inspect", "rework-class", "scrap-cause",
    "put-aside", "garment", "reason", "rack-due", "rack-late", "done", "was-it-closed",
    "started-while-hot", "outcome-unknown", "over", "unasked", "handed-over",
)  # fmt: skip


@dataclass(frozen=True)
class Played:
    """What was printed, the folder of pictures, and the command without pictures."""

    said: list[str]
    shots: Path
    bare: subprocess.CompletedProcess[str]


@pytest.fixture(scope="module")
def played(tmp_path_factory: pytest.TempPathFactory) -> Played:
    """The demo once with pictures in one look, in Spanish; beside it once without any."""
    shots = tmp_path_factory.mktemp("shots")
    command = [sys.executable, "-m", "kiosk", "demo"]
    with ThreadPoolExecutor(1) as pool:
        bare = pool.submit(
            lambda: subprocess.run(
                command, capture_output=True, text=True, cwd=ROOT, env=OFFSCREEN, check=False
            )
        )
        asked = ["--shots", str(shots), "--size", LOOK.name, "--language", "es"]
        told = subprocess.run(
            [*command, *asked], capture_output=True, text=True, cwd=ROOT, env=OFFSCREEN, check=True
        )
        return Played(told.stdout.splitlines(), shots, bare.result())


def test_it_writes_a_picture_of_every_screen_and_names_it(played: Played) -> None:
    written = sorted(str(path) for path in played.shots.glob("*/*.png"))
    assert sorted(played.said) == written
    names = {Path(path).stem.split("-", 1)[1] for path in written}
    assert set(NAMED) - names == set()
    assert {Path(path).parent.name for path in written} == {"1024x600"}


def test_each_picture_is_as_large_as_the_window_and_shows_something(played: Played) -> None:
    for path in played.shots.glob("*/*.png"):
        head = path.read_bytes()
        assert struct.unpack(">II", head[16:24]) == (LOOK.width, LOOK.height)
        begin = head.index(b"IDAT") + 4
        lines = zlib.decompressobj().decompress(head[begin:])
        row = 1 + 3 * LOOK.width
        assert len(lines) == row * LOOK.height
        assert len({lines[at : at + row] for at in range(0, len(lines), row)}) > 30  # of one: empty


def test_without_pictures_it_plays_and_ends_well(played: Played) -> None:
    assert (played.bare.returncode, played.bare.stdout) == (0, ""), played.bare.stderr


def test_the_shops_own_files_stay_as_they_are(played: Played) -> None:
    assert not list((ROOT / "shared" / "jobs").glob("*/.claimed"))


def test_a_shift_that_cannot_be_played_says_where_it_broke(tmp_path: Path) -> None:
    with pytest.raises(DemoFailed, match="1024x600"):
        play(tmp_path, ROOT / "shared" / "jobs", tmp_path / "shots", print, looks=(LOOK,))


def test_one_size_is_played_where_one_is_asked_for(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "kiosk", "demo", "--size"]
    wrong = subprocess.run(
        [*command, "5x5"], capture_output=True, text=True, cwd=ROOT, env=OFFSCREEN, check=False
    )
    assert wrong.returncode == 2
    assert LOOKS[0].name in wrong.stderr
    done = subprocess.run(
        [*command, "600x1024", "--shots", str(tmp_path)],
        capture_output=True, text=True, cwd=ROOT, env=OFFSCREEN, check=False,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    assert [each.name for each in tmp_path.iterdir()] == ["600x1024"]
