"""The subject of a screen: one ticket, the move of hands or press, what forward means."""

from collections.abc import Iterable
from functools import cached_property

from kiosk.catalog.base import dataclass
from kiosk.catalog.model import Peel
from kiosk.plan.model import HOT_PHASES, LAYING, Pass, Phase, Piece, Plan, Step
from kiosk.run.decide.bar import BarMeaning, meaning_of
from kiosk.run.facts import moves
from kiosk.run.facts.moves import Move, confirm_of, is_early, move_of, next_hot, next_stage
from kiosk.run.facts.peels import HOT_LATE_SECONDS, asks_how_it_peeled, hot_at_press, serve_next
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.facts.represses import closed_before, sheet_again
from kiosk.run.facts.tickets import is_pressed_bare, label_of, lacking, pass_of, pieces_of, run_of
from kiosk.run.state import JobRun, Now, State, Ticket, TicketStage, Verb, elapsed

CALLED_SECONDS = 1.0
"""A move begun later than this after an opening began because the garment was called."""


@dataclass(frozen=True)
class Scene:
    """A ticket in its job; `move` is the current one: hand steps, or one hot step.

    `nameless` are the roster lines without a name, which no record holds.
    """

    state: State
    job: JobRun
    ticket: Ticket
    move: Move
    now: Now
    nameless: frozenset[str] = frozenset()

    @cached_property
    def plan(self) -> Plan:
        """The job's plan."""
        return self.job.plan

    @cached_property
    def passage(self) -> Pass:
        """The ticket's pass."""
        return pass_of(self.job, self.ticket)

    @cached_property
    def steps(self) -> tuple[Step, ...]:
        """The current hand steps, without those left out or skipped."""
        steps, without = self.passage.steps, self.ticket.without
        at_hand = range(self.move.first, self.move.last + 1)
        own = (steps[n] for n in at_hand if n not in without)
        return tuple(step for step in own if step.phase not in HOT_PHASES)

    @cached_property
    def phases(self) -> frozenset[Phase]:
        """The current phases."""
        return frozenset(step.phase for step in self.steps)

    @cached_property
    def pressing(self) -> Step:
        """The step at which the move begins: the hot one, while the press is closed."""
        return self.passage.steps[self.move.first]

    @cached_property
    def hot(self) -> Step | None:
        """The hot step that starts when this move is confirmed."""
        return None if self.move.hot is None else self.passage.steps[self.move.hot]

    def following(self, index: int) -> Step:
        """Return the step that follows the one at `index` for this garment."""
        return self.passage.steps[moves.first_kept(index + 1, self.ticket.without)]

    @cached_property
    def is_shifted(self) -> bool:
        """Whether the garment is already on the platen and only shifted for its next part."""
        part, last = self.passage.part, self.job.tickets.get(self.job.last_loaded)
        if part is None or part.nth == 1 or last is None or last.id == self.ticket.id:
            return False
        if run_of(self.plan, last.passage) != run_of(self.plan, self.ticket.passage):
            return False  # the whole lot went through the earlier part: it was taken off
        same = (last.garment.line, last.copy) == (self.ticket.garment.line, self.ticket.copy)
        return same and self.plan.passes[last.passage].panel == self.passage.panel

    @cached_property
    def was_off_press(self) -> bool:
        """Whether the garment was off the press since its last heat and must be loaded again."""
        begun, opened, first = self.job.hands_from, self.ticket.opened, self.move.first
        if begun is None or opened is None or first == 0 or "unknown" in self.ticket.marks:
            return False
        at_hand = self.ticket.stage is TicketStage.AT_PRESS and Phase.LOAD not in self.phases
        after_heat = self.passage.steps[first - 1].phase in HOT_PHASES
        return at_hand and after_heat and elapsed(opened, begun)[0] > CALLED_SECONDS

    @cached_property
    def open_long(self) -> bool:
        """Whether the press has been open so long that nothing on it is hot any more."""
        opened = self.ticket.opened
        return opened is not None and elapsed(opened, self.now)[0] > HOT_LATE_SECONDS

    @cached_property
    def leaving(self) -> Ticket | None:
        """The garment before this one, if it has to go to the rack first."""
        return self.job.tickets.get(self.job.leaving)

    @cached_property
    def goes_to_rack(self) -> bool:
        """Whether it is inspected before going to the rack, because its final was too short."""
        ends, at_press = self.move.ends, self.ticket.stage is TicketStage.AT_PRESS
        return ends and at_press and moves.cools_on_rack(self.passage) and not self.ticket.peeled

    @cached_property
    def pieces(self) -> dict[str, Piece]:
        """The panel's pieces that this garment has, by name."""
        found, garment = pieces_of(self.plan, self.passage), self.ticket.garment
        if garment.number and garment.line not in self.nameless:
            return found
        lacks = lacking(garment, self.nameless)
        return {name: piece for name, piece in found.items() if piece.element not in lacks}

    @cached_property
    def bare_pieces(self) -> tuple[str, ...]:
        """The pieces whose carriers are off before a re-press."""
        if not is_pressed_bare(self.ticket):
            return ()
        if self.ticket.peeled:
            return self.passage.carriers
        steps = self.passage.steps
        return tuple(name for index in self.passage.peels[:1] for name in steps[index].pieces)

    def own_pieces(self, names: Iterable[str]) -> tuple[str, ...]:
        """Return the pieces among `names` that the garment has."""
        return tuple(name for name in names if name in self.pieces)

    def frees_nothing(self, step: Step) -> bool:
        """Whether this hot peel frees nothing on this garment, so that a later one is awaited."""
        return step.peel is Peel.HOT and not self.own_pieces(step.pieces)

    def _sheet_in(self, index: int) -> bool:
        """Whether the cover sheet is on in the closing at `index`."""
        step = self.passage.steps[index]
        if step.phase is Phase.FINAL and is_pressed_bare(self.ticket):
            return bool(sheet_again(self.plan, self.ticket))
        return step.sheet

    @cached_property
    def sheet_comes_on(self) -> bool:
        """Whether this move puts the cover sheet on; for a tack it has no step of its own."""
        if self.move.hot is None:
            return Phase.COVER in self.phases
        sheet = self._sheet_in(self.move.hot)
        return sheet and (bool(self.steps) or self.is_repress)

    @cached_property
    def sheet_ahead(self) -> bool | None:
        """Whether the cover sheet is on in the current or next closing; None without one.

        A closing of unknown outcome counts as past.
        """
        if (
            self.ticket.stage is TicketStage.STOPPED
        ):  # a supervisor has yet to decide whether it goes on
            return None
        first = self.move.first + (self.ticket.stage is TicketStage.UNKNOWN)
        index = next_hot(self.passage, first, self.ticket.skipped, self.ticket.without)
        return None if index is None else self._sheet_in(index)

    @cached_property
    def sheet_before(self) -> bool:
        """Whether the cover sheet of the last closing still lies on the garment."""
        index = closed_before(self.passage, self.ticket, self.move.first)
        return index is not None and self._sheet_in(index)

    @cached_property
    def is_repress(self) -> bool:
        """Whether the garment is back for another final that a supervisor allowed."""
        return self.ticket.represses > 0 and self.hot is not None and not self.lays_pieces

    @cached_property
    def lays_pieces(self) -> bool:
        """Whether pieces are laid in this move."""
        return not self.phases.isdisjoint(LAYING)


