"""An operator who works unattended, makes slips, and reports what is on disk."""

from __future__ import annotations

import random
import sys
from collections.abc import Iterable
from pathlib import Path

from station_driver import Person
from station_harness import Bench

from kiosk.log.record.recorder import Recorder
from kiosk.log.store.codec import EventRow, decode
from kiosk.log.store.store import Statement
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.show.parts import View
from kiosk.run.state.event import Now
from kiosk.station.desk.sheet import PageKind

RESULTS = ("Rework", "Scrap", "Accept")
SLIP = 0.06  # of the chances for a slip


class Worker(Person):
    """Presses one job after the other; the clock at the start decides where slips happen."""

    def __init__(self, bench: Bench, place: Path, inches: float, log: str, now: Now) -> None:
        self.chance = random.Random(f"{now.clock}")
        super().__init__(bench, place, inches, log, now)

    def _recorder(self) -> Recorder:
        recorder = super()._recorder()
        add = recorder.store.add

        def add_and_report(rows: Iterable[EventRow], facts: Iterable[Statement] = ()) -> int:
            written = list(rows)
            last = add(written, facts)
            for number, row in enumerate(written, last - len(written) + 1):
                tell(f"{number} {type(decode(row)).__name__}")
            return last

        recorder.store.add = add_and_report  # type: ignore[method-assign]  # listens at the real store
        return recorder

    def tell_screen(self) -> None:
        """Report what the first picture shows."""
        opens = "OPEN" in self.texts()
        tell(f"screen {self.view.kind.name} {self.view.ticket or '-'} {opens}")

    def work(self) -> None:
        """Work until no job is left."""
        while not self._all_done():
            if self.station.sheet is not None:
                self._page()
            else:
                self._at_press(self.view)

    def _all_done(self) -> bool:
        offers, finished = self.station.desk.offers, self.station.shell.state.finished
        at_jobs = self.station.desk.page is PageKind.JOBS and self.station.sheet is not None
        return at_jobs and all(offer.key in finished for offer in offers)

    def _page(self) -> None:
        desk, state = self.station.desk, self.station.shell.state
        if desk.page is PageKind.SIGN_ON and state.operators:
            self.choose("IK")
        elif desk.page is PageKind.SIGN_ON:
            self.choose("New here", "I", "K", "This is me")
            self.sign_off()
        elif desk.page is PageKind.JOBS:
            self.choose(next(o.title for o in desk.offers if o.key not in state.finished))
        elif desk.page is PageKind.SET_UP:
            self.choose("Read the cautions")
        elif any(each.label == "It was closed" for each in self.buttons()):
            self.choose("It was closed")  # asked before back takes anything
        elif self.station.sheet is not None and self.station.sheet.sheet.choices:
            self.choose("Number")  # one that waits for a person
        else:
            self.choose("Put the job away")

    def _slips(self, chance: float = SLIP) -> bool:
        return self.chance.random() < chance

    def _at_press(self, view: View) -> None:
        if view.kind is ScreenKind.ASK_CLOSED:
            self.choose(self.chance.choice(("Closed", "Not closed")))
        elif view.kind is ScreenKind.ASK and self._slips() and view.ask is not None:
            self.read_off(self.chance.choice(view.ask.choices))
        elif view.kind is ScreenKind.HEAT and view.opened and self._slips(SLIP / 8):
            self.side()
        elif view.inspecting and view.kind in (ScreenKind.HANDS, ScreenKind.DONE):
            self._judge(view)
        elif view.kind is ScreenKind.HANDS and view.hold and self._slips():
            self.side()
        elif view.kind is ScreenKind.HANDS and view.back and self._slips():
            self.side(right=False)
        else:
            self.move_on()

    def _judge(self, view: View) -> None:
        labels = [each.label for each in self.buttons()]
        if view.bar.meaning is not None and not self._slips():
            self.forward()
        elif view.bar.meaning is None and "Good" in labels and not self._slips():
            self.choose("Good")  # what did not have all its closings can only be scrap
        else:
            self.choose(self.chance.choice([each for each in RESULTS if each in labels]))
            for _ in ("class", "cause"):
                self.choose(next(iter(self.buttons())).label)


def tell(line: str) -> None:
    """Print a line whole or not at all, whenever the process is killed."""
    sys.stdout.write(line + "\n")
    sys.stdout.flush()
