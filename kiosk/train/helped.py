"""The help of each step of one garment in practice, and what is noted of it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from kiosk.plan.family import families, plan_families
from kiosk.plan.model import Plan
from kiosk.run.event import Event
from kiosk.run.events_practice import GarmentPractised, SlipShown, StepPractised
from kiosk.run.model import Now
from kiosk.train.levels import Level, Trainee
from kiosk.train.slips import Slip
from kiosk.train.steps import step_key

Where = tuple[int, int]
"""The place of a pass in its plan, and of a step in its pass."""


@dataclass(slots=True)
class Helped:
    """Steps of one garment. `alone` gives no help at all; `note` takes what is to be recorded.

    A step keeps the help that it had when the garment began; once it failed it gets all of it.
    """

    plan: Plan
    operator: str
    trainee: Trainee
    alone: bool
    note: Callable[[Event], None]
    failed: set[Where] = field(default_factory=set)
    found_slips: bool = True
    _done: set[Where] = field(default_factory=set)

    def level(self, passage: int, step: int) -> Level:
        """Return how much help a step gets now."""
        if (passage, step) in self.failed and not self.alone:
            return Level.GUIDED
        return self.began(passage, step)

    def began(self, passage: int, step: int) -> Level:
        """Return how much help a step had as the garment began."""
        if self.alone:
            return Level.OWN
        own = self.plan.passes[passage]
        return self.trainee.level(self.family(passage), step_key(own, step))

    def family(self, passage: int) -> str:
        """Return the family that a pass's steps are learnt in."""
        return families(self.plan, self.plan.passes[passage])[0]

    def levels(self) -> set[Level]:
        """Return all helps that occur."""
        return {
            self.level(p, n)
            for p, passage in enumerate(self.plan.passes)
            for n in range(len(passage.steps))
        }

    def slip(self, at: Now, passage: int, slip: Slip, caught: bool) -> None:
        """Note a slip that was put in: found, or missed."""
        own = families(self.plan, self.plan.passes[passage])
        self.found_slips = self.found_slips and caught
        self.note(SlipShown(at, self.operator, own, slip.value, caught))

    def done(self, at: Now, passage: int, steps: Iterable[int]) -> None:
        """Note the steps that are done, each once, right or failed."""
        own, family = self.plan.passes[passage], self.family(passage)
        for n in steps:
            where = (passage, n)
            if where in self._done:
                continue
            right, level = where not in self.failed, self.began(passage, n)
            self._done.add(where)
            key = step_key(own, n)
            self.note(StepPractised(at, self.operator, family, key, int(level), right))

    @property
    def clean(self) -> bool:
        """Whether nothing failed and no slip was missed so far."""
        return not self.failed and self.found_slips

    def end(self, at: Now, seconds: float) -> None:
        """Note the whole garment; one that was only watched is none."""
        if self.levels() == {Level.WATCH}:
            return
        made = plan_families(self.plan)
        own = self.levels() == {Level.OWN}
        self.note(GarmentPractised(at, self.operator, made, round(seconds, 1), own, self.clean))
