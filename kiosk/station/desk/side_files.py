"""Files beside the station's log: the record of practice; the hash of the supervisor's PIN."""

from __future__ import annotations

import hashlib
import hmac
import json
import secrets
from collections.abc import Callable
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

from kiosk.catalog.base import (
    OWNERS_ALONE,
    BrokenSideFile,
    Message,
    dataclass,
    read_side_file,
    write_whole,
)
from kiosk.catalog.model import Catalog, StationSettings
from kiosk.log.record import Recorder, start
from kiosk.log.store import LogFault, codec
from kiosk.run.state import Event, Now, Start

if TYPE_CHECKING:
    from kiosk.train.practice import Training


def practice_log(log: Path) -> Path:
    """Return the path of the practice record beside a station's log."""
    return log.with_name(f"{log.stem}-practice{log.suffix}")


class PracticeRecord:
    """Practice's own record, opened on first use; `fault` or `mended` say how that went."""

    def __init__(self, log: Path, version: str, now: Callable[[], Now]) -> None:
        self.path = practice_log(log)
        self.fault: Message | None = None
        self.mended: Message | None = None
        self._version = version
        self._now = now
        self._recorder: Recorder | None = None
        self._training: Training = {}

    def open(self) -> bool:
        """Open the record; return False if it cannot be opened, and set `fault` to the reason."""
        from kiosk.train.practice import trained  # not needed at a start

        if self._recorder is not None:
            return True
        try:
            recorder, mended = start(self.path, self._now(), simulated=True)
            self._training = trained(each.event for each in recorder.store.events())
        except LogFault as fault:
            self.fault = fault.message
            return False
        recorder.do(Start(self._version, simulated=True), self._now())
        self._recorder, self.fault = recorder, None
        self.mended = None if mended is None else mended.message
        return True

    @property
    def training(self) -> Training:
        """What every trainee has shown so far; empty if the record cannot be read."""
        if self._recorder is None and self.fault is None and self.path.exists():
            self.open()
        return self._training

    def note(self, event: Event) -> None:
        """Write an event to disk, then count it."""
        from kiosk.train.practice import trained

        if self._recorder is not None:
            self._recorder.note(event)
        self._training = trained((event,), self._training)

    @property
    def unrecorded(self) -> int:
        """How many events wait to be written."""
        return 0 if self._recorder is None else self._recorder.unrecorded

    def close(self) -> None:
        """Close the record if it is open."""
        if self._recorder is not None:
            self._recorder.close()
            self._recorder = None


COST = {"n": 2**14, "r": 8, "p": 1}  # 16 MiB, about 50 ms a try on a small tablet
DEAREST = 8  # times the memory and the time of COST: the most a later program may need
SHORTEST = 4


class PinFile:
    """The hash of one PIN at `path`.

    Anyone with the machine can delete the file and choose again.
    """

    def __init__(self, path: Path) -> None:
        self._path = path

    def is_set(self) -> bool:
        """Return whether a PIN was chosen; True also if the file cannot be examined."""
        try:
            return self._path.exists()
        except OSError:
            return True

    def set(self, pin: str) -> None:
        """Save the hash of `pin`, whole or not at all. Raises OSError; ValueError if too short."""
        if len(pin) < SHORTEST:
            raise ValueError("PIN too short")
        salt = secrets.token_bytes(16)
        record = {"salt": salt.hex(), "hash": _hash(pin, salt, COST).hex(), **COST}
        write_whole(self._path, json.dumps(record).encode(), OWNERS_ALONE)

    def check(self, pin: str) -> bool:
        """Return whether `pin` is right; a missing or damaged file matches no PIN."""
        try:
            salt, stored, cost = self._read()
            return hmac.compare_digest(_hash(pin, salt, cost), stored)
        except (OSError, ValueError):
            return False

    def is_broken(self) -> bool:
        """Return whether the file exists but is unusable: it must be deleted by hand."""
        try:
            self._read()
        except FileNotFoundError:
            return False
        except (OSError, ValueError):
            return True
        return False

    def _read(self) -> tuple[bytes, bytes, dict[str, int]]:
        """Return salt, hash and cost. Raises OSError; ValueError if damaged or too costly."""
        record = read_side_file(self._path)
        try:
            cost = {key: record[key] for key in COST}
            salt, stored = bytes.fromhex(record["salt"]), bytes.fromhex(record["hash"])
        except (KeyError, TypeError) as problem:
            raise BrokenSideFile("no PIN file") from problem
        if not all(isinstance(each, int) and 1 <= each <= 2**20 for each in cost.values()):
            raise BrokenSideFile("no scrypt parameters")
        if _work(cost) > DEAREST * _work(COST) or cost["n"] & (cost["n"] - 1) or cost["n"] < 2:
            raise BrokenSideFile("no scrypt parameters")
        return salt, stored, cost


def _work(cost: dict[str, int]) -> int:
    return cost["n"] * cost["r"] * cost["p"]


def _hash(pin: str, salt: bytes, cost: dict[str, int]) -> bytes:
    memory = 2 * 128 * cost["r"] * (cost["n"] + cost["p"])  # bytes, twice what RFC 7914 needs
    return hashlib.scrypt(pin.encode(), salt=salt, dklen=32, maxmem=memory, **cost)


@dataclass(frozen=True, slots=True)
class FirstFrameValues:
    """Recipe values that the first frame needs: tablet settings, whether there is a server."""

    station: StationSettings
    has_server: bool


def first_frame_path(log: Path) -> Path:
    """Return the path beside a log where these values are kept."""
    return log.with_suffix(".settings.json")


def save_first_frame(path: Path, recipes: Path, catalog: Catalog) -> None:
    """Save these values for the next start if they changed."""
    digest = _shop_digest(recipes)
    current = FirstFrameValues(catalog.station, bool(catalog.database.address))
    if digest and current != read_first_frame(path, recipes):
        text = f'{{"shop": "{digest}", "kept": {codec.to_json(current)}}}'
        with suppress(OSError):  # the next start then reads the recipes first
            write_whole(path, text.encode())


def read_first_frame(path: Path, recipes: Path) -> FirstFrameValues | None:
    """Return the values kept at `path`; None if unreadable or the shop's file has changed."""
    with suppress(BrokenSideFile, OSError, codec.Unreadable):
        found = read_side_file(path)
        if found.get("shop") == _shop_digest(recipes):
            return codec.from_plain(found.get("kept"), FirstFrameValues)
    return None


def _shop_digest(recipes: Path) -> str:
    try:
        return sha256((recipes / "shop.yaml").read_bytes()).hexdigest()
    except OSError:
        return ""
