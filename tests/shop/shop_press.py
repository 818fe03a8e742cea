"""A press without its window: the station's desk, its record, and the process beside it."""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Any

from shop_folders import BENCH, write, write_shop
from shop_server import Postgres

from kiosk.catalog.model import Database
from kiosk.log.record.recorder import start
from kiosk.peel.worker import ImmediateExecutor
from kiosk.run.decide.decide import bar_meaning, settled
from kiosk.run.facts import ScreenKind, kind_of, question_at_hand
from kiosk.run.state import Now, commands
from kiosk.run.state.model import ConfirmMode, JobRun
from kiosk.shop.attendant import Attendant, Inbox
from kiosk.station.desk import sending_process as desk_beside
from kiosk.station.desk.desk import Desk, Identity
from kiosk.station.desk.jobs import at_server
from kiosk.station.desk.jobs.library import Library
from kiosk.station.desk.jobs.rosters import Rosters
from kiosk.station.desk.pages import AT_WORK, SHEETS, start_at, tick
from kiosk.station.desk.sheet import PageKind, Sheet
from kiosk.station.desk.shell import Shell
from kiosk.station.desk.side_files import PinFile
from kiosk.words import Words

PIN = "2468"
PATIENCE = 120.0  # only ends a wait for something that will never come
at_server.ASK_SECONDS = PATIENCE  # the machine may be busy with other tests
WALL = 1_800_000_000.0
SIZES = ("AS", "AM", "AL")
PLAYERS = ("KOVA", "OKORO", "BRANNOCK", "VALDEZ")


def until(true: Callable[[], bool]) -> None:
    """Wait for another process to make the condition true."""
    ends = time.monotonic() + PATIENCE
    while not true():
        assert time.monotonic() < ends
        time.sleep(0.01)


def shared_jobs(place: Path, garments: int = 12) -> Path:
    """Write a job of that many garments, four per size, into a folder that all stations see."""
    names = [f"{PLAYERS[n % 4]}{chr(64 + n % 26)}{n // 26 * 'Y'}" for n in range(garments + 1)]
    rows = [f"{n},{SIZES[(n - 1) // 4 % 3]},{names[n]},{n + 20}" for n in range(1, garments + 1)]
    write_shop(place, roster="\n".join(["line,size,name,number", *rows, ""]))
    return place / "jobs"


class Thread:
    """Replaces the process beside a station: the same loop, over real pipes, in this process.

    The process itself is tested in `test_attendant.py`; starting a dozen takes as many seconds.
    """

    def __init__(self, log: Path, database: Database) -> None:
        hears, says = os.pipe()
        back, told = os.pipe()
        self.stdin, self.stdout = os.fdopen(says, "w"), os.fdopen(back)
        self._hears, self._told = os.fdopen(hears), os.fdopen(told, "w")
        inbox = Inbox()
        attendant = Attendant(log, database, self._told, inbox)
        threading.Thread(target=inbox.listen, args=(self._hears,), daemon=True).start()
        self._thread = threading.Thread(target=self._run, args=(attendant,), daemon=True)
        self._thread.start()

    def _run(self, attendant: Attendant) -> None:
        with self._hears, self._told:
            attendant.run()

    def wait(self) -> int:
        self._thread.join()
        return 0

    def kill(self) -> None: ...


class Beside(desk_beside.SendingProcess):
    """The process beside a station, as a thread for these tests."""

    def __init__(self, log: Path, database: Database) -> None:
        super().__init__((), pause=0.01)
        self._of = log, database

    def _start(self) -> Any:
        return Thread(*self._of)

    def close(self) -> None:
        """End it, and wait until it stops talking: a thread cannot be killed."""
        super().close()
        if self._thread is not None:
            self._thread.join(PATIENCE)
            assert not self._thread.is_alive()


