"""A made-up station on a real log, for the tests: time passes, garments are pressed."""

from __future__ import annotations

import shutil
import sqlite3
from pathlib import Path

from log_samples import at, garments, plan

from kiosk.log.record.recorder import Outcome, Recorder
from kiosk.log.store.store import Store
from kiosk.run.decide.decide import bar_meaning
from kiosk.run.facts.questions import question_at_hand
from kiosk.run.state import commands as c
from kiosk.run.state.event import Now
from kiosk.run.state.model import ConfirmMode
from kiosk.run.state.rules import QuestionKind
from kiosk.train.made_up_operator.operator import SimulatedOrder, simulate

TRIGGER = "CREATE TRIGGER full BEFORE INSERT ON events BEGIN SELECT RAISE(ABORT, 'full'); END"


class Station:
    """A station whose clock moves only when a test moves it."""

    def __init__(self, path: Path, clock: float = 100.0) -> None:
        self.path = path
        self.recorder = Recorder(unsynced(Store.open(path)))
        self.clock = clock

    @property
    def now(self) -> Now:
        return at(self.clock)

    def do(self, command: c.Command, after: float = 1.0) -> Outcome:
        self.clock += after
        return self.recorder.do(command, self.now)

    def begin(self, count: int = 4) -> None:
        """Start, sign on, start the job, read the setting and answer the questions."""
        self.do(c.Start("0.1.0"))
        self.do(c.SignOn("QV", ConfirmMode.GROUPED))
        self.do(c.StartJob("ferry-order", plan(), "hash", garments(count)))
        self.do(c.Tick())
        self.do(c.ReadSetting(300))
        self.answer()

    def answer(self) -> None:
        """Answer all questions about the current garment correctly."""
        while self.recorder.state.job is not None:
            question = question_at_hand(self.recorder.state.job)
            if question is None:
                return
            setting = question.ask is QuestionKind.SETTING
            told = (
                c.ReadSetting(int(question.right)) if setting else c.AnswerQuestion(question.right)
            )
            assert self.do(told).refusal is None

    def forward(self, after: float = 5.0) -> Outcome:
        """Press forward, with the bar's current meaning."""
        self.clock += after
        meaning = bar_meaning(self.recorder.state, self.now).meaning
        assert meaning is not None
        return self.recorder.do(c.Forward(meaning, self.clock), self.now)

    def time_up(self) -> Outcome:
        """Wait until the press's time is up."""
        heat = self.recorder.state.heat
        assert heat is not None
        assert heat.deadline is not None
        self.clock = heat.deadline
        return self.recorder.do(c.Tick(), self.now)

    def press_to_rack(self) -> None:
        """Take the current garment through pre-press and final, after anything due on the rack."""
        self.answer()
        self._close()
        self.time_up()
        self._close()
        self.time_up()

    def _close(self) -> None:
        while self.recorder.state.heat is None:
            assert self.forward().refusal is None

    def as_killed(self) -> Path:
        """Return a copy of the files as a power cut would leave them, with nothing tidied up."""
        folder = self.path.with_name("as-killed")
        folder.mkdir()
        for part in ("", "-wal"):
            file = self.path.with_name(self.path.name + part)
            shutil.copy(file, folder / file.name)
        return folder / self.path.name


def unsynced(store: Store) -> Store:
    """Return the store, not syncing to disk, which keeps tests quick; other tests kill for real."""
    next(store.rows("PRAGMA synchronous = OFF"), None)
    return store


def foreign(path: Path, sql: str) -> None:
    """Change the file as another program would."""
    connection = sqlite3.connect(path)
    try:
        with connection:
            connection.execute(sql)
    finally:
        connection.close()


def unguarded(path: Path, sql: str) -> None:
    """Change the file as somebody would who first removes its guards."""
    with sqlite3.connect(path) as connection:
        connection.execute("DROP TRIGGER events_are_never_changed")
        connection.execute("DROP TRIGGER events_are_never_deleted")
        connection.execute(sql)
    connection.close()


def signed_on(store: Store) -> list[list[str]]:
    """Return who was at the press in each shift, in order."""
    stints: dict[int, dict[str, None]] = {}
    for shift, who in store.rows("SELECT shift, operator FROM stint ORDER BY stint"):
        stints.setdefault(shift, {})[who] = None
    return [list(each) for each in stints.values()]


def order(count: int) -> SimulatedOrder:
    return SimulatedOrder("ferry-order", plan(), "hash", garments(count))


def simulated(path: Path, count: int, seed: int = 1) -> int:
    """Press a whole made-up job into the log at `path`; return the number of its events."""
    recorder = Recorder(unsynced(Store.open(path, simulated=True)))
    simulate(recorder, order(count), seed)
    last = recorder.last
    recorder.close()
    return last
