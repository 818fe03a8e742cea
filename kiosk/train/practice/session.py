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
from kiosk.train.practice.bench_run import BenchRun, TouchOutcome
from kiosk.train.practice.coach import HelpGiven, StepPlace
from kiosk.train.practice.levels import HelpLevel, Trainee
from kiosk.train.practice.looks import BenchLooks, Length, LookTime, SlipOutcome
from kiosk.train.practice.practice_words import PracticePage
from kiosk.train.practice.rehearsal import PracticeWish
from kiosk.train.practice.slip_choice import choose_slips
from kiosk.train.practice.slips import consequence_of

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
        self.help = HelpGiven(wish.plan, wish.operator, trainee, wish.alone, note)
        self.page: PracticePage | None = None
        self.ended = False
        self._clock = rehearsal.practice_clock(wish.pace, real, nth)
        self._real = real
        self._dice = Random(f"{wish.operator}/{nth}/{wish.plan.recipe}")
        self._looks = BenchLooks(wish.plan, wish.garment, self._dice, length)
        job = BenchJob(wish.plan, wish.garment, wish.name)
        slips = trainee.slips_before(wish.plan)
        self.run = BenchRun(job, choose_slips(job, slips, nth, wish.operator))
        self._order_asked: set[StepPlace] = set()
        self._reasons_asked: set[StepPlace] = set()
        self._let_through: list[tuple[int, SlipOutcome]] = []
        self._garment_done = False  # the garment is done; now its missed slips are explained
        self._hands_seconds = 0.0
        self._move_since = real.clock  # when the current move came up, on the station's clock
        self._move: object = None
        self._held_forward: c.Forward | None = None
        confirm = ConfirmMode.GROUPED if self.help.levels() == {HelpLevel.OWN} else ConfirmMode.EACH
        self.press = rehearsal.Rehearsal(
            wish.plan, wish.garment, wish.operator, confirm, self._clock.now, wish.tolerance
        )
        self._ask_before_move()

    @property
    def now(self) -> Now:
        """The current moment on the practice clock."""
        return self._clock.now

    @property
    def level(self) -> HelpLevel:
        """How much help the current step gets."""
        place = self.press.step_place(self.now)
        return HelpLevel.OWN if place is None else self.help.level(*place)

    def view(self) -> View:
        """Return the work screen, with the help of the current step."""
        screen, place = self.press.view_with_answers(self.now), self.press.step_place(self.now)
        if place is None:
            return screen
        level, by_hand = self.help.level(*place), screen.kind is ScreenKind.HANDS
        if by_hand and level <= HelpLevel.GUIDED and not self.wish.reduced_motion:
            screen = coach.layer_by_layer(screen, self._clock.real - self._move_since)
        return coach.view_at_level(screen, self.wish.plan.passes[place[0]].steps[place[1]], level)

    @property
    def spot(self) -> WorkPosition | None:
        """Where the bench is drawn, None while the station's own screen or a question is shown."""
        if self.page is not None or self._garment_done or self.level < HelpLevel.RECALL:
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
        outcome, slip = self.run.touch(spot, thing, self.press.since_opening(self.now))
        if slip is None:
            return outcome, None
        self.help.note_slip(self._real, slip.passage, slip.kind, caught=True, bench=True)
        return outcome, consequence_of(self.run.job, slip)

    def go_on(self, down: float) -> rehearsal.Answer:
        """Declare nothing (more) wrong here, and go on as the bar does."""
        spot = self.spot
        if spot is not None and self.press.kind(self.now) is ScreenKind.SETTING:
            self._note_missed(spot)
            return self._do_if(self.press.confirm_setting()), None
        meaning = self.press.meaning(self.now)
        if meaning is None:
            return self._refuse_early_peel()
        return self._forward(c.Forward(meaning, down))

    def _refuse_early_peel(self) -> rehearsal.Answer:
        """Refuse a peel that is not due yet, and show what it would have caused."""
        place, outcome = self.press.step_place(self.now), self.press.mistimed_peel(self.now)
        if place is None or outcome is None:
            return (), None
        self.help.failed.add(place)
        return (), say("practice.too_soon", **dict(outcome.values), looks=outcome.say("looks"))

    def _note_missed(self, spot: WorkPosition | None) -> None:
        """Record the slips that were missed; they stay from now on."""
        for slip in () if spot is None else self.run.go_on(spot):
            self.help.note_slip(self._real, slip.passage, slip.kind, caught=False, bench=True)
            self.help.failed.add((slip.passage, max(0, slip.index)))
            self._let_through.append((slip.index, consequence_of(self.run.job, slip)))

    def tick(self, real: Now) -> tuple[Event, ...]:
        """Advance to `real`; steps that are only watched go on by themselves."""
        passed = max(0.0, real.clock - self._clock.real)
        until = self.press.waits_until(self.now)
        hot = self.press.state.heat is not None
        at_work = self.press.kind(self.now) in HANDS_AT_WORK and self.level > HelpLevel.WATCH
        asking = self.page is not None and not hot
        self._hands_seconds += passed if at_work and until is None and not asking else 0.0
        self._clock.go_on(real.clock, rehearsal.speed(hot), until, paused=asking)
        self._real = real
        events, _ = self._do(c.Tick())
        if self.page is None and not self._garment_done and self.level is HelpLevel.WATCH:
            soon = self._clock.real - self._move_since < WATCH_SECONDS
            events += self._do_if(None if soon else self.press.next_to_play(self.now))
        return events

    def act(self, command: c.Command) -> rehearsal.Answer:
        """Carry out a command of the work screen; return what happened, or why it was refused."""
        return self._forward(command) if isinstance(command, c.Forward) else self._do(command)

    def answer(self, choice: int) -> tuple[Event, ...]:
        """Answer the question; a wrong answer is explained, and the step's help comes back."""
        page, self.page = self.page, None
        if self._garment_done:
            self._show_consequence()
        place = self.press.step_place(self.now)
        if page is None or place is None:
            return ()
        if len(page.choices) > 1:
            self._judge(page, place[0], choice == page.right)
        if choice == page.right:
            return self._resume()
        self.page = practice_words.explain(page, self.wish.plan.passes[place[0]])
        return ()

    def _judge(self, page: PracticePage, passage: int, right: bool) -> None:
        if page.why:
            self._reasons_asked.add((passage, page.index))
            if right:
                self.help.reasons.add((passage, page.index))
        elif page.look is None:
            self._order_asked.add((passage, page.index))
        elif page.look.slip is not None:
            self.help.note_slip(self._real, passage, page.look.slip, right)
        if not right:
            self.help.failed.add((passage, page.index))

    def _resume(self) -> tuple[Event, ...]:
        """Continue with what the question held up: the setting, or the bar that was pressed."""
        then, self._held_forward = self._held_forward, None
        if self.press.kind(self.now) is ScreenKind.SETTING:
            return self._do_if(self.press.confirm_setting())
        if then is not None:
            return self._forward(then)[0]
        self._ask_before_move()
        return ()

    def _forward(self, command: c.Forward) -> rehearsal.Answer:
        work = self.press.current_work(self.now)
        fits = command.meaning == self.press.meaning(self.now)
        if work is not None and fits and command.meaning.verb in (c.Verb.CLOSE, c.Verb.CONFIRM):
            self.page = self._look(work, LookTime.AFTER)
            if self.page is not None:
                self._held_forward = command
                return (), None
        spot, place = self.spot, self.press.step_place(self.now)
        outcome = self.press.mistimed_peel(self.now) if fits else None
        pressed = c.Forward(command.meaning, self._clock.time_at(command.down))
        answer = self.press.do(pressed, self.now)
        if any(not isinstance(event, e.AskedQuick) for event in answer[0]):
            self._note_missed(spot)
            if place is not None and outcome is not None:  # peeled too early or too late
                self.help.failed.add(place)
                self._let_through.append((place[1], outcome))
        self._note_events(answer[0])
        return answer

    def _do(self, command: c.Command) -> rehearsal.Answer:
        answer = self.press.do(command, self.now)
        self._note_events(answer[0])
        return answer

    def _note_events(self, events: tuple[Event, ...]) -> None:
        """Record finished steps, and ask what comes next."""
        for event in events:
            if self.help.note_event(event, self.press, self._real):
                self._end()
        if events and not self._garment_done and self.press.kind(self.now) is ScreenKind.DONE:
            self._end()
        elif events:
            self._ask_before_move()

    def _end(self) -> None:
        if not self._garment_done:
            self._count(whole=True)
            self._show_consequence()

    def leave(self) -> bool:
        """Stop before the end; return whether it counts: once a touch or slip was judged."""
        run = self.run
        if self._garment_done or not (run.found or run.false_alarms or run.missed):
            return False
        self._count(whole=False)
        self.ended = True
        return True

    def _count(self, whole: bool) -> None:
        self._garment_done, run = True, self.run
        seconds = self._hands_seconds if whole else 0.0
        self.help.note_end(self._real, seconds, run.false_alarms, run.found, whole)

    def _show_consequence(self) -> None:
        """Show the consequence of the next missed slip; after the last one the session ends."""
        missed = self._let_through
        self.page = practice_words.consequence_page(*missed.pop(0)) if missed else None
        self.ended = self.page is None

    def _ask_before_move(self) -> None:
        """Ask what has to be asked before the current move begins."""
        work, kind = self.press.current_work(self.now), self.press.kind(self.now)
        move = None if work is None else (work.ticket.id, work.move.first, kind)
        if move != self._move:
            self._move, self._move_since = move, self._clock.real
        if work is None or self.page is not None or self._garment_done:
            return
        if kind is ScreenKind.SETTING:
            self.page = self._look(work, LookTime.SETTING)
        elif kind is ScreenKind.HANDS:
            self._ask_hands(work)

    def _ask_hands(self, work: rehearsal.CurrentWork) -> None:
        p, first = work.ticket.passage, self.press.first_of(work)
        if self.help.level(p, first) is HelpLevel.RECALL and (p, first) not in self._order_asked:
            self.page = practice_words.ask_next(work.passage, first, self._dice)
            return
        self.page = self._ask_why(work) or self._look(work, LookTime.BEFORE)

    def _look(self, work: rehearsal.CurrentWork, when: LookTime) -> PracticePage | None:
        """Return the due look's question, once; None unless the step is GUIDED or PROMPTED."""
        p, setting = work.ticket.passage, when is LookTime.SETTING
        look = self._looks.take(p, when, self.press.steps_of(work))
        if look is None:
            return None
        own = self.help.level(p, look.index)
        levels = (own, self.level) if setting else (own,)
        if not any(HelpLevel.WATCH < level < HelpLevel.RECALL for level in levels):
            return None
        return practice_words.ask_look(look, levels[-1])

    def _ask_why(self, work: rehearsal.CurrentWork) -> PracticePage | None:
        """Ask for the reason of the move's next step that this trainee has not yet read."""
        p = work.ticket.passage
        for n in self.press.steps_of(work):
            known = self.help.knows_why(p, n) or (p, n) in self._reasons_asked
            if not known and self.help.level(p, n) is HelpLevel.OWN:
                page = practice_words.ask_why(work.passage, n, self._dice)
                if page is not None:
                    return page
                self.help.reasons.add((p, n))  # there is nothing to ask
        return None

    def _do_if(self, command: c.Command | None) -> tuple[Event, ...]:
        return () if command is None else self._do(command)[0]
