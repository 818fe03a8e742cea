"""Where the supervisor's PIN is kept: its hash, in a file beside the log."""

import hashlib
import hmac
import json
import secrets
from pathlib import Path

from kiosk.catalog.base import OWNERS_ALONE, BrokenSideFile, read_side_file, write_whole

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
