"""One station per log: a lock beside the file, and who holds it."""

from __future__ import annotations

import json
import os
import socket
import time
from contextlib import suppress
from functools import lru_cache
from pathlib import Path

from filelock import FileLock, Timeout

from kiosk.catalog.base import Message, read_side_file, say, shown
from kiosk.log.store.errors import Busy, fault_of_system
from kiosk.run.state import Now


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


_BOOT_ID = Path("/proc/sys/kernel/random/boot_id")


def now() -> Now:
    """Return this moment: boot id, steady seconds that count sleep, wall seconds since 1970."""
    return Now(boot(), steady(), time.time())


def steady() -> float:
    """Return seconds of CLOCK_BOOTTIME where there is one, else of the monotonic clock.

    `CLOCK_MONOTONIC` counts sleep on macOS, where Python's own monotonic clock does not.
    """
    source: int | None = getattr(time, "CLOCK_BOOTTIME", getattr(time, "CLOCK_MONOTONIC", None))
    return time.monotonic() if source is None else time.clock_gettime(source)


@lru_cache(maxsize=1)
def boot(source: Path = _BOOT_ID) -> str:
    """Return the id of this boot: the kernel's, else one made up from the minute of the boot.

    Two starts within one boot agree; where the wall clock was set in between they do not,
    which is the safe side: the station then asks instead of counting on.
    """
    try:
        return source.read_text("ascii").strip()
    except OSError:
        return f"minute-{round((time.time() - steady()) / 60)}"
