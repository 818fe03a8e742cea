"""Practice of one garment: asks, helps and records beside the state machine.

While a step still gets help, the station's own lines are shown, and looks ask about it; at
the last levels the bench is drawn instead, and whatever is wrong on it has to be touched.
"""

from collections.abc import Callable
from random import Random

from kiosk.catalog.base import say
from kiosk.run.facts import ScreenKind
from kiosk.run.show import View
from kiosk.run.state import ConfirmMode, Event, Now
from kiosk.run.state import commands as c
from kiosk.run.state import events as e
from kiosk.train.practice import coach, practice_words, rehearsal
from kiosk.train.practice.bench import Bench, BenchJob, WorkPosition
from kiosk.train.practice.coach import HelpGiven, Where
from kiosk.train.practice.levels import HelpLevel, Trainee
from kiosk.train.practice.looks import BenchLooks, Length, LookTime, SlipOutcome
from kiosk.train.practice.practice_words import PracticePage
from kiosk.train.practice.rehearsal import PracticeWish
from kiosk.train.practice.slip_choice import planted
from kiosk.train.practice.slips import BenchRun, TouchOutcome, consequence_of

WATCH_SECONDS = 4.0  # how long a watched step is shown
HANDS_AT_WORK = frozenset({ScreenKind.HANDS, ScreenKind.ASK, ScreenKind.SETTING})


