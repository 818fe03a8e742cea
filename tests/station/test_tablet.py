"""A real tablet: turned while pressing, dense, a panel that emulates a mouse, on battery."""

from __future__ import annotations

from pathlib import Path
from threading import Event

import pytest
from kivy.config import Config
from kivy.core.window import Window
from kivy.metrics import Metrics
from mistakes import PLAIN, at, closings
from station_audit import clipped, overlapping, too_small
from station_driver import Person, lay_out
from station_harness import Bench, Finger
from station_scenes import SCENES
from station_screen import Requests, drawing_of, make_screen
from station_tour import Glass, Stop
from station_tree import targets, texts

from kiosk.catalog.base.notes import Message
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state.commands import Forward
from kiosk.run.state.events import Opened, TimeUp
from kiosk.station.demo.play import WindowSize
from kiosk.station.glass.cues import SECONDS, Vibration
from kiosk.station.glass.devices import SAME_FINGER_SECONDS, OneFinger
from kiosk.station.glass.program import Battery, BatteryWatch, linux_battery

# -- turned while pressing -------------------------------------------------


def test_turning_the_tablet_while_pressing_changes_neither_clock_nor_record(
    bench: Bench, tmp_path: Path
) -> None:
    person = at(bench, tmp_path, job=PLAIN)
    before = person.to_heat(2)  # a final of 15 s
    assert before.countdown is not None
    known, began = len(person.events()), bench.now
    for size in ((800, 1280), (1280, 800), (1024, 600), (600, 1024)):
        bench.resize(*size)
        shown = person.station.screen.painted
        assert shown is not None
        assert shown.foot.bar.right <= size[0]
    after = person.view
    assert after.kind is ScreenKind.HEAT
    assert after.countdown is not None
    assert len(person.events()) == known
    assert after.countdown.left == pytest.approx(before.countdown.left - (bench.now - began))
    person.until_open()
    rang = [e for e in person.events() if isinstance(e, TimeUp)][-1]
    closed = closings(person)[-1]
    assert rang.due == pytest.approx(closed.at.clock + closed.starts_in + closed.dwell_seconds)
    assert not [e for e in person.events()[known:] if isinstance(e, Opened)]
    person.close()
    bench.resize(1280, 800)


def test_a_finger_down_while_the_tablet_turns_counts_once(bench: Bench, tmp_path: Path) -> None:
    person = at(bench, tmp_path)
    person.answer()
    person.stage.pass_time(person.works())
    before = len(closings(person))
    finger = bench.down(*person._foot().bar.centre)
    bench.resize(800, 1280)
    bench.up(finger)
    assert len(closings(person)) == before + 1
    person.close()
    bench.resize(1280, 800)


# -- densities -------------------------------------------------------------


@pytest.mark.parametrize("scene", ["lay-top", "chips-due", "inspect", "held"])
def test_a_screen_with_three_times_the_pixels_shows_the_same_millimetres(
    bench: Bench, scene: str
) -> None:
    view, plan = SCENES[scene]()
    stop, feet = Stop(scene, view, plan, "KOVA"), []
    for width, height in ((640, 400), (1280, 800), (1920, 1200)):
        bench.resize(width, height)
        glass = Glass(stop, WindowSize(width, height, 10.1), "es")
        assert [*clipped(glass), *overlapping(glass), *too_small(glass)] == []
        feet.append(sorted((b.w / width, b.h / height) for b in targets(glass.live)))
    bench.resize(1280, 800)
    for one in feet[1:]:
        assert [side for box in one for side in box] == pytest.approx(
            [side for box in feet[0] for side in box], abs=0.01
        )


def test_kivys_density_changes_nothing(bench: Bench) -> None:
    """Millimetres come from the shop's file: Linux reports 1, others whatever they like."""
    told = Metrics.density
    shown = []
    try:
        for density in (1.0, 2.0, 3.0):
            Metrics.density = density
            screen = drawing_of(bench, "sheet", "10 inch")
            shown.append([(text.text, text.box, text.fitted.em) for text in texts(screen)])
    finally:
        Metrics.density = told
    assert shown[0] == shown[1] == shown[2]


# -- one finger, two devices -----------------------------------------------


def two_devices(bench: Bench, between: float) -> tuple[Requests, list[str]]:
    """Return the actions after a touch and its copy from a mouse `between` seconds later."""
    view, plan = SCENES["lay-one"]()
    asked, one = Requests(), OneFinger(bench.clock)
    screen = make_screen(bench, view, plan, asked)
    one.bind(Window)
    try:
        assert screen.painted is not None
        spot = screen.painted.foot.bar.centre
        bench.tap(*spot)
        bench.wait(between)
        again = Finger("mouse", 999, bench._place(spot[0] + 2, spot[1]))
        bench.fingers.queue += [("begin", again)]
        bench.frames(1)
        bench.fingers.queue += [("end", again)]
        bench.frames(1)
    finally:
        one.unbind(Window)
    return asked, [type(action).__name__ for action in asked.actions]


