"""New files beside those whose place they take: two processes that write at once have one each."""

import errno
import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

try:
    import fcntl
except ImportError:  # Windows, where the last one to begin has the file
    fcntl = None  # type: ignore[assignment]

MOST_AT_ONCE = 9  # so many write one file: what they leave behind is looked for
TRIES = 100 * MOST_AT_ONCE


def beside(path: Path, nth: int = 1) -> Path:
    """Return where the file at `path` stands until it is whole: a process killed may leave it."""
    return path.with_name(f".{path.name}.{nth}.new" if nth > 1 else f".{path.name}.new")


def left_beside(path: Path) -> tuple[Path, ...]:
    """Return every place where something of the file at `path` may have been left."""
    return tuple(beside(path, nth) for nth in range(1, MOST_AT_ONCE + 1))


@contextmanager
def in_place_of(path: Path, mode: int) -> Iterator[tuple[Path, int]]:
    """Give a new file: its path, an open descriptor to be closed. At the end it stands at `path`.

    Nobody else writes to it meanwhile; of several who write, the last to end stands. Raises
    OSError, or what is raised within; nothing is changed then.
    """
    fresh, descriptor = _new(path, mode)
    held = None if fcntl is None else os.dup(descriptor)  # the lock ends with the last of both
    try:
        yield fresh, descriptor
        fresh.replace(path)
    except BaseException:
        with suppress(OSError):
            fresh.unlink(missing_ok=True)
        raise
    finally:
        if held is not None:
            os.close(held)


def _new(path: Path, mode: int) -> tuple[Path, int]:
    """Make a file of one's own beside `path`."""
    for nth in range(TRIES):
        fresh = beside(path, 1 + nth % MOST_AT_ONCE)
        if not _cleared(fresh):
            continue
        with suppress(FileExistsError):  # another was quicker
            descriptor = os.open(fresh, os.O_CREAT | os.O_EXCL | os.O_WRONLY, mode)
            if _locked(descriptor, fresh):
                return fresh, descriptor
            os.close(descriptor)
    raise BlockingIOError(errno.EAGAIN, os.strerror(errno.EAGAIN), str(path))


def _cleared(fresh: Path) -> bool:
    """Delete what a killed process left; return whether nobody is writing it."""
    if fcntl is None:
        fresh.unlink(missing_ok=True)
        return True
    try:
        found = os.open(fresh, os.O_RDONLY | os.O_NONBLOCK | os.O_NOFOLLOW)
    except FileNotFoundError:
        return True
    except OSError:  # a link, or another person's: never one that is being written
        fresh.unlink(missing_ok=True)
        return True
    try:
        mine = _locked(found, fresh)
        if mine:
            fresh.unlink()
        return mine
    finally:
        os.close(found)


def _locked(descriptor: int, fresh: Path) -> bool:
    """Whether this process alone has the file now, and it still stands there."""
    if fcntl is None:
        return True
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        return os.path.samestat(os.fstat(descriptor), fresh.lstat())
    except (BlockingIOError, FileNotFoundError):
        return False
    except OSError:  # a share that knows no locks
        return True


@contextmanager
def alone_in(folder: Path) -> Iterator[None]:
    """Let one process after the other look at what is in `folder` and write there.

    The folder is made where there is none. Where it cannot be locked nobody waits.
    """
    held = None
    with suppress(OSError):
        if fcntl is not None:
            folder.mkdir(parents=True, exist_ok=True)
            held = os.open(folder, os.O_RDONLY)
            fcntl.flock(held, fcntl.LOCK_EX)
    try:
        yield
    finally:
        if held is not None:
            os.close(held)