def hands_on(
    state: State, job: JobRun, ticket: Ticket, now: Now, nameless: frozenset[str] = frozenset()
) -> Scene:
    """Return the scene of a ticket in somebody's hands, whatever its stage."""
    passage = pass_of(job, ticket)
    end = len(passage.steps) - 1
    if ticket.id == job.leaving and hot_at_press(job) is not None:
        return Scene(state, job, ticket, Move(ticket.step, ticket.step), now, nameless)
    stage = next_stage(passage, ticket.step)
    if ticket.stage is TicketStage.COOLING and stage is not None and is_early(passage, ticket.step):
        return Scene(state, job, ticket, Move(ticket.step, stage), now, nameless)
    move = move_of(passage, ticket, confirm_of(state, job.plan, passage)) or Move(
        end, end, ends=True
    )
    return Scene(state, job, ticket, move, now, nameless)


def last_hot(passage: Pass, step: int) -> Step | None:
    """Return the last hot step before index `step`, None before the first."""
    before = reversed(passage.steps[:step])
    return next((each for each in before if each.phase in HOT_PHASES), None)


DARK = frozenset({ScreenKind.HEAT, ScreenKind.OVER, ScreenKind.UNASKED})
FOCUSABLE = frozenset({TicketStage.COOLING, TicketStage.UNKNOWN, TicketStage.REWORK})
"""Stages in which a garment can be inspected for its result."""
TELLS_STOPPED = frozenset({ScreenKind.HANDS, ScreenKind.LOT, ScreenKind.DONE})
"""Where a stopped garment's chip shows the reason; an operator can give it no result."""
ASKS = frozenset({ScreenKind.ASK, ScreenKind.ASK_CLOSED, ScreenKind.OPEN_FIRST})
"""Kinds whose question fills the screen: the rack cannot be inspected beside it."""
OF_A_TICKET = frozenset({Verb.CLOSE, Verb.CONFIRM, Verb.FINISH, Verb.PEELED, Verb.GO_ON})


