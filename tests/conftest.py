"""What holds for all tests."""

import atexit
import gc
import os
import shutil
import signal
import sys
import tempfile
from pathlib import Path

from hypothesis import settings

gc.set_threshold(100_000, 50, 100)  # looking for rings took a tenth of the time of all tests
if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:  # started in a shell's background
    signal.signal(signal.SIGINT, signal.default_int_handler)  # Ctrl-C reaches what tests start

sys.dont_write_bytecode = False  # rewriting every assertion anew took 6 s of each worker
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)  # what is started reads the program as bytecode too

settings.register_profile("kiosk", deadline=None)  # beside other work a case takes what it takes
settings.load_profile("kiosk")

# Real files, but in memory where there is room: stations wait for the disk at every tap. Given a
# place (TMPDIR, --basetemp) the tests keep to it, and what they wrote stays there to be looked at.
MEMORY, ROOM = Path("/dev/shm"), 4 * 2**30


def use_memory() -> None:
    """Make a folder for all temporary files, those of workers too, until this process ends."""
    place, maker = tempfile.mkdtemp(prefix="kiosk-tests-", dir=MEMORY), os.getpid()
    os.environ["TMPDIR"] = tempfile.tempdir = place

    @atexit.register
    def remove() -> None:
        if os.getpid() == maker:  # no child of a test
            shutil.rmtree(place, ignore_errors=True)


there = "TMPDIR" not in os.environ and MEMORY.is_dir() and os.access(MEMORY, os.W_OK)
if there and shutil.disk_usage(MEMORY).free > ROOM:
    use_memory()


def pytest_collection_finish() -> None:
    """What was collected stays: nobody looks through it for rings again."""
    gc.freeze()


def pytest_sessionfinish() -> None:
    """At its end pytest looks through everything some times over, two seconds a worker."""
    gc.freeze()
