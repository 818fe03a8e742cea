"""Settings for all tests."""

import atexit
import gc
import os
import shutil
import signal
import sys
import tempfile
from pathlib import Path

from hypothesis import settings

gc.set_threshold(100_000, 50, 100)  # reference-cycle searches took a tenth of all tests' time
if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:  # started in a shell's background
    signal.signal(signal.SIGINT, signal.default_int_handler)  # Ctrl-C reaches what tests start

sys.dont_write_bytecode = False  # rewriting every assertion again took 6 s of each worker
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)  # child processes use bytecode too

settings.register_profile("kiosk", deadline=None)  # on a busy machine a case may be slow
settings.load_profile("kiosk")

# Real files, but in memory if there is room: stations wait for the disk at every tap. With a place
# given (TMPDIR, --basetemp) the tests use that, and their files stay there for inspection.
MEMORY, ROOM = Path("/dev/shm"), 4 * 2**30


def use_memory() -> None:
    """Make a folder for all temporary files, workers' too, until this process ends."""
    place, maker = tempfile.mkdtemp(prefix="kiosk-tests-", dir=MEMORY), os.getpid()
    os.environ["TMPDIR"] = tempfile.tempdir = place

    @atexit.register
    def remove() -> None:
        if os.getpid() == maker:  # not in a child of a test
            shutil.rmtree(place, ignore_errors=True)


there = "TMPDIR" not in os.environ and MEMORY.is_dir() and os.access(MEMORY, os.W_OK)
if there and shutil.disk_usage(MEMORY).free > ROOM:
    use_memory()


def pytest_collection_finish() -> None:
    """Exempt the collected tests from garbage collection."""
    gc.freeze()


def pytest_sessionfinish() -> None:
    """Freeze again: at its end pytest collects garbage repeatedly, two seconds a worker."""
    gc.freeze()
