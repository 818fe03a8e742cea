"""Stories of two copies of one tablet that take turns at one order, killed at any step.

Each asks the server before a garment and sends after it; a supervisor decides at either one when
the other's garments are known. In any order of events each garment is pressed exactly once.
"""

from __future__ import annotations

import sqlite3
from collections import Counter
from contextlib import closing
from pathlib import Path
from random import Random

from log_samples import garments, plan
from shop_copies import in_order
from shop_floor import GARMENTS, Floor, Steps
from shop_server import Postgres, events_of

from kiosk.run.decide import settled
from kiosk.run.facts import ScreenKind, kind_of
from kiosk.run.state import Overruled, commands, commands_shift
from kiosk.run.state.model import ConfirmMode
from kiosk.shop import JobWish, RecordsDiffer
from kiosk.shop.joining import UncopiedPart
from kiosk.station.desk.jobs.at_server import wish_of

STORIES, TURNS = 12, 80
KILLED, DECIDED, JOINED = 0.4, 0.3, 0.2  # shares of the turns


class Tablet(Floor):
    """One of the two tablets. `lets_join`: a supervisor has let it join as a new record."""

    lets_join = parted = False

    @property
    def joins(self) -> bool:
        """Whether it may join, also by a supervisor's decision there."""
        job = self.recorder.state.jobs.get(self.job)
        return self.lets_join or (job is not None and bool(wish_of(job)["joins"]))

    def alone(self) -> UncopiedPart:
        try:
            self.sender.join(self.joins)
            return self.sender.alone
        except RecordsDiffer as refused:
            return refused.alone

    def turn(self) -> None:
        self.clock += 1.0
        if not self.recorder.state.operator:
            self.do(commands.SignOn("MK", ConfirmMode.GROUPED))
        self.send()  # as it does every two seconds, which shows whether another sent as this record
        self.claims.alone = self.alone()
        job = self.recorder.state.jobs.get(self.job)
        if job is None:
            self.claims.hold(JobWish(self.job, begins=True))
            self.do(commands.StartJob(self.job, plan(), "hash", garments(GARMENTS)))
        else:
            answer = self.claims.hold(JobWish.read(wish_of(job)))
            if self.recorder.state.current == self.job:
                self._follow(answer)
        self._press()
        self.send()

    def send(self) -> None:
        self.parted = False
        try:
            self.sender.join(self.joins)
            super().send()
        except RecordsDiffer:
            self.parted = True

    @property
    def held(self) -> bool:
        job = self.recorder.state.job
        return job is not None and job.met is not None

    def decide(self) -> bool:
        """Let the tablet go on, as a supervisor, if its page asks; return whether it did."""
        asks = (
            self.held
            and kind_of(settled(self.recorder.state, self.now), self.now) is ScreenKind.LOT
        )
        if asks:
            self.do(commands_shift.LetPass(Overruled.CLAIMS, "SV", "agreed"))
        return asks


class Story:
    """One order at one tablet, then at two that have its record."""

    def __init__(self, postgres: Postgres, name: str, place: Path, seed: int) -> None:
        self._dice, self._steps, self.came = Random(seed), Steps(), Counter[str]()
        self._postgres, self._name = postgres, name
        database, job = postgres.at("north", name), f"story-{seed}"
        first = Tablet(place / f"{job}-first", database, job, self._steps)
        for _ in range(self._dice.randint(1, 3)):
            first.outlive(first.turn)
        copy = place / f"{job}-second"
        with closing(sqlite3.connect(copy)) as file:
            first.recorder.store.copy_into(file, -1)
        self.before = len(first.pressed)
        self.both = first, Tablet(copy, database, job, self._steps)

    @property
    def pressed(self) -> list[str]:
        first, second = self.both
        return in_order([*first.pressed, *second.pressed[self.before :]])

    def go_on(self) -> None:
        """Let one tablet work for a moment, perhaps killed during it; a supervisor may come by."""
        one, other = self.both if self._dice.random() < 0.5 else self.both[::-1]
        if self._dice.random() < KILLED:
            self._steps.fatal = self._steps.count + self._dice.randint(1, 60)
        one.outlive(one.turn)
        self.came["died"] += 0 < self._steps.fatal <= self._steps.count
        self._steps.fatal = -1
        if one.parted and self._dice.random() < JOINED:
            one.lets_join = True
            self.came["joined"] += 1
        if one.held and self._is_known(other) and self._dice.random() < DECIDED:
            one.outlive(one.turn)  # it gets the latest news, and shows it
            self.came["decided"] += one.decide()

    def _is_known(self, other: Tablet) -> bool:
        return not other.parted or len(other.pressed) == self.before

    def end(self) -> None:
        """Let both join; check that every event is at the server once, shared ones too."""
        for each in self.both:
            each.lets_join = True
            each.outlive(each.send)
            each.outlive(each.send)  # the last connection was taken for the other's
            assert not each.parted
        station = [self.both[0].store.station]
        with self._postgres.sql(name=self._name) as owner:
            found = owner.execute(EVERY, station).fetchone()
            after = owner.execute(AFTER, station).fetchone() or (0,)
        assert found == (sum(len(events_of(each.path)) for each in self.both) - after[0],)
        for each in self.both:
            each.die()


EVERY = "SELECT count(*) FROM shop.events JOIN shop.records USING (record) WHERE station = %s"
AFTER = "SELECT max(after) FROM shop.records WHERE station = %s"


def test_two_copies_press_each_garment_once(postgres: Postgres, tmp_path: Path) -> None:
    came, shop = Counter[str](), postgres.shop("copies_story")
    for seed in range(STORIES):
        story = Story(postgres, shop, tmp_path, seed)
        for _ in range(TURNS):
            story.go_on()
            assert len(set(story.pressed)) == len(story.pressed), (seed, story.pressed)
            if any(each.done for each in story.both):
                break
        assert story.pressed == [str(n) for n in range(1, GARMENTS + 1)], (seed, story.came)
        story.end()
        came += story.came
    assert min(came["died"], came["joined"], came["decided"]) >= STORIES // 4, came
