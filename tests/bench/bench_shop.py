"""A made-up shop in its own folder, with a shift in progress in its log."""

from __future__ import annotations

import csv
import shutil
import time
from collections.abc import Callable
from pathlib import Path

from kiosk.log.record.recorder import Recorder, start
from kiosk.run.facts.moves import required_setting
from kiosk.run.state import commands
from kiosk.run.state.event import Now
from kiosk.run.state.model import ConfirmMode
from kiosk.station.desk.jobs.library import Library
from kiosk.station.desk.side_files import PinFile, first_frame_path, save_first_frame

ROOT = Path(__file__).resolve().parents[2]
RECIPES = ROOT / "recipes"
JOBS = Path("shared") / "jobs"
LAYERED, PILE = "raft-polo", "ice-crew"


class Moments:
    """The station's clock: this machine's plus what `skip` adds; `by_hand`, only the latter."""

    def __init__(self, by_hand: bool = False) -> None:
        self.by_hand = by_hand
        self.skipped = 1_000.0 if by_hand else 0.0

    def __call__(self) -> Now:
        """Return the time; skipped seconds count on all clocks."""
        steady = self.skipped + (0.0 if self.by_hand else time.monotonic())
        return Now("bench", steady, 1_770_000_000.0 + steady)

    def skip(self, seconds: float) -> None:
        """Let time pass at once."""
        self.skipped += seconds


def make_shop(folder: Path, job: str, garments: int) -> None:
    """Put a job of that many garments, a PIN and no log into `folder`."""
    shutil.copytree(ROOT / "shared" / "jobs" / job, folder / JOBS / job)
    with (folder / JOBS / job / "roster.csv").open("w", encoding="utf-8", newline="") as file:
        rows = csv.writer(file)
        rows.writerow(("line", "size", "name", "number"))
        for line in range(1, garments + 1):
            size = "AM" if line % 12 else "AL"
            rows.writerow((line, size, f"LANTERN {_letters(line)}", line % 100))
    PinFile(folder / "supervisor-pin").set("2468")


def _letters(line: int) -> str:
    return "".join(chr(65 + line // 26**place % 26) for place in range(3))


def begin_shift(folder: Path, job: str, now: Callable[[], Now]) -> Recorder:
    """Sign an operator on, begin the job and read the press's setting; return the open record.

    The station was used before: beside the log are its settings, as every start leaves them.
    """
    recorder, _ = start(folder / "log.sqlite3", now())
    library = Library(RECIPES, folder / JOBS)
    save_first_frame(first_frame_path(folder / "log.sqlite3"), library.recipes, library.catalog)
    offer = library.offer(folder / JOBS / job)
    assert offer.plan is not None, offer.faults
    recorder.do(commands.Start("bench"), now())
    recorder.do(commands.SignOn("MK", ConfirmMode.GROUPED), now())
    begin = commands.StartJob(job, offer.plan, offer.plan_hash, offer.garments(), 0)
    recorder.do(begin, now())
    assert recorder.state.job is not None
    setting = required_setting(recorder.state.job)
    if setting is not None and setting != recorder.state.job.setting:
        recorder.do(commands.ReadSetting(setting), now())
    return recorder
