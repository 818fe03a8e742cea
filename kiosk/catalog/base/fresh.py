"""Temporary files beside the files they replace; each of two writing processes has its own."""

import errno
import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

try:
    import fcntl
except ImportError:  # Windows, where the last writer to begin takes the file
    fcntl = None  # type: ignore[assignment]

MOST_AT_ONCE = 9  # writers of one file; a fixed number, so that their leftovers can be found
TRIES = 100 * MOST_AT_ONCE


def temporary_path(path: Path, nth: int = 1) -> Path:
    """Return where a new `path` is kept until it is whole; a killed process may leave it there."""
    return path.with_name(f".{path.name}.{nth}.new" if nth > 1 else f".{path.name}.new")


def temporary_paths(path: Path) -> tuple[Path, ...]:
    """Return every temporary path that may hold leftovers of the file at `path`."""
    return tuple(temporary_path(path, nth) for nth in range(1, MOST_AT_ONCE + 1))


@contextmanager
def in_place_of(path: Path, mode: int) -> Iterator[tuple[Path, int]]:
    """Yield a new file's path and open descriptor (to be closed); then rename it to `path`.

    No other process writes to it meanwhile; of several writers the last to finish wins. Raises
    OSError, or what is raised within; `path` is then unchanged.
    """
    fresh, descriptor = _new(path, mode)
    lock = None if fcntl is None else os.dup(descriptor)  # the lock lasts until both are closed
    try:
        yield fresh, descriptor
        fresh.replace(path)
    except BaseException:
        with suppress(OSError):
            fresh.unlink(missing_ok=True)
        raise
    finally:
        if lock is not None:
            os.close(lock)


def _new(path: Path, mode: int) -> tuple[Path, int]:
    """Create and lock a new file beside `path`; return its path and descriptor."""
    for nth in range(TRIES):
        fresh = temporary_path(path, 1 + nth % MOST_AT_ONCE)
        if not _cleared(fresh):
            continue
        with suppress(FileExistsError):  # another process was quicker
            descriptor = os.open(fresh, os.O_CREAT | os.O_EXCL | os.O_WRONLY, mode)
            if _locked(descriptor, fresh):
                return fresh, descriptor
            os.close(descriptor)
    raise BlockingIOError(errno.EAGAIN, os.strerror(errno.EAGAIN), str(path))


def _cleared(fresh: Path) -> bool:
    """Delete what a killed process left; return False if somebody is still writing it."""
    if fcntl is None:
        fresh.unlink(missing_ok=True)
        return True
    try:
        found = os.open(fresh, os.O_RDONLY | os.O_NONBLOCK | os.O_NOFOLLOW)
    except FileNotFoundError:
        return True
    except OSError:  # a link or another user's file: not one that is being written
        fresh.unlink(missing_ok=True)
        return True
    try:
        locked = _locked(found, fresh)
        if locked:
            fresh.unlink()
        return locked
    finally:
        os.close(found)


def _locked(descriptor: int, fresh: Path) -> bool:
    """Return whether this process has locked the file and `fresh` is still that file."""
    if fcntl is None:
        return True
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        return os.path.samestat(os.fstat(descriptor), fresh.lstat())
    except (BlockingIOError, FileNotFoundError):
        return False
    except OSError:  # a share without locks
        return True


@contextmanager
def alone_in(folder: Path) -> Iterator[None]:
    """Lock `folder`, so that one process at a time reads it and writes there.

    The folder is created if missing. If it cannot be locked, nobody waits.
    """
    lock = None
    with suppress(OSError):
        if fcntl is not None:
            folder.mkdir(parents=True, exist_ok=True)
            lock = os.open(folder, os.O_RDONLY)
            fcntl.flock(lock, fcntl.LOCK_EX)
    try:
        yield
    finally:
        if lock is not None:
            os.close(lock)
