"""Parts of the demo's shift: shop rules, press check, first garment, handover, practice."""

from collections.abc import Callable

from kiosk.run.facts import ScreenKind, question_at_hand, seconds_missing
from kiosk.station.demo.hands import READS, DemoHands, NotShown
from kiosk.station.demo.worker import Shot, Worker, new_by_its_sheet
from kiosk.station.desk.learn.practice import Practice
from kiosk.station.desk.learn.quiz import Quizzes
from kiosk.station.desk.sheet import PageKind
from kiosk.station.desk.work.checks import Checks
from kiosk.station.glass.inputs import LONG_SECONDS
from kiosk.train.practice import RACK_SPEED, Session

WAIT_SECONDS = 31.0  # the wait after three wrong PINs


def change_the_policy(worker: Worker) -> None:
    """Enter wrong PINs, change a policy and a tolerance, do the upkeep; from the list of jobs."""
    hands, shot = worker.hands, worker.shot
    hands.touch("Supervisor")
    for _ in range(3):
        hands.type("1111")
        hands.touch("Enter")
    shot("pin-wait")
    hands.stage.pass_time(WAIT_SECONDS)
    worker.supervisor("Recipes and policy")
    shot("files")
    hands.touch("Presses, policy, tablet")
    shot("values")
    hands.touch("presses", "heron", "tolerance")
    hands.type("999")
    hands.touch("Write it into the file")
    shot("value-refused")
    hands.touch("Another value")
    shot("value-number")
    hands.touch("6", "Write it into the file")
    hands.touch("back", "back")
    hands.touch("policy", "check of the press", "asked for")
    shot("value-word")
    hands.touch("asked", "back")
    hands.touch("first garment of a lot", "asked for", "asked", "back", "back", "back", "back")
    new_by_its_sheet(hands, shot)
    hands.touch("Upkeep")
    shot("upkeep")
    hands.touch("heron: cover sheet", "back", "back")


def check_the_press(worker: Worker) -> None:
    """Fill in a card that fails, visit the supervisor's override page, fill in one that passes."""
    hands, shot = worker.hands, worker.shot
    hands.until(lambda view: view.kind is ScreenKind.VERIFY)
    shot("verify-begin")
    hands.touch("let pass")
    hands.type("2468")
    hands.touch("Enter")
    shot("override")
    hands.touch("back", "Begin the card")
    shot("verify-reading")
    card(worker, 12, "slips")
    shot("verify-card")
    hands.touch("Write it down")
    shot("verify-failed")
    hands.touch("Check again")
    card(worker, 1, "holds")
    hands.touch("Write it down")


def card(worker: Worker, off: int, front: str) -> None:
    """Fill in a card: every reading `off` degrees, the front strip as `front` says."""
    hands = worker.hands
    for place in range(5):
        hands.type(str(hands.station.desk.of(Checks).set_value + off - place))
        hands.touch("Next")
    worker.shot(f"verify-paper-{front}")
    hands.touch("It holds", "It holds", f"It {front}", "It holds")


def look_at_the_first(worker: Worker) -> None:
    """The first garment of the lot: measure it, look it over, have the supervisor approve it."""
    hands, shot = worker.hands, worker.shot
    shot("lot-first")
    hands.touch("Look it over", "0", ".", "1", "Next")
    shot("lot-side")
    hands.touch("To the right")
    shot("lot-along")
    hands.touch("0", "Next")
    shot("lot-edge")
    hands.touch("It holds", "No marks", "It springs back whole")
    shot("lot-approve")
    hands.touch("Approved: the supervisor")
    hands.type("2468")
    hands.touch("Enter")


def hand_over(worker: Worker) -> None:
    """Note what is open, and end the shift."""
    hands, shot = worker.hands, worker.shot
    hands.touch("hand over")
    if hands.station.desk.page is PageKind.CLEAR:
        hands.touch("The platen is clear")
    shot("hand-over")
    hands.touch("Next: what is open?", "the pad is worn")
    shot("open-questions")
    hands.touch("Next: who comes?")
    shot("who-comes")
    hands.touch("Nobody yet")


LAYERED = "Orsavel raft polo"
MOST_GARMENTS = 12  # by then one has a missed slip and one a found slip