def test_a_touch_repeated_as_a_mouse_click_counts_once(bench: Bench) -> None:
    asked, names = two_devices(bench, 0.05)
    assert names == ["Forward"]
    assert isinstance(asked.only, Forward)


def test_a_later_mouse_click_counts_separately(bench: Bench) -> None:
    _, names = two_devices(bench, SAME_FINGER_SECONDS + 0.2)
    assert names == ["Forward", "Forward"]


# -- power -----------------------------------------------------------------


def battery(folder: Path, percent: str, status: str, name: str = "BAT0") -> Path:
    """Write a battery's files as the kernel does (Documentation/ABI: sysfs-class-power)."""
    place = folder / name
    place.mkdir(parents=True, exist_ok=True)
    (place / "type").write_text("Battery\n", "ascii")
    (place / "capacity").write_text(f"{percent}\n", "ascii")
    (place / "status").write_text(f"{status}\n", "ascii")
    return folder


def reported(folder: Path) -> list[tuple[int | None, bool]]:
    """Return what is reported of this battery: percent, and whether the notice is lasting."""
    said: list[tuple[int | None, bool]] = []

    def say(message: Message, lasting: bool) -> None:
        percent = message.values["percent"]
        said.append((percent if isinstance(percent, int) else None, lasting))

    watch = BatteryWatch(say, lambda: linux_battery(folder))
    watch.check()
    watch.wait(10.0)
    watch.check()
    return said


def test_a_low_battery_is_reported_unless_it_charges(tmp_path: Path) -> None:
    assert reported(battery(tmp_path, "19", "Discharging")) == [(19, False)]
    assert reported(battery(tmp_path, "7", "Discharging")) == [(7, True)]
    assert reported(battery(tmp_path, "21", "Discharging")) == []
    assert reported(battery(tmp_path, "7", "Charging")) == []


@pytest.mark.parametrize("name", ["battery", "max170xx_battery", "axp20x-battery"])
def test_a_tablets_battery_is_known_by_its_type_and_a_mouses_is_ignored(
    tmp_path: Path, name: str
) -> None:
    battery(tmp_path, "100", "Full", "hidpp_battery_0")
    (tmp_path / "hidpp_battery_0" / "capacity").write_text("3\n", "ascii")
    (tmp_path / "hidpp_battery_0" / "scope").write_text("Device\n", "ascii")
    (tmp_path / "ac").mkdir()
    (tmp_path / "ac" / "type").write_text("Mains\n", "ascii")
    assert linux_battery(tmp_path) is None
    assert reported(battery(tmp_path, "19", "Discharging", name)) == [(19, False)]


def test_a_machine_without_vibration_says_so_without_a_traceback(
    capfd: pytest.CaptureFixture[str],
) -> None:
    looked, shaken = Vibration(), Vibration()
    looked.check()
    shaken.shake(next(iter(SECONDS)))
    assert looked.off
    assert shaken.off
    assert "Traceback" not in capfd.readouterr().err


def test_a_missing_or_unreadable_battery_reports_nothing(tmp_path: Path) -> None:
    assert reported(tmp_path / "no such folder") == []
    assert reported(battery(tmp_path, "many", "Discharging")) == []
    assert linux_battery(battery(tmp_path, "50", "Full")) == Battery(50, running_down=False)


def test_a_battery_that_never_answers_holds_nothing_up() -> None:
    ends = Event()

    def never() -> Battery | None:
        ends.wait()
        return None

    watch = BatteryWatch(lambda message, lasting: None, never)
    for _ in range(3):
        watch.check()
    assert not watch.wait(0.01)
    ends.set()


def test_the_screen_is_kept_awake() -> None:
    """SDL does it: plyer 2.1 has nothing for it (kivy.md section 6)."""
    assert Config.get("graphics", "allow_screensaver") == "0"
    assert Window.allow_screensaver == 0


@pytest.mark.parametrize(
    ("driver", "kept"), [("x11", True), ("wayland", True), ("kmsdrm", False), ("offscreen", False)]
)
def test_if_keeping_awake_does_nothing_the_screen_page_says_so(
    driver: str, kept: bool, bench: Bench, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SDL_VIDEODRIVER", driver)
    lay_out(tmp_path)
    person = Person(bench, tmp_path)
    person.first_start()
    person.choose("Screen and units")
    shown = person.texts()
    assert ("The screen stays on." in shown) is kept
    assert ("lets the screen go dark" in shown) is not kept
    person.close()
