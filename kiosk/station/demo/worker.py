"""The demo's operator: actions that are repeated, with pictures on the way."""

from collections.abc import Callable

from kiosk.run.facts import LOOKS, ScreenKind, required_setting
from kiosk.run.show import View
from kiosk.run.state import QuestionKind
from kiosk.station.demo.hands import DemoHands
from kiosk.station.desk.sheet import PageKind
from kiosk.station.desk.work.trial import Trial

Shot = Callable[[str], None]


class Worker:
    """Works with `hands`; calls `shot` with a name for each screen worth a picture."""

    def __init__(self, hands: DemoHands, shot: Shot) -> None:
        self.hands = hands
        self.shot = shot
        self.has_tried = False

    def supervisor(self, choice: str) -> None:
        """Enter the supervisor's PIN and touch one choice."""
        hands = self.hands
        hands.type(PIN)
        self.shot("pin")
        hands.touch("Enter")
        self.shot("supervisor")
        hands.touch(choice)

    def setting(self) -> None:
        """Set the press, then enter what it shows."""
        hands = self.hands
        hands.until(lambda view: view.kind is ScreenKind.SETTING)
        self.shot("setting")
        hands.bar()
        self.shot("press-shows")
        job = hands.station.shell.state.job
        assert job is not None
        hands.type(str(required_setting(job)))
        hands.touch("enter")

    def questions(self, wrong: bool = False) -> None:
        """Answer the questions about the current garment, after a trial of its setting if asked."""
        hands = self.hands
        if hands.view.kind is ScreenKind.TRIAL:
            self.trial()
        while (view := hands.view).kind is ScreenKind.ASK:
            job = hands.station.shell.state.job
            assert job is not None
            question = job.questions[0]
            self.shot(f"ask-{question.ask.value}")
            if wrong and question.ask is QuestionKind.SIZE:
                other = next(c for c in question.choices if c != question.right)
                hands.touch(other)
                self.shot("ask-wrong")
                wrong = False
                continue
            assert view.ask is not None
            hands.read_off(question.right)

    def trial(self) -> None:
        """Try a guessed setting: on a piece of cloth the first time, later on the first garment."""
        if self.has_tried:
            try_the_first(self.hands)
        else:
            try_a_piece(self.hands, self.shot)
        self.has_tried = True

    def one_garment(self, prefix: str) -> None:
        """Press the current garment to its end, with a picture of every move."""
        hands = self.hands
        ticket = hands.view.ticket
        while (view := hands.view).ticket == ticket and view.kind is not ScreenKind.DONE:
            if view.kind is ScreenKind.HEAT:
                hands.stage.pass_time(1.6)
                self.shot(f"{prefix}{phase(view)}-heat")
                hands.until_open()
                hands.stage.pass_time(1.0)
            elif view.kind is ScreenKind.ASK:
                self.questions()
            else:
                self.shot(f"{prefix}{phase(view)}")
                hands.bar()

    def to_inspection(self) -> None:
        """Press the current garment until it is to be inspected."""
        hands = self.hands
        while not (view := hands.view).inspecting:
            if view.kind is ScreenKind.HEAT:
                hands.until_open()
                hands.stage.pass_time(1.0)
            elif view.kind is ScreenKind.ASK:
                self.questions()
            else:
                hands.bar()


def phase(view: View) -> str:
    """Return a name for the current move."""
    return "setting" if view.phase is None else view.phase.value.replace(" ", "-")


CLEAN = {
    "peel": "It peeled clean",
    "lifted_edge": "It holds",
    "stretched": "It springs back whole",
    "marks": "No marks",
}
COOL_SECONDS = 30.0


def try_a_piece(hands: DemoHands, shot: Callable[[str], None]) -> None:
    """Press a piece of the same cloth, fill in its card and record it."""
    shot("trial")
    hands.touch("Try a piece of the same cloth")
    seen = set()
    while hands.station.desk.page is PageKind.TRYING:
        rehearsal = hands.station.desk.of(Trial).rehearsal
        if rehearsal is None:
            break
        view = rehearsal.view(hands.now())
        if view.kind not in seen:
            seen.add(view.kind)
            shot(f"trial-{view.kind.value}")
        if view.kind is ScreenKind.HEAT or view.bar.meaning is None:
            hands.stage.pass_time(1.0)
        else:
            if view.chips:
                hands.stage.pass_time(COOL_SECONDS)
            hands.bar()
    for look in LOOKS:
        shot(f"trial-look-{look}")
        hands.touch(CLEAN[look])
    shot("trial-passed")
    hands.touch("Write it down as IK")


def try_the_first(hands: DemoHands) -> None:
    """Use the first garment as the trial: its card serves both."""
    hands.touch("Try the first garment")


PIN = "2468"


def sounds_and_keys(hands: DemoHands, shot: Callable[[str], None]) -> None:
    """Visit the pages for cues and for the keys of pedal and switch, and go back."""
    hands.touch("Supervisor")
    hands.type(PIN)
    hands.touch("Enter", "Tones, voice, vibration", "Voice: ")
    shot("cues")
    hands.touch("Voice: ", "Hear each one")
    shot("listen")
    hands.touch("back", "back", "Pedal and switch")
    shot("keys")
    hands.touch("Pedal: forward")
    shot("learn-key")
    hands.touch("back", "back", "back")


def report(hands: DemoHands, shot: Callable[[str], None]) -> None:
    """Visit the shift's report (table, chart) and a garment's card, and go back."""
    hands.touch("Supervisor")
    hands.type(PIN)
    hands.touch("Enter", "This shift")
    shot("report")
    hands.touch("What failed most")
    shot("report-table")
    hands.touch("Go on")
    shot("report-chart")
    hands.touch("back", "back", "A garment's card")
    shot("card-job")
    hands.touch("Orsavel raft polo")
    shot("card-garment")
    hands.touch("27")
    shot("card")
    for part in ("heat", "heat-on", "checks", "materials", "decided"):
        hands.touch("Go on")
        shot(f"card-{part}")
    hands.touch("back", "back", "back", "back")


def new_by_its_sheet(hands: DemoHands, shot: Shot) -> None:
    """Enter half a film, and a press whose sheet says nothing; from the supervisor's page."""
    hands.touch("New by its sheet")
    shot("new-entry")
    hands.touch("New material", *"FILM")
    shot("new-entry-name")
    hands.touch("Enter it")
    shot("new-entry-source")
    hands.touch("a guess", *"150", "C", "Enter it", *"99", "Enter it")
    shot("new-entry-refused")
    hands.touch("erase", "erase", *"165", "Enter it")
    for _ in range(3):
        hands.touch("sheet does not say")
    shot("new-entry-amount")
    hands.touch("sheet does not say")
    shot("new-entry-more")
    hands.touch("no")
    shot("new-entry-choice")
    hands.touch("medium", "firm", "yes", "hot")
    shot("new-entry-some")
    hands.touch("later", "New by its sheet")
    shot("new-entry-half")
    hands.touch("New press", *"GREBE", "-", "2", "Enter it", "a guess")
    for _ in range(6):
        hands.touch("sheet does not say")
    shot("new-entry-all")
    hands.touch("later")
