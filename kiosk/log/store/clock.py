"""The current time: which boot, a clock that never jumps and counts sleep, and the wall clock."""

import time
from functools import lru_cache
from pathlib import Path

from kiosk.run.state import Now

_BOOT_ID = Path("/proc/sys/kernel/random/boot_id")


def now() -> Now:
    """Return the time: boot id, steady seconds that count sleep, wall seconds since 1970."""
    return Now(boot(), steady(), time.time())


def steady() -> float:
    """Return seconds of CLOCK_BOOTTIME if available, else of the monotonic clock.

    On macOS `CLOCK_MONOTONIC` counts sleep, but Python's own monotonic clock does not.
    """
    source: int | None = getattr(time, "CLOCK_BOOTTIME", getattr(time, "CLOCK_MONOTONIC", None))
    return time.monotonic() if source is None else time.clock_gettime(source)


@lru_cache(maxsize=1)
def boot(source: Path = _BOOT_ID) -> str:
    """Return the id of this boot: the kernel's, else one derived from the minute of the boot.

    Two starts within one boot agree. If the wall clock was changed in between they differ, which is
    the safe side: the station then asks instead of counting on.
    """
    try:
        return source.read_text("ascii").strip()
    except OSError:
        return f"minute-{round((time.time() - steady()) / 60)}"
