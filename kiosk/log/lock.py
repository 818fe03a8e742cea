"""One station per log: a lock beside the file, and who holds it."""

from __future__ import annotations

import json
import os
import socket
import time
from contextlib import suppress
from pathlib import Path

from filelock import FileLock, Timeout

from kiosk.catalog.message import Message, say
from kiosk.catalog.notes import shown
from kiosk.catalog.side_file import read_side_file
from kiosk.log.errors import Busy, fault_of_system


class StationLock:
    """Held from `take` to `give`; the system frees it when the process dies, however it dies."""

    def __init__(self, log: Path) -> None:
        self._log = log
        self._holder = log.with_name(log.name + ".holder")
        self._lock = FileLock(log.with_name(log.name + ".lock"))

    def take(self) -> None:
        """Take the lock. Raises Busy when another has it, CannotRecord when none can be made."""
        try:
            self._lock.acquire(timeout=0)
            self._sign()
        except Timeout:
            raise Busy(self._who()) from None
        except OSError as error:
            self._lock.release()
            raise fault_of_system(error, self._log) from error

    def give(self) -> None:
        """Give the lock back."""
        with suppress(OSError):
            self._holder.unlink(missing_ok=True)
        self._lock.release()

    def _sign(self) -> None:
        """Note who has the log: it is for people, and where it cannot be written the lock holds."""
        since = time.strftime("%Y-%m-%d %H:%M:%S")
        who = {"process": os.getpid(), "host": socket.gethostname(), "since": since}
        with suppress(OSError):  # whatever lies there, a pipe for one, is not written into
            self._holder.unlink(missing_ok=True)
            with self._holder.open("x", encoding="utf-8") as file:
                json.dump(who, file)

    def _who(self) -> Message:
        path = str(self._log)
        try:
            who = read_side_file(self._holder)
            told = {k: shown(str(who[k])) for k in ("process", "host", "since")}
            return say("log.busy", path=path, **told)
        except (OSError, ValueError, KeyError):
            return say("log.busy_unknown", path=path)
