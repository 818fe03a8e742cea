"""A person at the real station, with fingers or with one pedal alone, on the bench's clock."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from station_harness import Bench

from kiosk.log.store.store import Store
from kiosk.run.facts.moves import required_setting
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.show.parts import View
from kiosk.run.state.commands_shift import ChoosePin, TryPin
from kiosk.run.state.event import Event, Now
from kiosk.run.state.events import Closed, Confirmed, Finished, ReadBack, SettingRead, TimeUp
from kiosk.station.demo.hands import READS, WALL, DemoHands, NotShown
from kiosk.station.desk.learn.progress import SignOffs
from kiosk.station.desk.side_files import PinFile
from kiosk.station.glass.app import StationWidget
from kiosk.station.glass.boxes import Box
from kiosk.station.glass.devices import SPACE
from kiosk.station.glass.widgets.ribbon import Tag

ROOT = Path(__file__).resolve().parents[2]
PIN = "2468"
STEP_SECONDS = 0.3  # from one short press to the next
LONG_SECONDS = 1.3
MOST_IDLE = 1000  # moves that record nothing; the longest wait for a rack takes some sixty
MOST_MOVES = 20_000  # of one job; the longest takes about a thousand


class Person(DemoHands):
    """Hands at a station in the folder `place`, and the clocks around it.

    `slept` is how long the machine slept, unseen by Kivy's frames. `wall_moved` is how far the wall
    clock was changed.
    """

    stage: Bench

    def __init__(
        self,
        bench: Bench,
        place: Path,
        inches: float = 10.1,
        log: str = "log",
        now: Now | None = None,
    ) -> None:
        self.slept = now.clock - bench.now if now else 0.0
        self.wall_moved = now.wall - (WALL + now.clock) if now else 0.0
        self.presses = 0
        self.refused = 0
        self._recorded, self._idle_moves = 0, 0
        super().__init__(bench, place, inches, log, now.boot if now else "a boot")

    def _open(self) -> StationWidget:
        self.stage.stations.append(self)
        return super()._open()

    def close(self) -> None:
        """Take the station off the bench."""
        self.stage.stations.remove(self)
        super().close()

    def now(self) -> Now:
        """Return the moment on the bench's clock."""
        clock = self.stage.now + self.slept
        return Now(self.boot, clock, WALL + clock + self.wall_moved)

    def choose(self, *labels: str) -> None:
        """Choose these, one after the other."""
        self.touch(*labels)

    def forward(self) -> None:
        """Press forward after the work that it confirms, unless its meaning has changed."""
        meaning = self.view.bar.meaning
        self.stage.pass_time(self.works())
        if self.view.bar.meaning == meaning:
            store = self.station.shell.recorder.store
            before = store.last
            self.press()
            new_events = [each.event for each in store.events(before + 1)]
            if any(not isinstance(event, TimeUp) for event in new_events):
                self.presses += 1
            else:
                self.refused += 1  # the label changed under the finger

    def press(self) -> None:
        """Touch the bar."""
        self.bar(0.0)

    # -- the way to the press ---------------------------------------------

    def touch_first_start(self, initials: str = "IK") -> None:
        """Choose the PIN and sign on, as on the first day."""
        self.choose(*PIN, "Go on with this PIN", *PIN, "Keep this PIN")
        self.choose("New here", *initials, "This is me")

    def touch_sign_off(self) -> None:
        """Let the supervisor allow the operator grouped moves; from the list of jobs."""
        self.choose("Supervisor", *PIN, "Enter", "Sign-offs of", "All procedures")

    def first_start(self, initials: str = "IK") -> None:
        """Do what `touch_first_start` does, directly: the touches have a test of their own."""
        desk = self.station.desk
        assert not desk.pin.is_set()
        (self.place / "supervisor-pin").write_bytes(pin_file())
        desk.shell.do(ChoosePin())
        desk.sign_on(initials)
        self.station.refresh()
        self.stage.pass_time(READS)

    def sign_off(self) -> None:
        """Do what `touch_sign_off` does, directly."""
        desk = self.station.desk
        desk.shell.do(TryPin(right=True))
        (operator,) = desk.shell.state.operators
        desk.of(SignOffs).person = operator
        desk.of(SignOffs).sign_all()
        self.station.refresh()
        self.stage.pass_time(READS)

    def begin(self, title: str) -> None:
        """Choose a job and begin it."""
        self.choose(title, "Read the cautions")

    def enter_setting(self, temperature: int | None = None) -> None:
        """Enter the press's temperature: by default the one that the job needs."""
        self.stage.pass_time(READS)
        self.press()
        self.choose(*str(temperature or self.setting()), "enter")

    def setting(self) -> int:
        """Return the setting that the job needs, in the press's own unit."""
        job = self.station.shell.state.job
        assert job is not None
        needed = required_setting(job)
        assert needed is not None
        return needed

    def right_answer(self) -> str:
        """Return what the ticket says."""
        job = self.station.shell.state.job
        assert job is not None
        return job.questions[0].right

    # -- pressing ---------------------------------------------------------

    def move_on(self) -> None:
        """Do the next thing that the screen asks for, without a mistake.

        Raises NotShown if MOST_IDLE moves in a row recorded nothing.
        """
        view, recorded = self.view, self.station.shell.recorder.store.last
        self._idle_moves = self._idle_moves + 1 if recorded == self._recorded else 0
        self._recorded = recorded
        if self._idle_moves > MOST_IDLE:
            raise NotShown(f"a way on: {MOST_IDLE} moves recorded nothing; now {view.kind}, {view}")
        if view.kind is ScreenKind.SETTING:
            self.enter_setting()
        elif view.kind is ScreenKind.ASK:
            self.read_off(self.right_answer())
        elif view.bar.meaning is not None:
            self.forward()
        else:
            self.look_on()

    def answer(self) -> View:
        """Answer the questions before the next move; return what the screen shows then."""
        while self.view.kind in (ScreenKind.SETTING, ScreenKind.ASK):
            self.move_on()
        return self.view

    def press_all(self) -> None:
        """Press until the job is done; raise NotShown after MOST_MOVES."""
        for _ in range(MOST_MOVES):
            if self.view.kind is ScreenKind.DONE:
                return
            self.move_on()
        raise NotShown(f"the end of the job in {MOST_MOVES} moves; now {self.view.kind}")

    def to_heat(self, closings: int = 1) -> View:
        """Press until the clock of the next closing (or a later one) runs; return the view."""
        for nth in range(closings):
            if nth:
                self.until_open()
            while self.view.kind is not ScreenKind.HEAT:
                self.move_on()
        self.stage.pass_time(2.8)  # a count-in is over, and its picture has been read
        return self.view

    def texts(self) -> str:
        """Return everything written on the screen."""
        from station_tree import written

        return "\n".join(each.text for each in written(self.station))

    def chips(self) -> list[Box]:
        """Return the boxes of garments that cool or wait for a person."""
        from station_tree import walk

        return [each.box for each in walk(self.station) if isinstance(each, Tag)]

    def events(self) -> tuple[Event, ...]:
        """Return the events, read from the log file."""
        return events_of(self.log)


