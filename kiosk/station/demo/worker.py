"""The demo's one at the press: what is done again and again, with pictures on the way."""

from __future__ import annotations

from collections.abc import Callable

from kiosk.run.facts import Kind, required_setting
from kiosk.run.show import View
from kiosk.run.state import Ask
from kiosk.station.demo.hands import Hands
from kiosk.station.demo.rounds import PIN
from kiosk.station.demo.tried import try_a_piece, try_the_first

Shot = Callable[[str], None]


class Worker:
    """Works with `hands`; `shot` is called with a name for each screen worth seeing."""

    def __init__(self, hands: Hands, shot: Shot) -> None:
        self.hands = hands
        self.shot = shot
        self.tried = False

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
        hands.until(lambda view: view.kind is Kind.SETTING)
        self.shot("setting")
        hands.bar()
        self.shot("press-shows")
        job = hands.station.shell.state.job
        assert job is not None
        hands.type(str(required_setting(job)))
        hands.touch("enter")

    def questions(self, wrong: bool = False) -> None:
        """Answer what is asked about the garment in hand, a trial of its setting first."""
        hands = self.hands
        if hands.view.kind is Kind.TRIAL:
            self.trial()
        while (view := hands.view).kind is Kind.ASK:
            job = hands.station.shell.state.job
            assert job is not None
            question = job.questions[0]
            self.shot(f"ask-{question.ask.value}")
            if wrong and question.ask is Ask.SIZE:
                other = next(c for c in question.choices if c != question.right)
                hands.touch(other)
                self.shot("ask-wrong")
                wrong = False
                continue
            assert view.ask is not None
            hands.read_off(question.right)

    def trial(self) -> None:
        """Try a guessed setting: on a piece of cloth, later by the first garment."""
        if self.tried:
            try_the_first(self.hands)
        else:
            try_a_piece(self.hands, self.shot)
        self.tried = True

    def one_garment(self, prefix: str) -> None:
        """Press the garment at hand to its end, with a picture of every move."""
        hands = self.hands
        ticket = hands.view.ticket
        while (view := hands.view).ticket == ticket and view.kind is not Kind.DONE:
            if view.kind is Kind.HEAT:
                hands.stage.wait(1.6)
                self.shot(f"{prefix}{phase(view)}-heat")
                hands.until_open()
                hands.stage.wait(1.0)
            elif view.kind is Kind.ASK:
                self.questions()
            else:
                self.shot(f"{prefix}{phase(view)}")
                hands.bar()

    def to_inspection(self) -> None:
        """Press the garment at hand until it is to be looked over."""
        hands = self.hands
        while not (view := hands.view).inspecting:
            if view.kind is Kind.HEAT:
                hands.until_open()
                hands.stage.wait(1.0)
            elif view.kind is Kind.ASK:
                self.questions()
            else:
                hands.bar()


def phase(view: View) -> str:
    """Return a name for the move that is shown."""
    return "setting" if view.phase is None else view.phase.value.replace(" ", "-")