@dataclass(frozen=True, slots=True)
class Moment:
    """A settled state; `scene` None: no garment to show; `touched`: whose chip was touched."""

    state: State
    now: Now
    kind: ScreenKind
    job: JobRun
    bar: BarMeaning
    scene: Scene | None
    touched: Ticket | None

    @property
    def inspected(self) -> Ticket | None:
        """The garment that can be given a result now, or None."""
        if self.touched is not None:
            return self.touched if self.touched.stage in FOCUSABLE else None
        scene = self.scene
        if scene is None or self.kind is not ScreenKind.HANDS:
            return None
        ends = scene.move.ends or scene.ticket.stage is TicketStage.UNKNOWN
        return scene.ticket if ends else None

    @property
    def asks_how_it_peeled(self) -> bool:
        """Whether the hot peel shown was so late that the operator must say how it went."""
        ticket = None if self.scene is None else self.scene.ticket
        if ticket is None or ticket.id != self.job.slot or self.inspected is None:
            return False
        return self.bar.meaning is None and asks_how_it_peeled(self.job, ticket, self.now)

    @property
    def rack_first(self) -> str | None:
        """The label of the garment to load after one on the rack is peeled, or None."""
        meaning = self.bar.meaning
        if self.kind is not ScreenKind.HANDS or meaning is None or meaning.verb is not Verb.PEELED:
            return None
        return label_of(self.job.tickets[self.job.slot]) if self.job.slot else None


def moment(
    state: State, kind: ScreenKind, job: JobRun, now: Now, focus: str,
    nameless: frozenset[str] = frozenset(),
) -> Moment:  # fmt: skip
    """Return the subject of the screen for a settled `state`; `focus` is a touched ticket or ""."""
    bar = meaning_of(state, kind, now)
    touched = _touched(job.tickets.get(focus), kind)
    scene = _scene(state, job, now, kind, bar, touched, nameless)
    return Moment(state, now, kind, job, bar, scene, touched)


def _touched(ticket: Ticket | None, kind: ScreenKind) -> Ticket | None:
    if ticket is None or kind in ASKS:
        return None
    shows_reason = ticket.stage is TicketStage.STOPPED and kind in TELLS_STOPPED
    return ticket if shows_reason or ticket.stage in FOCUSABLE else None


def _scene(
    state: State,
    job: JobRun,
    now: Now,
    kind: ScreenKind,
    bar: BarMeaning,
    touched: Ticket | None,
    nameless: frozenset[str],
) -> Scene | None:
    """The garment in the press on a dark screen, else the touched one, else forward's."""
    heat = state.heat
    if heat is not None and heat.ticket in job.tickets:
        ticket_in_press = job.tickets[heat.ticket]
        return Scene(state, job, ticket_in_press, Move(heat.step, heat.step), now, nameless)
    if touched is not None and kind not in DARK:
        return hands_on(state, job, touched, now, nameless)
    if kind in (ScreenKind.LOT, ScreenKind.DONE):
        return None
    ticket = job.tickets.get(job.slot)
    meaning = bar.meaning
    if meaning is not None and meaning.verb in OF_A_TICKET and kind not in DARK:
        ticket = job.tickets.get(meaning.ticket, ticket)
    if ticket is None:
        ticket = job.tickets.get(serve_next(job, now))
    return None if ticket is None else hands_on(state, job, ticket, now, nameless)
