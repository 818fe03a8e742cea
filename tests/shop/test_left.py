"""If a page is left while the server is asked, the action it asked for is dropped."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import Executor, Future
from pathlib import Path
from typing import Any

import pytest
from shop_folders import BENCH, write, write_shop
from shop_press import PIN, Beside, Press, shared_jobs

from kiosk.log.record.recorder import start
from kiosk.run.state import commands
from kiosk.run.state.model import ConfirmMode
from kiosk.station.desk.desk import Desk, Identity
from kiosk.station.desk.jobs.claims import holder
from kiosk.station.desk.jobs.library import Library
from kiosk.station.desk.jobs.rosters import Rosters
from kiosk.station.desk.pages import start_at
from kiosk.station.desk.sheet import PageKind
from kiosk.station.desk.shell import Shell
from kiosk.station.desk.shift.shop import GivingBack
from kiosk.station.desk.side_files import PinFile
from kiosk.words import Words


class Slow(Executor):
    """Does nothing until told to: a slow server."""

    def __init__(self) -> None:
        self._waiting: list[tuple[Future[Any], Any]] = []

    def submit(self, fn, /, *args, **kwargs):  # type: ignore[no-untyped-def]  # as in Executor
        future: Future[Any] = Future()
        self._waiting.append((future, lambda: fn(*args, **kwargs)))
        return future

    def work(self) -> None:
        waiting, self._waiting = self._waiting, []
        for future, work in waiting:
            future.set_result(work())


class SlowPress(Press):
    """A press whose process beside it was never started: queries get no answer."""

    def __init__(self, place: Path) -> None:
        self.role, self.log = "north", place / "north" / "station.sqlite3"
        self._words, self.slow = Words("en"), Slow()
        self.jobs = shared_jobs(place)
        write(self.jobs / "wherry" / "job.yaml", "")
        for each in ("job.yaml", "roster.csv"):
            (self.jobs / "wherry" / each).write_bytes((self.jobs / "ferry" / each).read_bytes())
        write_shop(place / "north", shop={"presses": {"press-one": BENCH}})
        recorder, _ = start(self.log, self.now())
        library = Library(place / "north" / "recipes", self.jobs)
        shell = Shell(recorder, Rosters(library), self.now, lambda cue: None, self.slow)
        pin = PinFile(self.log.with_name("pin"))
        pin.set(PIN)
        self.beside = Beside(self.log, library.catalog.database)
        self.desk = Desk(shell, library, pin, Identity("north", "1"), self.close, self.beside)
        start_at(self.desk)
        shell.do(commands.SignOn("MK", ConfirmMode.GROUPED))
        self.desk.go_on()

    def answered(self) -> None:
        self.slow.work()
        self.tick()

    def claimed(self) -> list[str]:
        return [each.name for each in sorted(self.jobs.iterdir()) if holder(each) is not None]


@pytest.fixture
def press(tmp_path: Path) -> Iterator[SlowPress]:
    made = SlowPress(tmp_path)
    made.begin()
    assert made.claimed() == ["ferry"]
    yield made
    made.close()


def test_staying_on_the_page_begins_the_job(press: SlowPress) -> None:
    press.answered()
    assert (press.desk.page, press.desk.shell.state.current) == (PageKind.WORK, "ferry")
    assert press.claimed() == ["ferry"]


@pytest.mark.parametrize(
    ("ways", "page"),
    [
        (("back",), PageKind.JOBS),
        (("back", "New order"), PageKind.ORDER),  # this page starts background work too
        (("back", "hand over", "Next"), PageKind.OPEN_QUESTIONS),
    ],
)
def test_leaving_the_page_frees_the_job_and_opens_no_other_page(
    press: SlowPress, ways: tuple[str, ...], page: PageKind
) -> None:
    press.touch(*ways)
    press.answered()
    assert (press.desk.page, press.desk.shell.state.current) == (page, "")
    assert press.claimed() == []


def test_another_job_can_begin_once_the_first_request_is_answered(press: SlowPress) -> None:
    press.touch("back")
    press.desk.look_at(next(o for o in press.desk.offers if o.folder.name == "wherry"))
    press.go_on()
    assert "Asking the shop" in press.said()
    assert press.claimed() == ["ferry"]
    press.answered()
    assert press.claimed() == []
    press.go_on()
    press.answered()
    assert press.desk.shell.state.current == "wherry"
    assert press.claimed() == ["wherry"]


def test_a_late_answer_about_a_batch_opens_no_supervisor_page(press: SlowPress) -> None:
    press.answered()
    giving = press.desk.of(GivingBack)
    batch = {"batch": 2, "name": "south", "garments": [], "ours": False, "done": False}
    for left in (False, True):
        giving.look_at(batch)
        giving.give()
        if left:
            press.desk.go_on()
        press.answered()
        assert press.desk.page is (PageKind.WORK if left else PageKind.SHOP)
    assert press.desk.shell.state.current == "ferry"
