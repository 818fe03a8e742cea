"""A station reopened in the middle of a closing shows its clock before it reads anything.

The station opens in its own process, as `kiosk run` does, on a record whose press is closed.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from kiosk.log.record import Recorder, start
from kiosk.log.store import now
from kiosk.run.decide import bar_meaning
from kiosk.run.facts import question_at_hand, required_setting
from kiosk.run.state import ConfirmMode, TicketStage, commands
from kiosk.station.desk.jobs.library import Library
from kiosk.station.desk.side_files import first_frame_path, read_first_frame, save_first_frame

ROOT = Path(__file__).resolve().parents[2]
JOB = "ice-crew"


def called(folder: Path) -> Recorder:
    """Begin a job of the shipped shop in `folder`, and call its first garment."""
    shutil.copytree(ROOT / "recipes", folder / "recipes")
    shutil.copytree(ROOT / "shared" / "jobs" / JOB, folder / "jobs" / JOB)
    library = Library(folder / "recipes", folder / "jobs")
    log = folder / "log.sqlite3"
    save_first_frame(first_frame_path(log), library.recipes, library.catalog)
    recorder, _ = start(log, now())
    offer = library.offer(folder / "jobs" / JOB)
    assert offer.plan is not None, offer.faults
    recorder.do(commands.Start("test"), now())
    recorder.do(commands.SignOn("MK", ConfirmMode.GROUPED), now())
    recorder.do(commands.StartJob(JOB, offer.plan, offer.plan_hash, offer.garments(), 0), now())
    assert recorder.state.job is not None
    setting = required_setting(recorder.state.job)
    if setting is not None and setting != recorder.state.job.setting:
        recorder.do(commands.ReadSetting(setting), now())
    return recorder


def closed(folder: Path) -> Recorder:
    """Begin a job of the shipped shop in `folder`, up to a closed press."""
    recorder = called(folder)
    while recorder.state.heat is None:
        job = recorder.state.job
        assert job is not None
        asked = question_at_hand(job)
        if asked is not None:
            recorder.do(commands.AnswerQuestion(asked.right), now())
        else:
            meaning = bar_meaning(recorder.state, now()).meaning
            assert meaning is not None
            recorder.do(commands.Forward(meaning, now().clock), now())
    return recorder


def open_and_tell(place: str) -> None:
    """Open the station; print what its first and third frame show, and the modules loaded."""
    os.environ["SDL_VIDEODRIVER"], os.environ["SDL_AUDIODRIVER"] = "offscreen", "dummy"
    os.environ["KIVY_NO_CONSOLELOG"] = "1"
    from kiosk.station.glass import open as header

    real = header.prepare

    def prepare() -> None:
        real(window=(1024, 600))
        from kivy.core.window import Window

        told: list[dict[str, Any]] = []

        def flipped(*_: object) -> None:
            station = next(iter(Window.children), None)
            if station is None:
                return
            seen = station.shell.view(station.parts.now())
            left = None if seen.countdown is None else seen.countdown.left
            tickets = station.shell.state.job.tickets.values()
            told.append({"kind": seen.kind.name, "left": left, "read": sorted(sys.modules),
                         "names": bool(station.shell.rosters.team().lines),
                         "held": any(t.stage is TicketStage.STOPPED for t in tickets)})  # fmt: skip
            if len(told) == 3:
                import asyncio

                told[2]["coroutines"] = asyncio.run(asyncio.sleep(0.0, "done"))
                print(json.dumps([told[0], told[2]]), flush=True)
                os._exit(0)
            Window.canvas.ask_update()  # count a frame that equals the one before too

        Window.bind(on_flip=flipped)

    header.prepare = prepare  # type: ignore[assignment]  # run_station asks for nothing more
    folder = Path(place)
    header.run_station(folder / "recipes", folder / "jobs", folder / "log.sqlite3")


@pytest.fixture(scope="module")
def frames(tmp_path_factory: pytest.TempPathFactory) -> list[dict[str, Any]]:
    """The first and third frame of a station whose press is closed."""
    folder = tmp_path_factory.mktemp("shop")
    closed(folder).close()
    return frames_of(folder)


def frames_of(folder: Path) -> list[dict[str, Any]]:
    """Return what the first and third frame of a station show and have loaded."""
    done = subprocess.run(
        [sys.executable, __file__, str(folder)], capture_output=True, text=True, timeout=60,
        check=True, env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    told: list[dict[str, Any]] = json.loads(done.stdout.splitlines()[-1])
    return told


def test_the_first_frame_shows_the_clock(frames: list[dict[str, Any]]) -> None:
    first, _ = frames
    assert first["kind"] == "HEAT"
    assert first["left"] > 0


def test_the_first_frame_loads_no_recipes_roster_or_other_pages(
    frames: list[dict[str, Any]],
) -> None:
    first, third = frames
    for unread in ("yaml", "kiosk.catalog.read", "kiosk.catalog.roster.cells"):
        assert unread not in first["read"]
        assert unread in third["read"]
    never = {"kiosk.plan.procedure", "kiosk.station.desk.jobs.jobs"}
    never |= {"kiosk.train.practice.session", "kiosk.station.glass.screens.sheet_page"}
    never |= {"asyncio", "filetype.match", "difflib", "cattrs"}  # libraries, likewise
    assert not never & set(first["read"])


def test_the_names_are_loaded_two_frames_later(frames: list[dict[str, Any]]) -> None:
    first, third = frames
    assert not first["names"]
    assert third["names"]


def test_modules_kept_from_kivy_still_work_for_others(frames: list[dict[str, Any]]) -> None:
    _, third = frames
    assert third["coroutines"] == "done"


def test_a_changed_roster_row_is_noticed_right_after_the_first_frame(tmp_path: Path) -> None:
    called(tmp_path).close()
    roster = tmp_path / "jobs" / JOB / "roster.csv"
    head, _, rest = roster.read_text("utf-8").split("\n", 2)
    roster.write_text(f"{head}\n{rest}", "utf-8")
    first, third = frames_of(tmp_path)
    assert "yaml" not in first["read"]
    assert (first["held"], third["held"]) == (False, True)


def test_kept_settings_are_used_only_with_the_same_shop_file(tmp_path: Path) -> None:
    shutil.copytree(ROOT / "recipes", tmp_path / "recipes")
    library, path = Library(tmp_path / "recipes", tmp_path), tmp_path / "log.settings.json"
    assert read_first_frame(path, library.recipes) is None
    save_first_frame(path, library.recipes, library.catalog)
    kept = read_first_frame(path, library.recipes)
    assert kept is not None
    assert kept.station == library.catalog.station
    assert Library(library.recipes, tmp_path, kept).station == library.station
    shop = library.recipes / "shop.yaml"
    shop.write_text(shop.read_text("utf-8") + "\n", "utf-8")
    assert read_first_frame(path, library.recipes) is None
    for broken in (b"", b"{}", b'{"shop": 1, "kept": 2}', b"\xff"):
        path.write_bytes(broken)
        assert read_first_frame(path, library.recipes) is None


if __name__ == "__main__":
    open_and_tell(*sys.argv[1:])