class Session:
    """Practice of one garment: `note` records events, `real` is the station's time."""

    def __init__(
        self,
        wish: PracticeWish,
        trainee: Trainee,
        real: Now,
        note: Callable[[Event], None],
        length: Length,
    ) -> None:
        nth = len(trainee.garments)
        self.wish = wish
        self.helped = HelpGiven(wish.plan, wish.operator, trainee, wish.alone, note)
        self.asked: PracticePage | None = None
        self.ended = False
        self._clock = rehearsal.practice_clock(wish.pace, real, nth)
        self._real = real
        self._dice = Random(f"{wish.operator}/{nth}/{wish.plan.recipe}")
        self._looks = BenchLooks(wish.plan, wish.garment, self._dice, length)
        wanted = BenchJob(wish.plan, wish.garment, wish.name)
        slips = trainee.slips_before(wish.plan)
        self.run = BenchRun(wanted, planted(wanted, slips, nth, wish.operator))
        self._named: set[Where] = set()
        self._reasoned: set[Where] = set()
        self._let_through: list[tuple[int, SlipOutcome]] = []
        self._over = False  # the garment is done; now its missed slips are explained
        self._hands_seconds = 0.0
        self._since = real.clock  # when the current move came up, on the station's clock
        self._move: object = None
        self._then: c.Forward | None = None
        confirm = (
            ConfirmMode.GROUPED if self.helped.levels() == {HelpLevel.OWN} else ConfirmMode.EACH
        )
        self.press = rehearsal.Rehearsal(
            wish.plan, wish.garment, wish.operator, confirm, self._clock.now, wish.tolerance
        )
        self._look_ahead()

    @property
    def now(self) -> Now:
        """The current moment on the practice clock."""
        return self._clock.now

    @property
    def level(self) -> HelpLevel:
        """How much help the current step gets."""
        where = self.press.where(self.now)
        return HelpLevel.OWN if where is None else self.helped.level(*where)

    def view(self) -> View:
        """Return the work screen, with the help of the current step."""
        shown, where = self.press.view_with_answers(self.now), self.press.where(self.now)
        if where is None:
            return shown
        level = self.helped.level(*where)
        if level <= HelpLevel.GUIDED and not self.wish.still and shown.kind is ScreenKind.HANDS:
            shown = coach.layer_by_layer(shown, self._clock.real - self._since)
        return coach.coached(shown, self.wish.plan.passes[where[0]].steps[where[1]], level)

    @property
    def spot(self) -> WorkPosition | None:
        """Where the bench is drawn, None while the station's own screen or a question is shown."""
        if self.asked is not None or self._over or self.level < HelpLevel.RECALL:
            return None
        return self.press.spot(self.now)

    def bench(self) -> Bench | None:
        """Return the bench, None if it is not drawn."""
        spot = self.spot
        return None if spot is None else self.run.bench(spot, self.press.since_opening(self.now))

    def touch(self, thing: str) -> tuple[TouchOutcome, SlipOutcome | None]:
        """Mark a thing on the bench as wrong; return the verdict, and the slip's consequence."""
        spot = self.spot
        if spot is None:
            return TouchOutcome.NOTHING, None
        meant, put = self.run.touch(spot, thing, self.press.since_opening(self.now))
        if put is None:
            return meant, None
        self.helped.slip(self._real, put.passage, put.slip, caught=True, bench=True)
        return meant, consequence_of(self.run.wanted, put)

    def go_on(self, down: float) -> rehearsal.Answer:
        """Declare nothing (more) wrong here, and go on as the bar does."""
        spot = self.spot
        if spot is not None and self.press.kind(self.now) is ScreenKind.SETTING:
            self._pass_over(spot)
            return self._do_if(self.press.confirm_setting()), None
        meaning = self.press.meaning(self.now)
        return self._too_soon() if meaning is None else self._forward(c.Forward(meaning, down))

    def _too_soon(self) -> rehearsal.Answer:
        """Refuse a peel that is not due yet, and show what it would have caused."""
        where, came = self.press.where(self.now), self.press.mistimed(self.now)
        if where is None or came is None:
            return (), None
        self.helped.failed.add(where)
        return (), say("practice.too_soon", **dict(came.values), looks=came.say("looks"))

    def _pass_over(self, spot: WorkPosition | None) -> None:
        """Record the slips that were missed; they stay from now on."""
        for put in () if spot is None else self.run.go_on(spot):
            self.helped.slip(self._real, put.passage, put.slip, caught=False, bench=True)
            self.helped.failed.add((put.passage, max(0, put.index)))
            self._let_through.append((put.index, consequence_of(self.run.wanted, put)))

    def tick(self, real: Now) -> tuple[Event, ...]:
        """Advance to `real`; steps that are only watched go on by themselves."""
        passed = max(0.0, real.clock - self._clock.real)
        until = self.press.waits_until(self.now)
        hot = self.press.state.heat is not None
        at_work = self.press.kind(self.now) in HANDS_AT_WORK and self.level > HelpLevel.WATCH
        asks = self.asked is not None and not hot
        self._hands_seconds += passed if at_work and until is None and not asks else 0.0
        self._clock.go_on(real.clock, rehearsal.speed(hot), until, stands=asks)
        self._real = real
        happened, _ = self._do(c.Tick())
        if self.asked is None and not self._over and self.level is HelpLevel.WATCH:
            happened += self._play()
        return happened

    def act(self, command: c.Command) -> rehearsal.Answer:
        """Carry out a command of the work screen; return what happened, or why it was refused."""
        return self._forward(command) if isinstance(command, c.Forward) else self._do(command)

    def answer(self, choice: int) -> tuple[Event, ...]:
        """Answer the question; a wrong answer is explained, and the step's help comes back."""
        asked, self.asked = self.asked, None
        if self._over:
            self._show_consequence()
        where = self.press.where(self.now)
        if asked is None or where is None:
            return ()
        if len(asked.choices) > 1:
            self._judge(asked, where[0], choice == asked.right)
        if choice == asked.right:
            return self._go_on_after()
        self.asked = practice_words.explain(asked, self.wish.plan.passes[where[0]])
        return ()

    def _judge(self, asked: PracticePage, passage: int, right: bool) -> None:
        if asked.why:
            self._reasoned.add((passage, asked.index))
            if right:
                self.helped.reasons.add((passage, asked.index))
        elif asked.look is None:
            self._named.add((passage, asked.index))
        elif asked.look.slip is not None:
            self.helped.slip(self._real, passage, asked.look.slip, right)
        if not right:
            self.helped.failed.add((passage, asked.index))

    def _go_on_after(self) -> tuple[Event, ...]:
        """Continue with what the question held up: the setting, or the bar that was pressed."""
        then, self._then = self._then, None
        if self.press.kind(self.now) is ScreenKind.SETTING:
            return self._do_if(self.press.confirm_setting())
        if then is not None:
            return self._forward(then)[0]
        self._look_ahead()
        return ()

    def _forward(self, command: c.Forward) -> rehearsal.Answer:
        at = self.press.at_hand(self.now)
        fits = command.meaning == self.press.meaning(self.now)
        if at is not None and fits and command.meaning.verb in (c.Verb.CLOSE, c.Verb.CONFIRM):
            self.asked = self._look(at, LookTime.AFTER)
            if self.asked is not None:
                self._then = command
                return (), None
        down, spot, where = self._clock.of(command.down), self.spot, self.press.where(self.now)
        came = self.press.mistimed(self.now) if fits else None
        answer = self.press.do(c.Forward(command.meaning, down), self.now)
        if any(not isinstance(event, e.AskedQuick) for event in answer[0]):
            self._pass_over(spot)
            self._note_peel(where, came)
        self._see(answer[0])
        return answer

    def _note_peel(self, where: Where | None, came: SlipOutcome | None) -> None:
        """Record a carrier peeled too early or too late, and its consequence."""
        if where is not None and came is not None:
            self.helped.failed.add(where)
            self._let_through.append((where[1], came))

    def _do(self, command: c.Command) -> rehearsal.Answer:
        answer = self.press.do(command, self.now)
        self._see(answer[0])
        return answer

    def _see(self, happened: tuple[Event, ...]) -> None:
        """Record finished steps, and ask what comes next."""
        for event in happened:
            if self.helped.watch(event, self.press, self._real):
                self._end()
        if happened and not self._over and self.press.kind(self.now) is ScreenKind.DONE:
            self._end()
        elif happened:
            self._look_ahead()

    def _end(self) -> None:
        if not self._over:
            self._count(whole=True)
            self._show_consequence()

    def leave(self) -> bool:
        """Stop before the end; return whether it counts: once a touch or slip was judged."""
        run = self.run
        if self._over or not (run.found or run.false_alarms or run.through):
            return False
        self._count(whole=False)
        self.ended = True
        return True

    def _count(self, whole: bool) -> None:
        self._over, run = True, self.run
        seconds = self._hands_seconds if whole else 0.0
        self.helped.end(self._real, seconds, run.false_alarms, run.found, whole)

    def _show_consequence(self) -> None:
        """Show the consequence of the next missed slip; after the last one the session ends."""
        left = self._let_through
        self.asked = practice_words.consequence_page(*left.pop(0)) if left else None
        self.ended = self.asked is None

    def _look_ahead(self) -> None:
        """Ask what has to be asked before the current move begins."""
        at, kind = self.press.at_hand(self.now), self.press.kind(self.now)
        move = None if at is None else (at.ticket.id, at.move.first, kind)
        if move != self._move:
            self._move, self._since = move, self._clock.real
        if at is None or self.asked is not None or self._over:
            return
        if kind is ScreenKind.SETTING:
            self.asked = self._look(at, LookTime.SETTING)
        elif kind is ScreenKind.HANDS:
            self._ask_hands(at)

    def _ask_hands(self, at: rehearsal.CurrentWork) -> None:
        p, first = at.ticket.passage, self.press.first_of(at)
        if self.helped.level(p, first) is HelpLevel.RECALL and (p, first) not in self._named:
            self.asked = practice_words.ask_next(at.passage, first, self._dice)
            return
        self.asked = self._ask_why(at) or self._look(at, LookTime.BEFORE)

    def _look(self, at: rehearsal.CurrentWork, when: LookTime) -> PracticePage | None:
        """Return the due look's question, once; None unless the step is GUIDED or PROMPTED."""
        p, setting = at.ticket.passage, when is LookTime.SETTING
        look = self._looks.take(p, when, self.press.steps_of(at))
        if look is None:
            return None
        own = self.helped.level(p, look.index)
        helps = (own, self.level) if setting else (own,)
        if not any(HelpLevel.WATCH < level < HelpLevel.RECALL for level in helps):
            return None
        return practice_words.ask_look(look, helps[-1])

    def _ask_why(self, at: rehearsal.CurrentWork) -> PracticePage | None:
        """Ask for the reason of the move's next step that this trainee has not yet read."""
        p = at.ticket.passage
        for n in self.press.steps_of(at):
            known = self.helped.knows_why(p, n) or (p, n) in self._reasoned
            if not known and self.helped.level(p, n) is HelpLevel.OWN:
                asked = practice_words.ask_why(at.passage, n, self._dice)
                if asked is not None:
                    return asked
                self.helped.reasons.add((p, n))  # there is nothing to ask
        return None

    def _play(self) -> tuple[Event, ...]:
        """Let a watched step go on by itself after a while."""
        soon = self._clock.real - self._since < WATCH_SECONDS
        return self._do_if(None if soon else self.press.next_to_play(self.now))

    def _do_if(self, command: c.Command | None) -> tuple[Event, ...]:
        return () if command is None else self._do(command)[0]
