"""The tablet's battery: looked at now and then, never in the way of a frame."""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from threading import Thread

from kiosk.catalog.base import Message, say

LOW_PERCENT = 20
LAST_PERCENT = 8
POWER = Path("/sys/class/power_supply")


@dataclass(frozen=True, slots=True)
class Battery:
    """How full it is, percent, and whether it runs down."""

    percent: int
    running_down: bool


def of_linux(folder: Path = POWER) -> Battery | None:
    """Return the emptiest battery that the kernel tells of (power supply class), None without."""
    found = []
    for each in sorted(folder.glob("BAT*")):
        try:
            percent = int((each / "capacity").read_text("ascii"))
            status = (each / "status").read_text("ascii").strip()
        except (OSError, ValueError):
            continue
        found.append(Battery(percent, status == "Discharging"))
    return min(found, key=lambda battery: battery.percent, default=None)


def of_plyer() -> Battery | None:
    """Return what plyer tells of the battery, None where it knows of none; may take its time."""
    try:
        from plyer import battery  # only where the kernel's files are not there

        told = battery.status
        return Battery(int(told["percentage"]), told["isCharging"] is False)
    except Exception:
        return None


class BatteryWatch:
    """Says when the battery runs low. `look` returns at once: reading is a thread's."""

    def __init__(
        self,
        say: Callable[[Message, bool], None],
        read: Callable[[], Battery | None] = of_linux if sys.platform == "linux" else of_plyer,
    ) -> None:
        self._say = say
        self._read = read
        self._thread: Thread | None = None
        self._known: Battery | None = None

    def look(self) -> None:
        """Say what the last reading asks for, then have it read again."""
        if self._thread is not None and self._thread.is_alive():
            return  # slow, or stuck: nobody waits for it
        known, self._known = self._known, None
        if known is not None and known.running_down and known.percent <= LOW_PERCENT:
            lasting = known.percent <= LAST_PERCENT
            self._say(say("station.battery", percent=known.percent), lasting)
        self._thread = Thread(target=self._take, name="battery", daemon=True)
        self._thread.start()

    def _take(self) -> None:
        self._known = self._read()

    def wait(self, seconds: float) -> bool:
        """Wait until the reading is there; False where it takes longer."""
        if self._thread is not None:
            self._thread.join(seconds)
        return self._known is not None
