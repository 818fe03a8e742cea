"""No hand on the screen: switches on the press, two pedals, learned keys, keys that misbehave."""

from __future__ import annotations

from pathlib import Path

import pytest
from station_driver import LONG_SECONDS, Foot, Person, events_of, lay_out, shorten
from station_harness import Bench

from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state import events as e
from kiosk.run.state.commands import Verb
from kiosk.run.state.events_shift import CuesSet, KeyLearned
from kiosk.run.state.model import TimeSource
from kiosk.run.state.rules import Role
from kiosk.station.demo.hands import READS
from kiosk.station.desk.sheet import PageKind
from kiosk.station.glass.cues import NAMES, Player
from kiosk.station.glass.devices import (
    PAGE_UP,
    PRESS_CLOSED,
    PRESS_OPENED,
    SPACE,
    STUCK_SECONDS,
    PlugWatch,
    keyboards,
)

TAB, KP_ENTER = 43, 88  # scancodes (USB HID usage tables, keyboard page)


class Switched(Person):
    """A person at a press with switches, which report when it closes and opens."""

    def typed(self, scancode: int) -> None:
        """Let a switch type its key."""
        self.stage.key(scancode)
        self.stage.pass_time(0.05)
        self.stage.key(scancode, down=False)

    def forward(self) -> None:
        """If the move ends in a closing, close the press by hand, and open it at the tone."""
        meaning = self.view.bar.meaning
        if meaning is None or meaning.verb is not Verb.CLOSE:
            super().forward()
            return
        self.stage.pass_time(self.works())
        self.typed(PRESS_CLOSED)
        self.until(lambda view: view.kind is not ScreenKind.HEAT)
        self.stage.pass_time(0.4)
        self.typed(PRESS_OPENED)


def at(
    bench: Bench, place: Path, by: type[Person], job: str = "raft-polo", lines: int = 2
) -> Person:
    lay_out(place, job)
    shorten(place, job, [str(line) for line in range(1, lines + 1)])
    person = by(bench, place)
    person.first_start()
    person.sign_off()
    person.begin("Orsavel")
    bench.pass_time(READS)
    return person


def test_with_switches_twelve_layered_garments_need_taps_only_for_results(
    bench: Bench, tmp_path: Path
) -> None:
    person = at(bench, tmp_path, Switched, lines=12)
    person.press_all()
    events = person.events()
    closings = [each for each in events if isinstance(each, e.Closed)]
    assert len(closings) == 12 * 4  # pre-press, two tacks, the final
    assert {each.seen for each in closings} == {TimeSource.MEASURED}
    openings = [each for each in events if isinstance(each, e.Opened)]
    assert len(openings) == len(closings)
    assert {each.seen for each in openings} == {TimeSource.MEASURED}
    assert person.presses == 12  # the results, which no switch can give
    person.close()


def test_a_second_pedal_does_what_a_long_press_does(bench: Bench, tmp_path: Path) -> None:
    person = at(bench, tmp_path, Person)
    person.answer()
    second(person)
    assert person.station.desk.page is PageKind.CHOICES
    person.close()


def second(person: Person) -> None:
    bench = person.stage
    bench.pass_time(READS)
    bench.key(PAGE_UP)
    bench.pass_time(0.1)
    bench.key(PAGE_UP, down=False)
    bench.pass_time(0.1)


def test_a_second_pedal_chooses_on_a_page(bench: Bench, tmp_path: Path) -> None:
    lay_out(tmp_path)
    person = Foot(bench, tmp_path)
    person._step_to("7")
    second(person)
    assert person.station.desk.entry == "7"
    person.close()


def learn(person: Person, role: str, scancode: int) -> None:
    person.choose("Supervisor", *"2468", "Enter", "Pedal and switch", role)
    person.stage.pass_time(READS)
    person.stage.key(scancode)
    person.stage.pass_time(0.1)
    person.stage.key(scancode, down=False)
    person.stage.pass_time(READS)


def test_a_key_is_learned_by_pressing_it_and_known_after_a_restart(
    bench: Bench, tmp_path: Path
) -> None:
    lay_out(tmp_path)
    person = Person(bench, tmp_path)
    person.first_start()
    learn(person, "Pedal: forward", TAB)
    assert person.station.desk.page is PageKind.KEYS
    assert "learned: key 43" in person.texts()
    person.close()
    person = Person(bench, tmp_path)
    press(bench, SPACE)
    assert marked(person) == -1  # the space bar is no longer a pedal
    press(bench, TAB)
    assert marked(person) == 0
    learned = [each for each in events_of(person.log) if isinstance(each, KeyLearned)]
    assert [(each.role, each.scancode) for each in learned] == [(Role.FORWARD, TAB)]
    person.close()


def marked(person: Person) -> int:
    """Return the index of the choice marked by the pedal, -1 for none."""
    assert person.station.sheet is not None
    return person.station.sheet._marked


def press(bench: Bench, scancode: int) -> None:
    bench.pass_time(READS)
    bench.key(scancode)
    bench.pass_time(0.1)
    bench.key(scancode, down=False)
    bench.pass_time(READS)


