"""The program around the window: start, error handling, end, and a watch on the battery."""

import gc
import sys
from collections.abc import Callable
from pathlib import Path
from threading import Thread
from typing import Any

from kivy.app import App
from kivy.base import ExceptionHandler, ExceptionManager
from kivy.clock import Clock
from kivy.core.window import Window
from kivy.input.postproc import kivy_postproc_modules
from kivy.logger import Logger
from kivy.uix.widget import Widget

from kiosk.catalog.base import Message, dataclass, say
from kiosk.log.rescue import Salvage
from kiosk.station.desk.desk import StationParts
from kiosk.station.desk.pages import look_around, start_at
from kiosk.station.glass.app import StationWidget
from kiosk.station.glass.inputs import safe_callback

LOW_PERCENT = 20
LAST_PERCENT = 8
POWER = Path("/sys/class/power_supply")


@dataclass(frozen=True, slots=True)
class Battery:
    """Its charge in percent, and whether it is running down."""

    percent: int
    running_down: bool


def linux_battery(folder: Path = POWER) -> Battery | None:
    """Return the emptiest battery that the kernel lists (power supply class), None if none.

    A battery is any supply of type Battery; those of a mouse or a pedal are left out.
    """
    found = []
    for each in sorted(folder.glob("*")):
        try:
            if (each / "type").read_text("ascii").strip() != "Battery" or _of_a_device(each):
                continue
            percent = int((each / "capacity").read_text("ascii"))
            status = (each / "status").read_text("ascii").strip()
        except (OSError, ValueError):
            continue
        found.append(Battery(percent, status == "Discharging"))
    return min(found, key=lambda battery: battery.percent, default=None)


def _of_a_device(supply: Path) -> bool:
    """Return whether a supply belongs to an attached device (sysfs-class-power: scope)."""
    scope = supply / "scope"
    return scope.is_file() and scope.read_text("ascii").strip() == "Device"


def plyer_battery() -> Battery | None:
    """Return the battery as plyer reports it, None if there is none; may be slow."""
    try:
        from plyer import battery  # only if the kernel's files are not there

        status = battery.status
        return Battery(int(status["percentage"]), status["isCharging"] is False)
    except Exception:
        return None


class BatteryWatch:
    """Reports a low battery. `check` returns at once: a thread does the reading."""

    def __init__(
        self,
        say: Callable[[Message, bool], None],
        read: Callable[[], Battery | None] = linux_battery
        if sys.platform == "linux"
        else plyer_battery,
    ) -> None:
        self._say = say
        self._read = read
        self._thread: Thread | None = None
        self._reading: Battery | None = None

    def check(self) -> None:
        """Report the last reading if it is low, then start the next reading."""
        if self._thread is not None and self._thread.is_alive():
            return  # slow or stuck; nobody waits for it
        reading, self._reading = self._reading, None
        if reading is not None and reading.running_down and reading.percent <= LOW_PERCENT:
            lasting = reading.percent <= LAST_PERCENT
            self._say(say("station.battery", percent=reading.percent), lasting)
        self._thread = Thread(target=self._read_now, name="battery", daemon=True)
        self._thread.start()

    def _read_now(self) -> None:
        self._reading = self._read()

    def wait(self, seconds: float) -> bool:
        """Wait for the reading; return whether there is one within `seconds`."""
        if self._thread is not None:
            self._thread.join(seconds)
        return self._reading is not None


BATTERY_SECONDS = 60.0
SETTLED_SECONDS = 0.5  # what can wait must not delay the first frame
TIDY_SECONDS = 1.0
ENDS_SECONDS = 0.2
LEFT_OVER = 5000  # objects: those of a few screens
OLD_EVERY = 20


class ErrorReporter(ExceptionHandler):
    """Logs an error in a handler and shows it on the screen; the clock keeps running."""

    def __init__(self, station: StationWidget) -> None:
        self._station = station

    def handle_exception(self, problem: Exception) -> Any:
        """Report the error and keep the station going."""
        Logger.exception("kiosk: %s", problem)
        self._station.shell.say(say("station.internal", what=type(problem).__name__))
        return ExceptionManager.PASS


class StationApp(App):
    """The program with its window."""

    use_kivy_settings = False

    def __init__(
        self, parts: StationParts, job: Path | None = None, mended: Salvage | None = None
    ) -> None:
        super().__init__()
        self.parts = parts
        self.job_to_open = job
        self.mended = mended
        self.station: StationWidget | None = None
        self._tidied = 0
        self._is_ending = False

    def build(self) -> Widget:
        """Return the started station."""
        self.station = StationWidget(self.parts, self.stop)
        self.station.size = Window.size
        self.station.desk.job_to_open = self.job_to_open
        ExceptionManager.add_handler(ErrorReporter(self.station))
        start_at(self.station.desk)
        if self.mended is not None:
            self.station.shell.say(self.mended.message, lasting=True)
        elif self.parts.recorder.taken_up is not None:
            self.station.shell.say(self.parts.recorder.taken_up, lasting=True)
        self.station.refresh()
        return self.station

    def on_start(self) -> None:
        """Poll the window's events right before each frame's work: halves a tap's delay.

        Kivy's search for double taps and the like in every frame is turned off: no screen uses
        them.
        """
        kivy_postproc_modules.clear()
        Clock.schedule_interval(safe_callback(Window.mainloop), 0)
        Clock.schedule_interval(safe_callback(self._end), ENDS_SECONDS)
        Clock.schedule_once(lambda dt: Clock.schedule_once(self._after_the_first_frame, 0), 0)
        if self.station is not None:
            watch = BatteryWatch(self.station.shell.say)
            Clock.schedule_interval(safe_callback(watch.check), BATTERY_SECONDS)

    def _after_the_first_frame(self, dt: float) -> None:
        """Start what can wait for the first frame, and schedule the rest."""
        Clock.schedule_once(self._settle_in, SETTLED_SECONDS)
        if self.parts.sending is not None:
            self.parts.sending.start()
        if self.station is not None:
            look_around(self.station.desk)
            self.station.refresh()

    def _settle_in(self, dt: float) -> None:
        """Load the tones, and freeze the objects that exist by now.

        Otherwise Python's garbage collector walks through all of them again and again, a third of a
        second each time, in the middle of a press.
        """
        if self.station is not None:
            self.station.cues.player.warm()
        import kiosk.plan.procedure  # noqa: F401 - so that the list of jobs need not wait for it

        gc.collect()
        gc.freeze()
        gc.disable()
        Clock.schedule_interval(safe_callback(self._tidy), TIDY_SECONDS)

    def _tidy(self) -> None:
        """Collect garbage that screens left between taps: young objects, sometimes old ones too."""
        if gc.get_count()[0] > LEFT_OVER:
            self._tidied += 1
            gc.collect(1 if self._tidied % OLD_EVERY else 2)

    def on_stop(self) -> None:
        """Close the station and the record."""
        if self.station is not None:
            self.station.close()
        self.parts.recorder.close()

    def end(self, *_: object) -> None:
        """Ask the program to end between two frames; safe from a signal handler."""
        self._is_ending = True

    def _end(self) -> None:
        if self._is_ending:
            self.stop()

    def open_settings(self, *_: object) -> bool:
        """Prevent Kivy's settings panel."""
        return True

    def on_pause(self) -> bool:
        """Stay alive when the tablet hides the window."""
        return True
