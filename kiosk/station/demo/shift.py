"""The demo's shift: every screen once, each reached by touches from a fresh start."""

import sqlite3
from contextlib import closing

from kivy.core.window import Window

from kiosk.run.facts import PeelZone, ScreenKind
from kiosk.run.show import View
from kiosk.station.demo import practice_day
from kiosk.station.demo.hands import DemoHands
from kiosk.station.demo.worker import PIN, Worker, phase, report, sounds_and_keys
from kiosk.station.glass.devices import PRESS_CLOSED, PRESS_OPENED


class DemoShift(Worker):
    """The whole shift, move by move."""

    def play(self) -> None:
        """Play the whole shift."""
        self.first_start()
        sounds_and_keys(self.hands, self.shot)
        self.jobs_not_to_begin()
        self.new_order()
        practice_day.PracticeDay(self.hands, self.shot).play()
        self.layered_job()
        practice_day.change_the_policy(self)
        self.cold_peel_job()
        self.stops()
        self.end()

    # -- signing on -------------------------------------------------------

    def first_start(self) -> None:
        """A fresh start: choose the supervisor's PIN, enter initials, see the list of jobs."""
        hands, shot = self.hands, self.shot
        shot("choose-pin")
        hands.type(PIN)
        hands.touch("Go on with this PIN")
        hands.type(PIN)
        shot("repeat-pin")
        hands.touch("Keep this PIN")
        shot("sign-on")
        hands.touch("Practice")
        shot("practice-who")
        hands.touch("New here")
        shot("practice-initials")
        hands.touch("back", "back")
        hands.touch("New here")
        hands.type("IK")
        shot("initials")
        hands.touch("This is me")
        shot("jobs")
        hands.touch("Screen and units")
        shot("display")
        hands.touch("back")

    def jobs_not_to_begin(self) -> None:
        """Open a job with a fault, and one with questions about its roster."""
        hands, shot = self.hands, self.shot
        hands.touch("spring-order")
        shot("faults")
        hands.touch("back")
        hands.touch("Orsavel pond club, juniors", "1 question")
        shot("questions")
        hands.touch("back", "Start with the supervisor's PIN")
        shot("columns")
        hands.touch("back", "back")

    def new_order(self) -> None:
        """Take a customer's file as far as the proof of the garments, and leave it for later."""
        hands, shot = self.hands, self.shot
        hands.touch("New order")
        shot("order-file")
        hands.touch("kelp-divers.csv")
        shot("order-columns")
        hands.touch("Say what")
        shot("order-column")
        hands.touch("not used", "The columns are right")
        shot("order-recipe")
        hands.touch("Name and number in two layers", "Piqué", "heron", "yellow", "orange")
        hands.touch("Film and colours are right")
        shot("order-doubt")
        hands.touch("Something else")
        shot("order-size")
        hands.touch("YL", "Something else")
        shot("order-write")
        hands.touch("back", "MIREL")
        shot("order-proof")
        hands.touch("later")

    # -- the layered job --------------------------------------------------

    def layered_job(self) -> None:
        """Two-layer film: a trainee's first garment, then grouped moves, then what can go wrong."""
        hands, shot = self.hands, self.shot
        hands.touch("Orsavel raft polo")
        shot("set-up")
        hands.touch("Look over the proof")
        shot("proof")
        hands.touch("1 to 6")
        shot("proof-last")
        hands.touch("All 7", *"CT")
        shot("proof-who")
        hands.touch("Approve", "heat")
        shot("heat")
        hands.touch("back", "Read the cautions")
        self.setting()
        self.questions(wrong=True)
        self.one_garment("trainee-")
        self.hold_and_supervisor()
        self.one_garment("")
        self.rework_and_scrap()
        self.put_the_job_back()
        report(self.hands, self.shot)

    def hold_and_supervisor(self) -> None:
        """Hold, and let the supervisor sign the operator off for grouped moves."""
        hands = self.hands
        self.questions()
        hands.side(right=True)
        self.shot("held")
        hands.touch("Supervisor")
        self.supervisor("Sign-offs of IK")
        self.shot("sign-off-of")
        hands.touch("two-layer")
        self.shot("sign-off-one")
        hands.touch("Give the sign-off", "back", "Sign-offs")
        self.shot("sign-offs")
        hands.touch("back", "What cooling taught")
        self.shot("learning")
        hands.touch("back", "Sign-offs")
        hands.touch("IK", "All procedures")
        hands.bar()

    def rework_and_scrap(self) -> None:
        """End one garment as rework and one as scrap, each with class and cause."""
        for result in ("Rework", "Scrap"):
            self.to_inspection()
            self.hands.touch(result)
            self.shot(f"{result.lower()}-class")
            self.hands.touch(first_choice(self.hands))
            self.shot(f"{result.lower()}-cause")
            self.hands.touch(first_choice(self.hands))

    def put_the_job_back(self) -> None:
        """Put a garment aside, decide on the reworked one, then put the job back."""
        hands = self.hands
        self.questions()
        hands.side(right=True)
        hands.touch("Skip the pre-press")
        self.shot("skip")
        hands.touch("back")
        hands.touch("Put this garment aside")
        self.shot("put-aside")
        hands.touch("not here")
        self.questions()
        practice_day.look_at_choices(self)
        hands.side(right=True)
        hands.touch("Supervisor")
        self.supervisor("1 garment to decide")
        self.shot("garments")
        hands.touch("Number")
        self.shot("garment")
        hands.touch("Good")
        self.shot("reason")
        hands.touch("looked over")
        hands.touch("Put the job back", "The platen is clear")

    # -- cold peel --------------------------------------------------------

    def cold_peel_job(self) -> None:
        """Cold peel: garments cool on the rack while the next ones are pressed."""
        hands, shot = self.hands, self.shot
        hands.touch("Orsavel ice crew")
        hands.touch("Read the cautions")
        self.setting()
        practice_day.check_the_press(self)
        self.questions()
        seen: set[str] = set()
        while (view := hands.view).kind is not ScreenKind.DONE:
            self.cold_move(view, seen)
        shot("done")
        hands.touch("Put the job away")

    def cold_move(self, view: View, seen: set[str]) -> None:
        """Do what the view asks for, or let time pass; `seen` holds the names of pictures taken."""
        hands = self.hands
        due = any(chip.zone is not PeelZone.SOON for chip in view.chips)
        if view.kind is ScreenKind.LOT:
            practice_day.look_at_the_first(self)
        elif view.kind is ScreenKind.ASK:
            self.questions()
        elif view.kind is ScreenKind.HEAT:
            hands.stage.pass_time(6.5)
            if view.chips:
                self._once(seen, f"rack-{len(view.chips)}-heat")
            while any(c.zone is not PeelZone.SOON for c in hands.view.chips):
                if hands.view.kind is not ScreenKind.HEAT or hands.view.bar.meaning is None:
                    break
                self._once(seen, "rack-due")
                hands.bar()
            hands.until_open()
            hands.stage.pass_time(1.0)
        elif view.bar.meaning is None:
            self._once(seen, "rack-waits")
            hands.stage.pass_time(5.0)
        else:
            self._once(seen, f"cold-{phase(view)}" if not due else "rack-late")
            hands.bar()

    def _once(self, seen: set[str], name: str) -> None:
        if name not in seen:
            seen.add(name)
            self.shot(name)

    # -- stops ------------------------------------------------------------

    def stops(self) -> None:
        """A press opened too soon, a switch that sees an unasked closing, a power cut while hot."""
        hands, shot = self.hands, self.shot
        hands.touch("Orsavel raft polo")
        hands.touch("Read the cautions")
        if hands.view.kind is ScreenKind.SETTING:
            self.setting()
        self.questions()
        hands.bar()
        hands.stage.pass_time(2.5)
        hands.side(right=True)
        shot("was-it-closed")
        hands.touch("Not closed")
        hands.bar()
        hands.stage.pass_time(2.5)
        hands.restart("demo, after a power cut")
        shot("started-while-hot")
        hands.bar()
        shot("outcome-unknown")
        hands.bar()
        self.setting()
        self.switch()

    def switch(self) -> None:
        """A switch on the press: times are measured, the over-run is counted."""
        hands, shot = self.hands, self.shot
        self.to_inspection()
        hands.bar()
        self.questions()
        press_key(hands, PRESS_CLOSED)
        hands.stage.pass_time(9.0)
        shot("over")
        press_key(hands, PRESS_OPENED)
        hands.stage.pass_time(1.0)
        press_key(hands, PRESS_CLOSED)
        hands.until(lambda view: view.kind is not ScreenKind.HEAT)
        press_key(hands, PRESS_OPENED)

    def end(self) -> None:
        """An unasked closing while on hold; then hand over."""
        hands = self.hands
        hands.stage.pass_time(1.0)
        self.questions()
        hands.side(right=True)
        press_key(hands, PRESS_CLOSED)
        hands.stage.pass_time(3.0)
        self.shot("unasked")
        press_key(hands, PRESS_OPENED)
        self.leave_unwritten()
        hands.touch("Supervisor")
        self.supervisor("The shop's server")
        self.shot("shop")
        hands.touch("back", "back")
        practice_day.hand_over(self)
        self.shot("handed-over")

    def leave_unwritten(self) -> None:
        """Ask to leave while another program holds the record, then stay after all."""
        self.unwritten("leave")

    def unwritten(self, name: str) -> None:
        """Show the page that lists what is not in the record yet."""
        hands = self.hands
        hands.touch("Supervisor")
        hands.type(PIN)
        with closing(sqlite3.connect(hands.log, isolation_level=None)) as other:
            other.execute("BEGIN IMMEDIATE")
            hands.touch("Enter", "Leave the kiosk")
            self.shot(name)
        hands.touch("back", "back")


def first_choice(hands: DemoHands) -> str:
    """Return the label of the first button on the screen."""
    return next(hands.buttons()).label


def press_key(hands: DemoHands, scancode: int) -> None:
    """Press and release a key, as a switch would."""
    Window.dispatch("on_key_down", 0, scancode, "", [])
    Window.dispatch("on_key_up", 0, scancode)
    hands.stage.frames(2)