def test_a_key_already_used_for_another_role_is_refused(bench: Bench, tmp_path: Path) -> None:
    lay_out(tmp_path)
    person = Person(bench, tmp_path)
    person.first_start()
    learn(person, "Pedal: forward", TAB)
    person.choose("Switch: press closed")
    press(bench, TAB)
    assert person.station.desk.page is PageKind.LEARN_KEY
    assert "That key already does this" in person.texts()
    press(bench, KP_ENTER)
    assert dict(person.station.shell.state.keys) == {TAB: Role.FORWARD, KP_ENTER: Role.CLOSED}
    person.close()


def test_a_stuck_pedal_is_reported_and_ignored(bench: Bench, tmp_path: Path) -> None:
    person = at(bench, tmp_path, Person)
    person.answer()
    bench.pass_time(READS)
    before = len(person.events())
    bench.key(SPACE)
    for _ in range(int(STUCK_SECONDS / 0.5) + 2):
        bench.key(SPACE, repeat=1)
        bench.pass_time(0.5)
    assert "Is something on it?" in person.texts()
    closed = [each for each in person.events()[before:] if isinstance(each, e.Closed)]
    assert closed == []  # nobody knows what it was meant for
    bench.pass_time(STUCK_SECONDS / 2)
    assert "Is something on it?" not in person.texts()  # the page can be read
    bench.pass_time(STUCK_SECONDS / 2)
    assert "Is something on it?" in person.texts()  # shown again for someone who looks up later
    bench.key(SPACE, down=False)
    bench.pass_time(STUCK_SECONDS + 1.0)
    assert "Is something on it?" not in person.texts()
    bench.key(SPACE)
    bench.pass_time(STUCK_SECONDS - 1.0)
    assert "Is something on it?" not in person.texts()  # another press is timed by itself
    bench.key(SPACE, down=False)
    bench.pass_time(LONG_SECONDS)
    assert person.station.screen.press.held is False
    person.close()


DEVICES = """I: Bus=0003 Vendor=0001 Product=0002 Version=0111
N: Name="A foot pedal"
H: Handlers=sysrq kbd event3 leds

I: Bus=0003 Vendor=0001 Product=0003 Version=0111
N: Name="A mouse"
H: Handlers=mouse0 event4

"""


def test_an_unplugged_pedal_is_reported_and_its_last_press_is_forgotten(
    bench: Bench, tmp_path: Path
) -> None:
    lay_out(tmp_path)
    devices = tmp_path / "devices"
    devices.write_text(DEVICES)
    person = Person(bench, tmp_path)
    person.station.inputs.plugged = PlugWatch(devices)
    bench.key(SPACE)
    bench.pass_time(0.1)
    assert person.station.inputs.press.held
    devices.write_text(DEVICES.replace("kbd ", ""))
    bench.pass_time(2.5)
    assert "Unplugged: A foot pedal" in person.texts()
    assert not person.station.inputs.press.held
    devices.write_text(DEVICES)
    bench.pass_time(2.5)
    press(bench, SPACE)  # although the release before was never seen
    assert marked(person) == 0
    person.close()


def test_a_pedal_counts_as_a_keyboard_and_a_mouse_does_not() -> None:
    """The text is made up in the form of Linux's /proc/bus/input/devices."""
    assert keyboards(DEVICES) == {"A foot pedal"}
    assert keyboards("") == frozenset()


@pytest.mark.parametrize("kind", ["Tones", "Voice", "Vibration"])
def test_each_cue_is_turned_off_and_on_separately(kind: str, bench: Bench, tmp_path: Path) -> None:
    lay_out(tmp_path)
    person = Person(bench, tmp_path)
    person.first_start()
    person.choose("Supervisor", *"2468", "Enter", "Tones, voice, vibration")
    before = person.station.desk.cues()
    person.choose(f"{kind}: ")
    after = person.station.desk.cues()
    changed = {
        name for name in ("tones", "voice", "vibration")
        if getattr(before, name) is not getattr(after, name)
    }  # fmt: skip
    assert changed == {kind.lower()}
    assert any(isinstance(each, CuesSet) for each in person.events())
    person.close()


class Heard(Player):
    """A player that also lists the names it is given."""

    def __init__(self) -> None:
        super().__init__()
        self.heard: list[str] = []

    def play(self, name: str) -> None:
        self.heard.append(name)
        super().play(name)


def test_each_tone_can_be_tried_and_a_missing_device_is_named(bench: Bench, tmp_path: Path) -> None:
    lay_out(tmp_path)
    person = Person(bench, tmp_path)
    person.first_start()
    person.choose("Supervisor", *"2468", "Enter", "Tones, voice, vibration")
    assert "Vibration: on\nnot on this machine" in person.texts()
    person.choose("Tones: ", "Hear each one")  # off, but still heard
    person.station.cues.player = player = Heard()  # it also lists the names
    for label in ("Count-in, pre-press", "Count-in, tack", "Count-in, final", "Time is up"):
        person.choose(label)
    for label in ("Peel now", "Still closed", "Tap refused", "Job done"):
        person.choose(label)
    assert player.heard == list(NAMES)
    person.close()