class Press:
    """A person at a press that is named after the role it signs in as."""

    clock = 1000.0  # shared by all presses: time passes when anybody works

    def __init__(self, place: Path, postgres: Postgres, role: str, database: str) -> None:
        self.role, self.log = role, place / role / "station.sqlite3"
        self._place, self._words = place, Words("en")
        own = {"presses": {"press-one": BENCH}}
        address = postgres.at(role, database).address
        write_shop(place / role, shop={**own, "shop": {"database": address}})
        write(place / role / "recipes" / "shop.yaml", {**own, "shop": {"database": address}})
        self.open()

    def open(self) -> None:
        """Start the station on its record."""
        recorder, _ = start(self.log, self.now())
        recipes = self._place / self.role / "recipes"
        library = Library(recipes, self._place / "jobs")
        shell = Shell(recorder, Rosters(library), self.now, lambda cue: None, ImmediateExecutor())
        pin = PinFile(self.log.with_name("pin"))
        pin.set(PIN)
        self.beside = Beside(self.log, library.catalog.database)
        self.desk = Desk(shell, library, pin, Identity(self.role, "1"), self.close, self.beside)
        start_at(self.desk)
        if not shell.state.operator:
            shell.do(commands.SignOn("MK", ConfirmMode.GROUPED))
            self.desk.go_on()
        self.beside.start()

    def close(self) -> None:
        """Close the program."""
        self.beside.close()
        self.desk.shell.recorder.close()

    def now(self) -> Now:
        return Now("a boot", Press.clock, WALL + Press.clock)

    @property
    def job(self) -> JobRun:
        job = self.desk.shell.state.job
        assert job is not None
        return job

    @property
    def kind(self) -> ScreenKind:
        now = self.now()
        return kind_of(settled(self.desk.shell.state, now), now)

    @property
    def pressed(self) -> list[str]:
        """Lines of the job that had their final here."""
        found = (self.desk.shell.state.jobs.get("ferry"),)
        tickets = [t for job in found if job is not None for t in job.tickets.values()]
        return [ticket.garment.line for ticket in tickets if ticket.finals]

    @property
    def sheet(self) -> Sheet:
        """The page on the screen."""
        page = self.desk.page
        make = AT_WORK[self.kind] if page is PageKind.WORK else SHEETS[page]
        return make(self.desk, self._words)

    def said(self) -> str:
        """Return all text of the page, and the notices above it."""
        sheet = self.sheet
        over = (self._words.say(each) for each in self.desk.shell.notices(self.now()))
        return "\n".join([*over, sheet.title, sheet.headline, sheet.second, *sheet.lines])

    def touch(self, *labels: str) -> None:
        """Touch buttons of the page in turn."""
        for label in labels:
            sheet = self.sheet
            every = [*sheet.choices, sheet.main, sheet.left, sheet.right]
            buttons = [button for button in every if button is not None]
            found = next((b for b in buttons if b.label.startswith(label)), None)
            assert found is not None, (label, [button.label for button in buttons])
            Press.clock += 1.0
            found.act()

    def supervisor(self) -> None:
        """Enter the PIN that is asked for."""
        self.touch(*PIN, "Enter")

    def tick(self) -> None:
        """Run one frame of the station."""
        Press.clock += 0.001
        tick(self.desk)

    def until(self, true: Callable[[], bool]) -> None:
        """Run frames until the process beside makes the condition true."""
        ends = time.monotonic() + PATIENCE
        while not true():
            assert time.monotonic() < ends, self.said()
            time.sleep(0.01)
            self.tick()

    def look_at_job(self) -> None:
        """Choose the job, which shows its set-up."""
        self.touch("Ferry order")

    def begin(self, shares: bool = False) -> None:
        """Choose the job and begin it."""
        self.look_at_job()
        self.go_on(shares)

    def go_on(self, shares: bool = False) -> None:
        """Begin the job that is set up."""
        self.touch("Read the cautions", "With other presses" if shares else "This press alone")

    def press(self, count: int = 1) -> None:
        """Press `count` garments to a good result."""
        for _ in range(count):
            before = len(self.pressed)
            self.step(lambda before=before: self._is_done(before))  # type: ignore[misc]

    def _is_done(self, before: int) -> bool:
        job = self.job
        return len(self.pressed) > before and not job.rack and self._at_hand_is_new(job)

    def _at_hand_is_new(self, job: JobRun) -> bool:
        ticket = job.tickets.get(job.slot)
        return ticket is None or not ticket.finals

    def step(self, over: Callable[[], bool], most: int = 60) -> None:
        """Do what the work screen asks until `over` is true."""
        for _ in range(most):
            if over():
                return
            self.move()
        raise AssertionError(self.kind)

    def move(self) -> None:
        """Do the next thing that the work screen asks for."""
        shell = self.desk.shell
        question = question_at_hand(self.job)
        Press.clock += 20.0
        tick(self.desk)
        if self.kind is ScreenKind.SETTING and question is not None:
            shell.work(commands.ReadSetting(int(question.right)))
        elif self.kind is ScreenKind.ASK and question is not None:
            shell.work(commands.AnswerQuestion(question.right))
        else:
            meaning = bar_meaning(shell.state, self.now()).meaning
            if meaning is not None:
                shell.work(commands.Forward(meaning, Press.clock))


Open = Callable[[str], Press]
"""Returns the press of a role."""


@contextmanager
def at_one_server(place: Path, postgres: Postgres, database: str) -> Iterator[Open]:
    """Yield presses of a shop that knows no job yet; they are closed at the end."""
    with postgres.sql(name=database) as connection:
        connection.execute("DELETE FROM shop.batches; DELETE FROM shop.claims")
        connection.execute("DELETE FROM shop.garment")
    shared_jobs(place)
    with ExitStack() as stack:

        def made(role: str) -> Press:
            press = Press(place, postgres, role, database)
            stack.callback(lambda: press.close())
            return press

        yield made
