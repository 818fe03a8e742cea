"""The supervisor's PIN: where it is kept, and asking for it."""

from __future__ import annotations

import hashlib
import hmac
import json
import secrets
from collections.abc import Callable
from math import ceil
from pathlib import Path
from typing import TYPE_CHECKING

from kiosk.catalog.base import OWNERS_ALONE, BrokenSideFile, read_side_file, say, write_whole
from kiosk.run.facts import pin_wait
from kiosk.run.state import commands_shift as commands
from kiosk.station.desk.sheet import Page
from kiosk.station.desk.shell import Cue

if TYPE_CHECKING:
    from kiosk.station.desk.desk import Desk

COST = {"n": 2**14, "r": 8, "p": 1}  # 16 MiB, about 50 ms a try on a small tablet
DEAREST = 8  # times the memory and the time of COST: what a later program may ask for
SHORTEST = 4


class PinFile:
    """The hash of one PIN at `path`. Whoever has the machine can delete the file and set anew."""

    def __init__(self, path: Path) -> None:
        self._path = path

    def is_set(self) -> bool:
        """Whether a PIN was chosen."""
        return self._path.exists()

    def set(self, pin: str) -> None:
        """Keep the hash of `pin`, whole or not at all. Raises OSError; ValueError if too short."""
        if len(pin) < SHORTEST:
            raise ValueError("PIN too short")
        salt = secrets.token_bytes(16)
        record = {"salt": salt.hex(), "hash": _hash(pin, salt, COST).hex(), **COST}
        write_whole(self._path, json.dumps(record).encode(), OWNERS_ALONE)

    def check(self, pin: str) -> bool:
        """Whether `pin` is the one; a missing or damaged file fits no PIN."""
        try:
            salt, wanted, cost = self._read()
            return hmac.compare_digest(_hash(pin, salt, cost), wanted)
        except (OSError, ValueError):
            return False

    def is_broken(self) -> bool:
        """Whether something stands there that no PIN fits: it must be deleted by hand."""
        try:
            self._read()
        except FileNotFoundError:
            return False
        except (OSError, ValueError):
            return True
        return False

    def _read(self) -> tuple[bytes, bytes, dict[str, int]]:
        """Return salt, hash and cost. Raises OSError; ValueError for what takes long to check."""
        record = read_side_file(self._path)
        try:
            cost = {key: record[key] for key in COST}
            salt, wanted = bytes.fromhex(record["salt"]), bytes.fromhex(record["hash"])
        except (KeyError, TypeError) as problem:
            raise BrokenSideFile("no PIN file") from problem
        if not all(isinstance(each, int) and 1 <= each <= 2**20 for each in cost.values()):
            raise BrokenSideFile("no scrypt parameters")
        if _work(cost) > DEAREST * _work(COST) or cost["n"] & (cost["n"] - 1) or cost["n"] < 2:
            raise BrokenSideFile("no scrypt parameters")
        return salt, wanted, cost


def _work(cost: dict[str, int]) -> int:
    return cost["n"] * cost["r"] * cost["p"]


def _hash(pin: str, salt: bytes, cost: dict[str, int]) -> bytes:
    memory = 2 * 128 * cost["r"] * (cost["n"] + cost["p"])  # bytes, twice what RFC 7914 needs
    return hashlib.scrypt(pin.encode(), salt=salt, dklen=32, maxmem=memory, **cost)


class Pins:
    """What is typed on the desk's pages as a PIN."""

    def __init__(self, desk: Desk, file: PinFile) -> None:
        self._desk = desk
        self._file = file
        self._first = ""
        self._then: Callable[[], None] = lambda: None

    def are_set(self) -> bool:
        """Whether a PIN was chosen."""
        return self._file.is_set()

    def choose(self) -> None:
        """Take the first entry of a new PIN."""
        desk = self._desk
        if len(desk.entry) < SHORTEST:
            desk.shell.say(say("station.pin_short"))
            return
        self._first = desk.entry
        desk.go(Page.REPEAT_PIN)

    def repeat(self) -> None:
        """Keep the new PIN if both entries agree."""
        desk = self._desk
        if desk.entry != self._first:
            desk.shell.say(say("station.pin_differs"))
            desk.go(Page.CHOOSE_PIN)
            return
        try:
            self._file.set(desk.entry)
        except OSError as problem:
            desk.shell.say(say("station.pin_not_kept", why=str(problem)))
        else:
            desk.shell.do(commands.ChoosePin())
        desk.go_on()

    def ask(self, then: Callable[[], None]) -> None:
        """Ask for the PIN, then do what needs it."""
        self._then = then
        self._desk.go(Page.PIN)

    @property
    def wait(self) -> int:
        """Whole seconds until the PIN may be tried again, 0 if it may be now."""
        shell = self._desk.shell
        return ceil(pin_wait(shell.state, shell.now()))

    def give(self) -> None:
        """Go on if the PIN fits; each try is on disk before its answer is shown."""
        desk = self._desk
        entry, desk.entry = desk.entry, ""
        right = not self.wait and self._file.check(entry)
        if desk.shell.do(commands.TryPin(right)).refusal is not None:
            return
        if right:
            self._then()
        else:
            broken = self._file.is_broken()
            desk.shell.say(say("station.pin_broken" if broken else "station.pin_wrong"), broken)
            desk.shell.cue(Cue.REFUSED)
