"""The help that a practice screen gives, less as the trainee improves, and the events recorded."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import field, replace

from kiosk.catalog.base import dataclass
from kiosk.plan.group import families, plan_families
from kiosk.plan.model import Plan, Step
from kiosk.run.facts import ScreenKind, last_peel
from kiosk.run.show import Ink, StackSlab, View
from kiosk.run.state import Event, GarmentPractised, Now, SlipShown, StepPractised, TicketStage
from kiosk.run.state import events as e
from kiosk.train.practice.levels import HelpLevel, Trainee
from kiosk.train.practice.looks import SlipKind
from kiosk.train.practice.practice_words import step_key
from kiosk.train.practice.rehearsal import Rehearsal

LINES_WITH_WHY = 1
LINES_WHILE_WAITING = 3  # for a tack's carrier they also show where the garment waits
LAYER_SECONDS = 0.8
HELPED = frozenset({ScreenKind.HANDS, ScreenKind.HEAT})


def view_at_level(view: View, step: Step | None, level: HelpLevel) -> View:
    """Return the view reduced to the help of `level`: first lines and why, or only the move."""
    if view.kind not in HELPED or step is None or level is HelpLevel.OWN:
        return view
    if view.kind is ScreenKind.HEAT and level > HelpLevel.GUIDED:
        return view  # what the press does is always shown
    if level <= HelpLevel.GUIDED:
        why = () if step.why is None else (step.why,)
        line_count = LINES_WITH_WHY if step.wait is None else LINES_WHILE_WAITING
        return replace(view, lines=(*view.lines[:line_count], *why))
    return replace(view, lines=())


def layer_by_layer(view: View, seconds: float) -> View:
    """Return the view `seconds` after the move began, its pieces appearing one by one.

    At first none is shown. The drawing and the cross-section change together.
    """
    coming = [piece for piece in view.pieces if piece.ink is Ink.NEXT]
    count = int(seconds / LAYER_SECONDS)
    if count >= len(coming):
        return view
    laid = {piece.piece for piece in coming[:count]}
    pieces = tuple(
        replace(piece, ink=Ink.AHEAD)
        if piece.ink is Ink.NEXT and piece.piece not in laid
        else piece
        for piece in view.pieces
    )
    return replace(view, pieces=pieces, stack=tuple(_stack(view.stack, count > 0)))


def _stack(slabs: tuple[StackSlab, ...], down: bool) -> Iterator[StackSlab]:
    """Yield the slabs already laid, and the coming ones once their first piece is down."""
    yield from (slab for slab in slabs if down or not slab.coming)


StepPlace = tuple[int, int]
"""The index of a pass in its plan, and of a step in its pass."""


@dataclass(slots=True)
class HelpGiven:
    """Help during one garment. `alone` means no help at all; `note` records an event.

    A step keeps the level it had when the garment began; once failed it gets GUIDED, unless alone.
    """

    plan: Plan
    operator: str
    trainee: Trainee
    alone: bool
    note: Callable[[Event], None]
    failed: set[StepPlace] = field(default_factory=set)
    found_slips: bool = True
    reasons: set[StepPlace] = field(default_factory=set)
    _done: set[StepPlace] = field(default_factory=set)

    def level(self, passage: int, step: int) -> HelpLevel:
        """Return the level of help that a step gets now."""
        if (passage, step) in self.failed and not self.alone:
            return HelpLevel.GUIDED
        return self.level_at_start(passage, step)

    def level_at_start(self, passage: int, step: int) -> HelpLevel:
        """Return the level of help that a step had when the garment began."""
        if self.alone:
            return HelpLevel.OWN
        own = self.plan.passes[passage]
        return self.trainee.level(self.family(passage), step_key(own, step))

    def knows_why(self, passage: int, step: int) -> bool:
        """Return whether the trainee has read a step's reason or answered it right."""
        own = self.plan.passes[passage]
        key = (self.family(passage), step_key(own, step))
        return key in self.trainee.reasons or (passage, step) in self.reasons

    def family(self, passage: int) -> str:
        """Return the family under which a pass's steps are learned."""
        return families(self.plan, self.plan.passes[passage])[0]

    def levels(self) -> set[HelpLevel]:
        """Return all levels of help that occur in the plan."""
        return {
            self.level(p, n)
            for p, passage in enumerate(self.plan.passes)
            for n in range(len(passage.steps))
        }

    def note_slip(
        self, at: Now, passage: int, slip: SlipKind, caught: bool, bench: bool = False
    ) -> None:
        """Record a planted slip as caught or missed; `bench`: drawn rather than put in words."""
        own = families(self.plan, self.plan.passes[passage])
        self.found_slips = self.found_slips and caught
        self.note(SlipShown(at, self.operator, own, slip.value, caught, bench))

    def note_done(self, at: Now, passage: int, steps: Iterable[int]) -> None:
        """Record each finished step once, as right or failed."""
        own = self.plan.passes[passage]
        for n in steps:
            place = (passage, n)
            if place in self._done:
                continue
            knows_reason = place in self.reasons or self.knows_why(passage, n)
            right, level = place not in self.failed, int(self.level_at_start(passage, n))
            self._done.add(place)
            for family in families(self.plan, own):
                key = step_key(own, n)
                self.note(StepPractised(at, self.operator, family, key, level, right, knows_reason))

    def note_event(self, event: Event, rehearsal: Rehearsal, at: Now) -> bool:
        """Record the steps that an event finishes; return whether the garment ends not good."""
        if isinstance(event, e.ReadBack) and not event.right:
            self.failed.add((rehearsal.passage_of(event.ticket), 0))
        elif isinstance(event, e.WasClosed):
            self.failed.add((rehearsal.passage_of(event.ticket), event.step))
        elif isinstance(event, e.Confirmed):
            steps = range(event.first, event.last + 1)
            self.note_done(at, rehearsal.passage_of(event.ticket), steps)
        elif isinstance(event, e.Closed):
            self.note_done(at, rehearsal.passage_of(event.ticket), range(event.first, event.step))
        elif isinstance(event, e.TimeUp):
            self.note_done(at, rehearsal.passage_of(event.ticket), (event.step,))
        elif isinstance(event, e.Finished):
            self._finished(event, rehearsal.passage_of(event.ticket), at)
            return event.stage is not TicketStage.GOOD
        return False

    def _finished(self, event: e.Finished, p: int, at: Now) -> None:
        last = len(self.plan.passes[p].steps) - 1
        if event.stage is not TicketStage.GOOD:  # a garment practised right is good
            self.failed.add((p, last))
        if event.early_seconds and not event.before:
            peel = last_peel(self.plan.passes[p])
            self.failed.add((p, last if peel is None else peel))
        self.note_done(at, p, range(last + 1))

    @property
    def only_watched(self) -> bool:
        """Whether every step played by itself, so that the trainee did nothing."""
        return self.levels() == {HelpLevel.WATCH}

    @property
    def clean(self) -> bool:
        """Whether nothing failed and no slip was missed so far."""
        return not self.failed and self.found_slips

    def note_end(
        self, at: Now, seconds: float, alarms: int, found: int, whole: bool = True
    ) -> None:
        """Record the garment, finished (`whole`) or left, unless it was only watched."""
        if self.only_watched:
            return
        practised = plan_families(self.plan)
        own = self.levels() == {HelpLevel.OWN}
        hand_seconds, clean = round(seconds, 1), whole and self.clean
        self.note(
            GarmentPractised(at, self.operator, practised, hand_seconds, own, clean, alarms, found)
        )


def end_half_done(at: Now, operator: str, trainee: Trainee) -> GarmentPractised | None:
    """Return the event that ends a garment half done when the station stopped, or None."""
    half_done = tuple(sorted(trainee.half_done))
    if not half_done:
        return None
    return GarmentPractised(at, operator, half_done, 0.0, own=False, clean=False)
