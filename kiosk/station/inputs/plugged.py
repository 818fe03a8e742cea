"""Which keyboards (pedals are keyboards) are plugged in, as far as the machine says."""

from __future__ import annotations

import re
from pathlib import Path

DEVICES = Path("/proc/bus/input/devices")  # Linux; elsewhere nothing is known of plugs
_NAME = re.compile(r'^N: Name="(.*)"$', re.MULTILINE)
_HANDLED = re.compile(r"^H: Handlers=.*\bkbd\b", re.MULTILINE)


def keyboards(text: str) -> frozenset[str]:
    """Return the names of what types keys, from the text of `/proc/bus/input/devices`."""
    blocks = (block for block in text.split("\n\n") if _HANDLED.search(block))
    return frozenset(found[1] for block in blocks if (found := _NAME.search(block)))


class Plugged:
    """Tells what has come and gone since it was last asked."""

    def __init__(self, devices: Path = DEVICES) -> None:
        self._devices = devices
        self._known = self._read()

    def changes(self) -> tuple[frozenset[str], frozenset[str]]:
        """Return the names of those that are gone, and of those that are new."""
        known, now = self._known, self._read()
        self._known = now
        return known - now, now - known

    def _read(self) -> frozenset[str]:
        try:
            return keyboards(self._devices.read_text("utf-8", "replace"))
        except OSError:
            return frozenset()
