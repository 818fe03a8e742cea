"""Stations without screen or process that share an order; each can be killed at any step."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import psycopg
from log_samples import garments, plan
from log_station import unsynced
from shop_server import Postgres, holds_all

from kiosk.catalog.model import Database
from kiosk.log.record.recorder import Recorder
from kiosk.log.store import Store
from kiosk.run.decide.decide import bar_meaning, is_legal, settled
from kiosk.run.facts import ScreenKind, kind_of, question_at_hand, slot_ticket
from kiosk.run.state import EndBatches, MeetClaims, Now, TakeBatch, commands
from kiosk.run.state.model import ConfirmMode, TicketStage
from kiosk.shop import Claims, JobWish, Sender, WishAnswer
from kiosk.station.desk.jobs.apart import other_stations
from kiosk.station.desk.jobs.at_server import garments_of, row_of, wish_of

WALL = 1_770_000_000.0
GARMENTS, BATCH = 6, 2
ROUNDS = 60


class Dies(BaseException):
    """Kills the station at this step; nothing is tidied up."""


class Steps:
    """Counts steps at the server and in the records; kills at number `fatal`."""

    def __init__(self, fatal: int = -1) -> None:
        self.count, self.fatal = 0, fatal

    def step(self) -> None:
        self.count += 1
        if self.count == self.fatal:
            raise Dies


class Counted(psycopg.Connection[Any]):
    """A connection on which each statement makes two steps: before sending, and when done."""

    steps: Steps

    def execute(self, *asked: Any, **how: Any) -> Any:
        self.steps.step()
        done = super().execute(*asked, **how)
        self.steps.step()
        return done


class Floor:
    """A station: its record, its connection, and hands. `ahead` is the error of its clock."""

    def __init__(
        self, path: Path, database: Database, job: str, steps: Steps, ahead: float = 0.0
    ) -> None:
        self.path, self.job = path, job
        self._database, self._steps, self._ahead = database, steps, ahead
        self.clock = 100.0
        self.open()

    def open(self) -> None:
        """Start on the current record."""
        self.recorder = Recorder(unsynced(Store.open(self.path)))
        self.server = Counted.connect(self._database.address, autocommit=True)
        self.server.steps = Steps()  # the driver's own queries are no steps
        self.server.steps = self._steps
        self.store = Store.read_only(self.path)
        self.claims = Claims(self.server, self.store)
        self.sender = Sender(self.store, self.server)
        self.recorder.do(commands.Start("1"), self.now)

    def die(self) -> None:
        """End as if killed: no disconnection, and the file is left as it is."""
        self.server.pgconn.finish()
        self.store.close()
        self.recorder.store.close()

    @property
    def now(self) -> Now:
        return Now("a boot", self.clock, WALL + self._ahead + self.clock)

    @property
    def pressed(self) -> list[str]:
        job = self.recorder.state.jobs.get(self.job)
        every = () if job is None else job.tickets.values()
        return [ticket.garment.line for ticket in every for _ in range(ticket.finals)]

    @property
    def done(self) -> bool:
        job = self.recorder.state.jobs.get(self.job)
        return job is not None and job.done

    def do(self, command: commands.Command) -> None:
        """Carry out a command, with a step before it is written and one after."""
        self._steps.step()
        assert self.recorder.do(command, self.now).refusal is None, command
        self._steps.step()

    def turn(self) -> None:
        """Ask the server, follow its answer, press one garment, send what happened."""
        self.clock += 1.0
        if not self.recorder.state.operator:
            self.do(commands.SignOn("MK", ConfirmMode.GROUPED))
        job = self.recorder.state.jobs.get(self.job)
        answer = self.claims.hold(self._begins() if job is None else JobWish.read(wish_of(job)))
        if job is None:
            self._begin(answer)
        elif self.recorder.state.current == self.job:
            self._follow(answer)
        self._press()
        self.send()

    def send(self) -> None:
        """Send what the server does not have."""
        while self.sender.send_some():
            pass

    def outlive(self, act: Callable[[], None]) -> None:
        """Run `act`; if killed during it, start again and send what is on disk."""
        try:
            act()
        except Dies:
            self.die()
            self.open()
            self.send()

    def _begins(self) -> JobWish:
        every = [tuple(row_of(each)) for each in garments(GARMENTS)]
        order = tuple(tuple(every[n : n + BATCH]) for n in range(0, GARMENTS, BATCH))
        return JobWish(self.job, shared=True, begins=True, wants=True, order=order)

    def _begin(self, answer: WishAnswer) -> None:
        batch = next((b for b in answer.batches if b.ours and not b.done), None)
        if batch is not None:
            own = garments_of([list(row) for row in batch.garments])
            self.do(commands.StartJob(self.job, plan(), "hash", own, batch=batch.batch,
                                      whole=GARMENTS))  # fmt: skip

    def _follow(self, answer: WishAnswer) -> None:
        told = answer.as_json()
        for batch in answer.batches:
            if batch.ours and not batch.done:
                rows = garments_of([list(row) for row in batch.garments])
                self.do(TakeBatch(self.job, batch.batch, rows))
        if answer.batches and all(batch.done for batch in answer.batches):
            self.do(EndBatches(self.job))
        job = self.recorder.state.job
        kind = kind_of(settled(self.recorder.state, self.now), self.now)
        if job is not None and job.job == self.job and is_legal(MeetClaims, kind):
            self.do(MeetClaims(self.job, other_stations(told, job, {})))

    def _press(self) -> None:
        """Press one garment to a good result, if there is one."""
        before = self._good()
        for _ in range(80):
            job, state = self.recorder.state.job, self.recorder.state
            kind = kind_of(settled(state, self.now), self.now)
            if (
                job is None
                or kind in (ScreenKind.DONE, ScreenKind.IDLE, ScreenKind.LOT)
                or self._good() > before
            ):
                return
            question = question_at_hand(job)
            meaning = bar_meaning(state, self.now).meaning
            self.clock += 18.0
            self.do(commands.Tick())
            if kind is ScreenKind.SETTING and question is not None:
                self.do(commands.ReadSetting(int(question.right)))
            elif kind is ScreenKind.ASK and question is not None:
                self.do(commands.AnswerQuestion(question.right))
            elif meaning is not None:
                meaning = bar_meaning(self.recorder.state, self.now).meaning or meaning
                self.clock += 2.0  # time to read the bar before touching it
                self.do(commands.Forward(meaning, self.clock))
                if (heat := self.recorder.state.heat) is not None and heat.deadline is not None:
                    self.clock = max(self.clock, heat.deadline)
            elif (unknown := slot_ticket(job)) is not None and unknown.stage is TicketStage.UNKNOWN:
                self.do(commands.Inspect(unknown.id, TicketStage.GOOD))  # inspected after a stop
            self.do(commands.Tick())

    def _good(self) -> int:
        job = self.recorder.state.jobs.get(self.job)
        every = () if job is None else job.tickets.values()
        return sum(ticket.stage is TicketStage.GOOD for ticket in every)


def story(
    place: Path, postgres: Postgres, name: str, job: str, steps: Steps, ahead: float = 0.0
) -> Iterator[Floor]:
    """Let two stations press one order, yielding each before its turn; then check the result.

    A killed station is started again. At the end every event is at the server once and in order,
    the facts are those of a fresh fold, and each garment was pressed once.
    """
    floors = [
        Floor(place / f"{job}-{role}.sqlite3", postgres.at(role, name), job, steps, off)
        for role, off in (("north", ahead), ("south", -ahead))
    ]
    for _ in range(ROUNDS):
        for floor in floors:
            yield floor
            floor.outlive(floor.turn)
        if all(floor.done for floor in floors):
            break
    for floor in floors:
        floor.outlive(floor.send)
    pressed = sorted((line for floor in floors for line in floor.pressed), key=int)
    assert pressed == [str(n) for n in range(1, GARMENTS + 1)], (job, steps.fatal)
    for floor in floors:
        assert floor.done, (job, steps.fatal)
        floor.die()
        holds_all(postgres, floor.path, name)