class PracticeDay:
    """Practises with `hands`; `shot` is called with a name for each screen worth seeing."""

    def __init__(self, hands: DemoHands, shot: Shot) -> None:
        self.hands = hands
        self._shot = shot
        self._seen: set[str] = set()

    def shot(self, name: str) -> None:
        """Take a picture of each screen once."""
        if name not in self._seen:
            self._seen.add(name)
            self._shot(name)

    @property
    def session(self) -> Session:
        """The practice session; raises NotShown if there is none."""
        session = self.hands.station.desk.of(Practice).session
        if session is None:
            raise NotShown("a practised garment")
        return session

    @property
    def page(self) -> PageKind:
        """The page that is shown."""
        return self.hands.station.desk.page

    def play(self) -> None:
        """Play all of practice, from the list of jobs and back to it."""
        self.watch()
        self.alone()
        self.quiz()
        self.hands.touch("to the choice", "back", "leave")

    def watch(self) -> None:
        """Watch the first garment play by itself, and leave it after a few steps."""
        hands, shot = self.hands, self.shot
        hands.touch("Practice")
        shot("practice-jobs")
        hands.touch("My progress")
        shot("practice-progress")
        hands.touch("two-layer")
        shot("practice-family")
        hands.touch("times")
        shot("practice-times")
        hands.touch("back", "back", "back", LAYERED)
        shot("practice-how")
        hands.touch("With help")
        self.until(lambda: self.session.view().kind is ScreenKind.HANDS)
        shot("practice-watch")
        self.stop()

    def stop(self) -> None:
        """Hold, and stop practising."""
        hands = self.hands
        hands.side(right=True)
        hands.touch("Stop practising")

    def alone(self) -> None:
        """Practise on one's own until a slip has been missed and later ones found."""
        self.hands.touch(LAYERED, "On my own")
        missed = 0
        for _ in range(MOST_GARMENTS):
            missed += self.garment(miss=1 - missed)
            if "practice-bench-marked" in self._seen and missed:
                break
            self.hands.touch("Once more")
        self.shot("practice-ended")
        self.hands.touch("to the choice")

    def garment(self, miss: int = 0) -> int:
        """Practise to the end of the garment; return how many slips were missed, at most `miss`."""
        missed = 0
        while self.page is PageKind.PRACTISE:
            question = self.session.page
            if question is not None and self.hands.station.sheet is not None:
                self.shot("practice-came" if question.outcome is not None else "practice-why")
                self.answer()
            elif self.session.spot is not None:
                missed += self.at_bench(see=missed >= miss)
            else:
                self.move_on()
        return missed

    def answer(self) -> None:
        """Touch the right answer."""
        question = self.session.page
        if question is not None:
            self.hands.touch(self.hands.station.words.say(question.choices[question.right]))

    def at_bench(self, see: bool) -> bool:
        """Look at the bench, touch what is wrong or miss it; return whether a slip was missed."""
        hands, spot = self.hands, self.session.spot
        wrong = () if spot is None else self.session.run.slips_at(spot)
        page = hands.station.sheet
        if page is None or page.bench is None:
            hands.stage.pass_time(0.1)
            return False
        if wrong and see:
            self.shot("practice-bench-wrong")
            target = next(each for each in page.bench.targets if wrong[0].found_by(each.thing))
            hands.stage.pass_time(READS)
            hands.stage.tap(*target.box.centre)
            self.shot("practice-bench-marked")
            hands.touch("Wrong: ")
            return False
        bench = self.session.bench()
        bare, sheet = bench is not None and bench.garment is None, bench is not None and bench.sheet
        self.shot("practice-bench" + ("-bare" if bare else "-sheet" if sheet else ""))
        hands.stage.pass_time(max(self.works(), self.peel_seconds()))
        hands.touch("Nothing wrong here")
        return bool(wrong)

    def peel_seconds(self) -> float:
        """Return roughly how many seconds a peel still takes at the practice clock's pace."""
        until = self.session.press.waits_until(self.session.now)
        return 0.0 if until is None else (until - self.session.now.clock) / RACK_SPEED + 0.2

    def move_on(self) -> None:
        """Do the next thing that the practice screen asks for."""
        hands, view = self.hands, self.session.view()
        if view.kind is ScreenKind.ASK:
            job = self.session.press.state.job
            question = None if job is None else question_at_hand(job)
            right = "" if question is None else question.right
            pad = view.ask is not None and view.ask.pad
            hands.touch(*((*right, "enter") if pad else (right,)))
        elif view.kind is ScreenKind.HEAT or view.bar.meaning is None or self.session.level == 0:
            hands.stage.pass_time(0.5)
        else:
            self.shot("practice-own")
            hands.stage.pass_time(self.works())
            if self.session.page is None:  # a page may have come up meanwhile
                hands.bar(0.0)

    def works(self) -> float:
        """Return the least seconds that the current move takes."""
        return max(READS, seconds_missing(self.session.press.state, self.session.now) + 0.1)

    def quiz(self) -> None:
        """Answer one question right and the next one wrong, then end the quiz."""
        hands = self.hands
        hands.touch("Quiz")
        self.shot("quiz")
        quiz = hands.station.desk.of(Quizzes).quiz
        if quiz is None:
            raise NotShown("the quiz")
        wrong = False
        while quiz.question is not None:
            options = quiz.question.options
            chosen = next(o for o in options if o.right is not wrong)
            hands.touch(hands.station.words.say(chosen.text))
            self.shot(f"quiz-{'wrong' if wrong else 'right'}")
            hands.touch("Next question")
            wrong = True
        self.shot("quiz-done")

    def until(self, reached: Callable[[], bool], most: float = 60.0) -> None:
        """Let time pass until `reached` is true; raise NotShown after `most` seconds."""
        end = self.hands.stage.now + most
        while not reached():
            if self.hands.stage.now > end:
                raise NotShown(f"in {most} s; now {self.session.view().kind}")
            self.hands.stage.pass_time(0.5)


def look_at_choices(worker: Worker) -> None:
    """Close once, then look at each page reached by a long press, back, and hold."""
    hands, shot = worker.hands, worker.shot
    hands.bar()
    hands.until_open()
    hands.stage.pass_time(1.0)
    hands.stage.tap(*hands._foot().bar.centre, seconds=LONG_SECONDS + 0.1)
    shot("choices")
    hands.touch("Go on")
    hands.side(right=False)
    shot("was-it-closed")
    number = hands.view.number
    hands.touch(f"{number} is already pressed")
    shot("told")
    hands.touch("back")
    hands.stage.pass_time(READS)
    hands.side(right=True)
    shot("held-in-mid-garment")
    hands.touch("Put the job back")
    shot("clear-platen")
    hands.touch("back")
