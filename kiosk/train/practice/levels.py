"""What each trainee can do, folded from the practice events in the record.

Each step has its own level of help: done right, it gets less next time; failed, that step alone
gets its help back.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import field, replace
from enum import IntEnum
from math import inf
from typing import Any

from kiosk.catalog.base import dataclass
from kiosk.catalog.model import QUIZ_LOOKS_BACK
from kiosk.plan.group import plan_families
from kiosk.plan.model import Plan
from kiosk.run.state import Event
from kiosk.run.state import events_station as e


class HelpLevel(IntEnum):
    """How much help a step gets, from most to least."""

    WATCH = 0  # it plays by itself
    GUIDED = 1  # a line, and why
    PROMPTED = 2  # the move alone
    RECALL = 3  # the trainee picks the next step from several
    OWN = 4  # as at work

    @property
    def word(self) -> str:
        """The word for this level in message ids."""
        return self.name.lower()


@dataclass(frozen=True, slots=True)
class PractisedGarment:
    """One garment practised to its end."""

    families: tuple[str, ...]
    seconds: float
    own: bool
    clean: bool
    wall: float = 0.0
    false_alarms: int = 0
    found: int = 0


@dataclass(frozen=True, slots=True)
class SlipCount:
    """How many slips of one kind were caught and missed, and whether the last one was caught."""

    caught: int = 0
    missed: int = 0
    last: bool = False


@dataclass(frozen=True, slots=True)
class Trainee:
    """What one trainee has shown: `levels` by (family, step), the rest mostly by family.

    `reasons`: steps (family, step) whose reason was read or answered right. `slips`: counts by
    (family, kind). `found`: whether each of a family's last ten slips was caught. `quiz`: whether
    each of its last ten answers was right. Only slips on the bench count, because those put in
    words can be found by reading. `boxes`: right answers in a row by kind of question. `wrong_at`:
    wall time of the last wrong answer. `half_done`: families of a garment with slips shown but no
    end, because the station stopped in the middle of it.
    """

    levels: Mapping[tuple[str, str], HelpLevel] = field(default_factory=dict)
    reasons: frozenset[tuple[str, str]] = frozenset()
    garments: tuple[PractisedGarment, ...] = ()
    slips: Mapping[tuple[str, str], SlipCount] = field(default_factory=dict)
    found: Mapping[str, tuple[bool, ...]] = field(default_factory=dict)
    quiz: Mapping[str, tuple[bool, ...]] = field(default_factory=dict)
    boxes: Mapping[str, int] = field(default_factory=dict)
    wrong_at: float = -inf
    sign_offs_asked: frozenset[str] = frozenset()
    half_done: frozenset[str] = frozenset()

    def level(self, family: str, step: str) -> HelpLevel:
        """Return the level of help that a step gets now."""
        return self.levels.get((family, step), HelpLevel.WATCH)

    def slips_before(self, plan: Plan) -> tuple[frozenset[str], frozenset[str]]:
        """Return the kinds of slip missed the last time, and all kinds shown so far."""
        own = plan_families(plan)
        kinds = {kind: count for (family, kind), count in self.slips.items() if family in own}
        missed = frozenset(kind for kind, count in kinds.items() if not count.last)
        return missed, frozenset(kinds)

    def of_family(self, family: str) -> tuple[PractisedGarment, ...]:
        """Return the practised garments of a family, oldest first."""
        return tuple(each for each in self.garments if family in each.families)


Training = Mapping[str, Trainee]
NEW = Trainee()


def trained(events: Iterable[Event], training: Training | None = None) -> Training:
    """Return the trainees by initials, updated by `events`."""
    found = dict(training or {})
    for event in events:
        fold = _FOLD.get(type(event))
        if fold is not None:
            operator = event.operator  # type: ignore[attr-defined]  # all of those have one
            found[operator] = fold(found.get(operator, NEW), event)
    return found


def after_step(level: HelpLevel, right: bool) -> HelpLevel:
    """Return a step's next level of help after it was done at `level`."""
    return HelpLevel(min(level + 1, HelpLevel.OWN)) if right else HelpLevel.GUIDED


def _step(trainee: Trainee, event: e.StepPractised) -> Trainee:
    key = (event.family, event.step)
    level = trainee.level(*key)
    after = after_step(HelpLevel(event.level), event.right)
    after = max(level, after) if event.right else after
    saw_reason = (
        event.reason or event.level <= HelpLevel.GUIDED
    )  # up to GUIDED the screen shows the reason
    reasons = trainee.reasons | {key} if saw_reason else trainee.reasons
    return replace(trainee, levels={**trainee.levels, key: after}, reasons=reasons)


def _slip(trainee: Trainee, event: e.SlipShown) -> Trainee:
    if not event.bench:
        return trainee
    counts = dict(trainee.slips)
    for family in event.families:
        count = counts.get((family, event.slip), SlipCount())
        counts[family, event.slip] = SlipCount(
            count.caught + event.caught, count.missed + (not event.caught), event.caught
        )
    found = _with_last(trainee.found, event.families, event.caught)
    half_done = trainee.half_done.union(event.families)
    return replace(trainee, slips=counts, found=found, half_done=half_done)


def _with_last(
    before: Mapping[str, tuple[bool, ...]], families: Iterable[str], right: bool
) -> Mapping[str, tuple[bool, ...]]:
    """Return `before` with `right` added to each family, keeping the last ten."""
    updated = {each: (*before.get(each, ()), right)[-QUIZ_LOOKS_BACK:] for each in families}
    return {**before, **updated}


def _garment(trainee: Trainee, event: e.GarmentPractised) -> Trainee:
    slips = event.false_alarms, event.found
    garment = PractisedGarment(
        event.families, event.seconds, event.own, event.clean, event.at.wall, *slips
    )
    return replace(trainee, garments=(*trainee.garments, garment), half_done=frozenset())


def _quiz(trainee: Trainee, event: e.QuizAnswered) -> Trainee:
    box = trainee.boxes.get(event.kind, 0) + 1 if event.right else 0
    return replace(
        trainee,
        quiz=_with_last(trainee.quiz, event.families, event.right),
        boxes={**trainee.boxes, event.kind: box},
        wrong_at=trainee.wrong_at if event.right else event.at.wall,
    )


def _sign_off_asked(trainee: Trainee, event: e.SignOffAsked) -> Trainee:
    return replace(trainee, sign_offs_asked=trainee.sign_offs_asked | {event.family})


# Any: each function takes only the event type it is listed under.
_FOLD: dict[type[Event], Callable[[Trainee, Any], Trainee]] = {
    e.StepPractised: _step,
    e.SlipShown: _slip,
    e.GarmentPractised: _garment,
    e.QuizAnswered: _quiz,
    e.SignOffAsked: _sign_off_asked,
}