class Foot(Person):
    """A person without a free hand, who does everything with real keys of one pedal."""

    def press_pedal(self, seconds: float = 0.1) -> None:
        """Press the pedal once."""
        self.stage.key(SPACE)
        self.stage.pass_time(seconds)
        self.stage.key(SPACE, down=False)
        self.stage.pass_time(STEP_SECONDS)

    def press(self) -> None:
        """A short press."""
        self.press_pedal()

    def choose(self, *labels: str) -> None:
        """Step to each label with short presses, then choose it with a long one."""
        for label in labels:
            self.stage.pass_time(READS)
            self._step_to(label)
            self.press_pedal(LONG_SECONDS)

    def read_off(self, value: str) -> None:
        """Choose a value; the first press turns a pad into choices."""
        ask = self.view.ask
        if ask is not None and ask.pad and not self._steps():
            self.stage.pass_time(READS)
            self.press_pedal()
        self.choose(value)

    def _step_to(self, label: str) -> None:
        labels = self._steps()
        matches = [text for text in labels if text == label] or [
            text for text in labels if text.startswith(label)
        ]
        if not matches:
            raise NotShown(f"{label!r} among {labels}")
        for _ in labels:
            if self._marked() == matches[0]:
                return
            self.press_pedal()
        assert self._marked() == matches[0]

    def _steps(self) -> list[str]:
        """Return the labels that the pedal steps through."""
        if self.station.sheet is not None:
            return [button.label for button in self.station.sheet.buttons]
        painted = self.station.live.painted
        assert painted is not None
        return [label_of(button) for button in painted.choices.buttons]

    def _marked(self) -> str | None:
        """Return the label that the pedal is at."""
        if self.station.sheet is not None:
            at, labels = self.station.sheet._marked, self._steps()
        else:
            painted = self.station.live.painted
            assert painted is not None
            at, labels = painted.choices.at, self._steps()
        return labels[at] if at >= 0 else None


