"""The supervisor's PIN: only its scrypt hash is kept, in a file beside the log."""

from __future__ import annotations

import hashlib
import hmac
import json
import os
import secrets
from pathlib import Path

COST = {"n": 2**14, "r": 8, "p": 1}  # 16 MiB, about 50 ms a try on a small tablet
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
        fresh = self._path.with_suffix(".new")
        descriptor = os.open(fresh, os.O_CREAT | os.O_TRUNC | os.O_WRONLY, 0o600)
        with os.fdopen(descriptor, "w", encoding="utf-8") as file:
            json.dump(record, file)
            file.flush()
            os.fsync(file.fileno())
        fresh.replace(self._path)

    def check(self, pin: str) -> bool:
        """Whether `pin` is the one; a missing or damaged file fits no PIN."""
        try:
            record = json.loads(self._path.read_text("utf-8"))
            cost = {key: int(record[key]) for key in COST}
            wanted = bytes.fromhex(record["hash"])
            return hmac.compare_digest(_hash(pin, bytes.fromhex(record["salt"]), cost), wanted)
        except (OSError, ValueError, KeyError, TypeError):
            return False


def _hash(pin: str, salt: bytes, cost: dict[str, int]) -> bytes:
    return hashlib.scrypt(pin.encode(), salt=salt, dklen=32, **cost)
