"""Kills this process at a chosen byte, step or file, and simulates a full disk."""

from __future__ import annotations

import os
import resource
import signal
import sqlite3
import struct
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from random import Random
from typing import Any

_FRAME = 24 + 4096
_FILES = {"open", "os.rename", "os.remove", "os.mkdir", "os.link", "os.truncate"}
_SIZE = resource.RLIMIT_FSIZE


def die() -> None:
    os.kill(os.getpid(), signal.SIGKILL)


class Deaths:
    """Arms this process to die; it cannot be disarmed."""

    def __init__(self) -> None:
        self._steps = self._files = 0
        self._hooked = False
        connect = sqlite3.connect

        def connected(*arguments: Any, **named: Any) -> sqlite3.Connection:
            connection: sqlite3.Connection = connect(*arguments, **named)
            if self._steps:
                connection.set_progress_handler(die, self._steps)
            return connection

        sqlite3.connect = connected  # type: ignore[assignment]  # later ones die too

    def arm(self, by: str, nth: int, log: Path, connection: sqlite3.Connection | None) -> None:
        """Die at the `nth` byte, step of SQLite's machine or file from here on."""
        if by == "byte":
            resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
            signal.signal(signal.SIGXFSZ, signal.SIG_DFL)
            _limit(end_of_tail(log) + nth)
        elif by == "step":
            self._steps = nth
            if connection is not None:
                connection.set_progress_handler(die, nth)
        else:
            self._files = nth
            sys.addaudithook(self._hear)

    def _hear(self, event: str, arguments: tuple[Any, ...]) -> None:
        if event in _FILES:
            self._files -= 1
            if self._files <= 0:
                die()


def _limit(size: int) -> None:
    resource.setrlimit(_SIZE, (size, resource.getrlimit(_SIZE)[1]))


@contextmanager
def full(log: Path, room: int) -> Iterator[None]:
    """Let no file grow more than `room` bytes beyond the end of the log's tail."""
    was = resource.getrlimit(_SIZE)[0]
    _limit(end_of_tail(log) + room)
    try:
        yield
    finally:
        _limit(was)


def end_of_tail(log: Path) -> int:
    """Return where the next commit is written, by the tail's index (sqlite.org/walformat.html)."""
    try:
        index = log.with_name(log.name + "-shm").read_bytes()
    except OSError:
        return 0
    if len(index) < 100:
        return 0
    (frames,), (folded,) = struct.unpack_from("=I", index, 16), struct.unpack_from("=I", index, 96)
    return 32 + (0 if frames == folded else frames) * _FRAME


def tear(log: Path, dice: Random) -> None:
    """Damage the tail after its last commit: nothing there was confirmed."""
    log.with_name(log.name + "-shm").unlink(missing_ok=True)
    tail = log.with_name(log.name + "-wal")
    if not tail.exists() or tail.stat().st_size < 32:
        return
    content = bytearray(tail.read_bytes())
    end = committed(content)
    if dice.random() < 0.5:
        del content[dice.randint(end, len(content)) :]
    else:
        content[end:] = dice.randbytes(min(len(content) - end + dice.randint(0, 900), 9_000))
    tail.write_bytes(content)


def committed(tail: bytes | bytearray) -> int:
    """Return where the last commit of a tail ends (sqlite.org/fileformat.html, section 4)."""
    end = 32
    for at in range(32, len(tail) - _FRAME + 1, _FRAME):
        if tail[at + 8 : at + 16] != tail[16:24]:
            break
        if tail[at + 4 : at + 8] != bytes(4):
            end = at + _FRAME
    return end
