"""Practice at the station: who practises what, and its own record."""

from kiosk.catalog.base import Message, say
from kiosk.catalog.model import SignOffRule, rule_of
from kiosk.plan.group import plan_families
from kiosk.run.state import Event, Garment, Now, SignOffAsked, rules_of
from kiosk.run.state import commands as c
from kiosk.run.state import events as e
from kiosk.station.desk.cues import Cue, cues_of
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.jobs.library import NO_FOLDER, JobOffer
from kiosk.station.desk.notices import READING_SECONDS
from kiosk.station.desk.sheet import PageKind
from kiosk.station.desk.side_files import PracticeRecord
from kiosk.train.practice import (
    NEW,
    Length,
    PracticePace,
    PracticeWish,
    Session,
    SlipOutcome,
    Trainee,
    end_half_done,
    is_ready,
    thing_name,
)
from kiosk.words import Words

NAME = "ORSAVEL"  # an invented name, on the practised garment
NUMBERS = ("16", "9", "68", "6", "91", "47", "89", "19")
SIZE = "AM"


def ruler(words: Words) -> Length:
    """Return how lengths are written in the current units."""
    return lambda inches: words.length(inches, words.metric)


class Practice:
    """What is being practised, and by whom."""

    def __init__(self, desk: Desk) -> None:
        self.shell = shell = desk.shell
        self.library = desk.library
        self.record = PracticeRecord(shell.recorder.store.path, desk.identity.version, shell.now)
        desk.closing.append(self.record.close)
        self.go = desk.go
        self.go_on = desk.go_on
        self.operator = ""
        self.offer: JobOffer | None = None
        self.pace = PracticePace.SHORT
        self.session: Session | None = None
        self.family = ""
        self.times_of = ("", "", PageKind.PROGRESS_OF)
        self.alone = False
        self.still = False
        self.marked = ""  # touched on the bench, not yet reported as wrong

    # -- pages ----------------------------------------------------------------

    def enter(self) -> None:
        """Begin to practise as the signed-on operator, or ask who practises."""
        job = self.shell.state.job
        if job is not None and job.rack:
            self.shell.say(say("practice.rack"))
            self.shell.cue(Cue.REFUSED)
            return
        if not self.record.open():
            self.shell.say(self.record.fault or say("practice.closed"))
            self.shell.cue(Cue.REFUSED)
            return
        if self.record.mended is not None:
            self.shell.say(self.record.mended, lasting=True)
        operator = self.shell.state.operator
        if operator:
            self.as_person(operator)
        else:
            self.go(PageKind.PRACTICE_WHO)

    def as_person(self, operator: str) -> None:
        """Practise under these initials."""
        self.operator = operator
        self.go(PageKind.PRACTICE)

    def look_at(self, offer: JobOffer) -> None:
        """Choose the job whose procedure to practise."""
        made_up = offer.folder == NO_FOLDER
        self.offer = offer if made_up else self.library.offer(offer.folder)
        self.go(PageKind.PRACTICE_HOW)

    def look_into(self, family: str) -> None:
        """Look at the progress in one family."""
        self.family = family
        self.go(PageKind.PROGRESS_OF)

    def look_at_times(self, operator: str, family: str, back: PageKind) -> None:
        """Look at the times of one person's practised garments, then return to `back`."""
        self.times_of = (operator, family, back)
        self.go(PageKind.TIMES)

    def leave(self) -> None:
        """Leave practice."""
        self.session, self.operator = None, ""
        self.go_on()

    def stop(self) -> None:
        """Leave the current garment."""
        if self.session is not None and self.session.leave():
            self.shell.say(say("practice.left"), seconds=READING_SECONDS)
        self.go(PageKind.PRACTICE)

    def start(self, words: Words, alone: bool) -> None:
        """Begin a garment of the chosen job."""
        if self.offer is None or self.offer.plan is None:
            return
        self.alone = alone
        self._end_half_done()
        nth = len(self.trainee.garments)
        garment = Garment("1", NUMBERS[nth % len(NUMBERS)], SIZE, "practice")
        plan = self.offer.plan
        press = self.library.catalog.presses.get(plan.press)
        tolerance = 0 if press is None else rules_of(self.library.catalog.policy, press).tolerance
        wish = PracticeWish(
            plan, garment, self.operator, alone, self.pace, self.still, NAME, tolerance
        )
        length = ruler(words)
        self.session = Session(wish, self.trainee, self.shell.now(), self.record.note, length)
        self.go(PageKind.PRACTISE)

    def _end_half_done(self) -> None:
        """Count a garment that was interrupted when the station stopped as one left."""
        event = end_half_done(self.shell.now(), self.operator, self.trainee)
        if event is not None:
            self.record.note(event)
            self.shell.say(say("practice.left_before"), seconds=READING_SECONDS)

    def notices(self, now: Now) -> tuple[Message, ...]:
        """Return the messages over every page of practice: unrecorded events, then the notices."""
        waiting = self.record.unrecorded
        unrecorded = (say("station.not_recorded", count=waiting),) if waiting else ()
        return (*unrecorded, *self.shell.notices(now))

    # -- progress -------------------------------------------------------------

    @property
    def trainee(self) -> Trainee:
        """What the current trainee has shown so far."""
        return self.record.training.get(self.operator, NEW)

    def people(self) -> tuple[str, ...]:
        """Return the initials known here, from work or from practice."""
        return tuple(sorted({*self.shell.state.operators, *self.record.training}))

    def rule(self, family: str) -> SignOffRule:
        """Return what the shop requires for a sign-off in a family."""
        return rule_of(self.library.catalog.sign_off, family)

    def is_ready(self, operator: str, family: str) -> bool:
        """Return whether practice has shown all that the shop requires."""
        trainee = self.record.training.get(operator, NEW)
        return is_ready(trainee, family, self.rule(family))

    def ready(self) -> tuple[str, ...]:
        """Return the families of the practised job that its trainee may ask to be signed off in."""
        plan = None if self.offer is None else self.offer.plan
        families = () if plan is None else plan_families(plan)
        return tuple(family for family in families if self.may_ask(family))

    def may_ask(self, family: str) -> bool:
        """Return whether all is shown and the trainee has not asked for the sign-off yet."""
        return family not in self.trainee.sign_offs_asked and self.is_ready(self.operator, family)

    def ask_sign_off(self, family: str) -> None:
        """Show on the supervisor's page that this trainee asks for a sign-off."""
        self.record.note(SignOffAsked(self.shell.now(), self.operator, family))
        self.shell.say(say("practice.sign_off_asked"))

    # -- a garment ------------------------------------------------------------

    def do(self, command: c.Command) -> None:
        """Pass on a command of the practice screen; a refusal is shown and heard as at work."""
        if self.session is None:
            return
        new_events, refusal = self.session.act(command)
        if isinstance(command, c.Inspect) and refusal is None:
            self.session.press.focus = ""
        if refusal is not None:
            self.shell.say(refusal)
            self.shell.cue(Cue.REFUSED)
        elif new_events:
            self.shell.hush()
        self._play_cues(new_events)

    def look_at_garment(self, ticket: str) -> None:
        """Look at the garment whose chip was touched; a second touch ends the look."""
        if self.session is not None:
            press = self.session.press
            press.focus = "" if press.focus == ticket else ticket

    def tick(self) -> None:
        """Apply clock-driven transitions."""
        if self.session is not None and not self.session.ended:
            self._play_cues(self.session.tick(self.shell.now()))

    def answer(self, choice: int) -> None:
        """Answer the question that practice asks."""
        if self.session is None:
            return
        page = self.session.page
        look = None if page is None else page.look
        right = page is not None and choice == page.right
        self._play_cues(self.session.answer(choice))
        if not right:
            self.shell.cue(Cue.REFUSED)
        elif look is not None and look.slip and look.outcome and self.session.page is None:
            self._show_outcome(look.outcome)

    def _show_outcome(self, outcome: SlipOutcome) -> None:
        """Show what a slip would have led to, now that it was found."""
        notice = say("practice.caught", looks=outcome.say("looks"))
        self.shell.say(notice, seconds=READING_SECONDS)

    def mark(self, thing: str) -> None:
        """Mark what was touched on the bench; "" or a second touch removes the mark."""
        self.marked = "" if thing == self.marked else thing

    def accuse(self) -> None:
        """Report the marked thing as wrong; only a slip that was found is explained."""
        thing, self.marked = self.marked, ""
        if self.session is None or not thing:
            return
        _, outcome = self.session.touch(thing)
        if outcome is not None:
            self._show_outcome(outcome)
        else:
            self.shell.say(say("practice.noted", thing=thing_name(thing)))

    def go_on_at_bench(self) -> None:
        """Go on without reporting anything wrong."""
        self.marked = ""
        if self.session is None:
            return
        new_events, refusal = self.session.go_on(self.shell.now().clock)
        if refusal is not None:
            self.shell.say(refusal, seconds=READING_SECONDS)
            self.shell.cue(Cue.REFUSED)
        elif any(isinstance(event, e.AskedQuick) for event in new_events):
            self.shell.say(say("practice.quick"))
        elif new_events:
            self.shell.hush()
        self._play_cues(new_events)

    def _play_cues(self, new_events: tuple[Event, ...]) -> None:
        if self.session is not None:
            for cue in cues_of(new_events, self.session.press):
                self.shell.cue(cue)