@cache
def pin_file() -> bytes:
    """Return a PIN file; hashing is slow on purpose, so it is done once for all tests."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "supervisor-pin"
        PinFile(path).set(PIN)
        return path.read_bytes()


def label_of(button: object) -> str:
    """Return the label of a choice."""
    return str(getattr(button, "label", "") or getattr(button, "text", ""))


@dataclass(frozen=True)
class Taps:
    """Forward taps per ticket according to the log, and the number of questions."""

    forward: dict[str, int]
    questions: int


def taps_of(events: Sequence[Event]) -> Taps:
    """Count taps: one for each closing, confirmation and result by the bar."""
    forward: dict[str, int] = {}
    for event in events:
        if isinstance(event, Closed | Confirmed | Finished):
            forward[event.ticket] = forward.get(event.ticket, 0) + 1
    questions = sum(isinstance(event, ReadBack | SettingRead) for event in events)
    return Taps(forward, questions)


def events_of(log: Path) -> tuple[Event, ...]:
    """Return the events of a log."""
    with Store.read_only(log) as store:
        return tuple(each.event for each in store.events())


def lay_out(place: Path, *jobs: str) -> Path:
    """Copy the recipes and these jobs (by default all) to `place`; return it."""
    shutil.copytree(ROOT / "recipes", place / "recipes")
    untried(place / "recipes" / "shop.yaml")
    (place / "jobs").mkdir()
    users_own = shutil.ignore_patterns(".*")  # a claim, or a note of proofs outside this folder
    for folder in sorted((ROOT / "shared" / "jobs").iterdir()):
        if folder.is_dir() and (not jobs or folder.name in jobs):
            shutil.copytree(folder, place / "jobs" / folder.name, ignore=users_own)
    return place


def untried(shop: Path) -> None:
    """Change a shop so that it asks for no trial: most tests are about something else."""
    text = shop.read_text("utf-8")
    assert "trial: asked" in text
    shop.write_text(text.replace("trial: asked", "trial: no"), "utf-8")


def small(
    bench: Bench, place: Path, job: str = "ice-crew", lines: str = "123", by: type[Person] = Person
) -> Person:
    """Return a signed-off person who has just begun one of the jobs, shortened."""
    lay_out(place, job)
    shorten(place, job, lines)
    person = by(bench, place)
    person.first_start()
    person.sign_off()
    person.begin("Orsavel")
    person.stage.pass_time(READS)
    return person


def shorten(place: Path, job: str, lines: Sequence[str]) -> None:
    """Leave only these lines of a job's roster."""
    roster = place / "jobs" / job / "roster.csv"
    head, *rows = roster.read_text("utf-8").splitlines()
    kept_rows = [row for row in rows if row.split(",")[0] in set(lines)]
    roster.write_text("\n".join([head, *kept_rows]) + "\n", "utf-8")
