"""`kiosk demo`: a shift through the real screens, in its own process and window."""

from __future__ import annotations

import struct
import subprocess
import sys
import zlib
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from shutil import copytree

import pytest
from forks import ENVIRONMENT
from station_driver import ROOT

from kiosk.station.demo.play import SIZES, DemoFailed, lay_out, play

LOOK = SIZES[2]  # the smallest window; without pictures the same one upright
UPRIGHT = SIZES[3]
OFFSCREEN = {key: value for key, value in ENVIRONMENT.items() if "DISPLAY" not in key}
# Some pictures that a whole shift must contain.
NAMED = (
    "choose-pin", "sign-on", "jobs", "faults", "questions", "columns", "set-up", "setting",
    "ask-size", "ask-number", "ask-wrong", "trainee-load", "trainee-tack-heat", "held",
    "supervisor", "cover-sheet", "final-press-heat", "inspect", "rework-class", "scrap-cause",
    "put-aside", "garment", "reason", "rack-due", "rack-late", "done", "was-it-closed",
    "started-while-hot", "outcome-unknown", "over", "unasked", "handed-over",
)  # fmt: skip


@dataclass(frozen=True)
class Played:
    """The folder of pictures, the command that made them, and one without pictures."""

    shots: Path
    told: subprocess.CompletedProcess[str]
    bare: subprocess.CompletedProcess[str]


def demo(*asked: str) -> subprocess.CompletedProcess[str]:
    """Run the command off the screen."""
    command = [sys.executable, "-m", "kiosk", "demo", *asked]
    return subprocess.run(
        command, capture_output=True, text=True, cwd=ROOT, env=OFFSCREEN, check=False
    )


@pytest.fixture(scope="module")
def played(tmp_path_factory: pytest.TempPathFactory) -> Played:
    """The demo in Spanish with pictures in one look, and a second one without pictures."""
    shots = tmp_path_factory.mktemp("shots")
    with ThreadPoolExecutor(1) as pool:
        bare = pool.submit(demo, "--size", UPRIGHT.name)
        told = demo("--shots", str(shots), "--size", LOOK.name, "--language", "es")
        return Played(shots, told, bare.result())


def test_the_demo_saves_a_picture_of_every_screen_and_prints_its_path(played: Played) -> None:
    written = sorted(str(path) for path in played.shots.glob("*/*.png"))
    assert sorted(played.told.stdout.splitlines()) == written
    names = {Path(path).stem.split("-", 1)[1] for path in written}
    assert set(NAMED) - names == set()
    assert {Path(path).parent.name for path in written} == {LOOK.name}


def test_each_picture_has_the_windows_size_and_is_not_empty(played: Played) -> None:
    for path in played.shots.glob("*/*.png"):
        head = path.read_bytes()
        assert struct.unpack(">II", head[16:24]) == (LOOK.width, LOOK.height)
        begin = head.index(b"IDAT") + 4
        lines = zlib.decompressobj().decompress(head[begin:])
        row = 1 + 3 * LOOK.width
        assert len(lines) == row * LOOK.height
        assert len({lines[at : at + row] for at in range(0, len(lines), row)}) > 30  # 1 if empty


def test_without_pictures_the_demo_plays_and_exits_cleanly(played: Played) -> None:
    assert (played.bare.returncode, played.bare.stdout) == (0, ""), played.bare.stderr


def test_the_demo_leaves_no_claim_on_the_shops_jobs(played: Played) -> None:
    assert not list((ROOT / "shared" / "jobs").glob("*/.claimed"))


def test_a_failed_demo_names_the_look_it_failed_in(tmp_path: Path) -> None:
    with pytest.raises(DemoFailed, match=SIZES[0].name):  # without pictures: in the first look
        play(tmp_path, ROOT / "shared" / "jobs", None, print)


def test_a_demo_plays_on_copies_that_it_can_write_whatever_the_shops_files_allow(
    tmp_path: Path,
) -> None:
    (tmp_path / "place").mkdir()
    for name in ("recipes", "shared"):
        copytree(ROOT / name, tmp_path / name)
    for path in tmp_path.rglob("*"):
        path.chmod(0o755 if path.name == "place" else 0o555)
    lay_out(tmp_path / "place", tmp_path / "recipes", tmp_path / "shared" / "jobs")
    copies = [path for path in (tmp_path / "place").rglob("*") if path.stat().st_mode & 0o200 == 0]
    for path in tmp_path.rglob("*"):
        path.chmod(0o755)
    assert copies == []


def test_the_demo_plays_only_the_requested_size_and_refuses_an_unknown_one(played: Played) -> None:
    wrong = demo("--size", "5x5")
    assert wrong.returncode == 2
    assert SIZES[0].name in wrong.stderr
    assert (played.told.returncode, played.told.stderr) == (0, "")
    assert [each.name for each in played.shots.iterdir()] == [LOOK.name]
