"""The files of a log: who holds them, whether they stand, how one takes another's place."""

import json
import mmap
import os
import socket
import struct
import time
from contextlib import suppress
from functools import lru_cache
from pathlib import Path
from threading import Lock
from typing import NamedTuple

from filelock import FileLock, Timeout

from kiosk.catalog.base import Message, read_side_file, say, shown
from kiosk.log.store.errors import Busy, CannotRecord, fault_of_system
from kiosk.run.state import Now


class StationLock:
    """Held from `take` to `give`; the system frees it when the process dies, however it dies."""

    def __init__(self, log: Path) -> None:
        self._log = log
        self._holder = Path(f"{log}.holder")
        self._lock = FileLock(f"{log}.lock")

    def take(self) -> None:
        """Take the lock. Raises Busy when another has it, CannotRecord when none can be made."""
        if self._log.is_dir():  # before anything is put beside it
            raise CannotRecord(say("log.no_file", path=str(self._log), part=str(self._log)))
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


PARTS = ("", "-wal", "-shm")  # the file, its tail and the tail's index belong together


def new_log(path: Path) -> Path:
    """Return where the mended log is made; nothing is left there of an earlier attempt."""
    new = path.with_name(path.name + ".mended")
    for part in PARTS:
        new.with_name(new.name + part).unlink(missing_ok=True)
    return new


def new_folder(path: Path, wall: float) -> Path:
    """Return a folder for the damaged log, named for the moment, not there yet."""
    stamp = time.strftime("%Y-%m-%d-%H%M%S", time.localtime(wall))
    nth, folder = 1, path.with_name(f"{path.name}.damaged-{stamp}")
    while folder.exists():
        nth += 1
        folder = path.with_name(f"{path.name}.damaged-{stamp}-{nth}")
    return folder


def replace(path: Path, folder: Path, new: Path) -> None:
    """Move the damaged log into `folder` and put `new` in its place.

    Raises CannotRecord where not all of `new` is in its one file: SQLite closes a log without a
    word although it could not fold the tail in (the disk's fault, or somebody reads it).
    """
    for part in ("-wal", "-journal"):
        tail = new.with_name(new.name + part)
        if tail.exists() and tail.stat().st_size:
            raise CannotRecord(say("log.cannot_record", path=str(path), why=say("log.why.disk")))
    folder.mkdir(exist_ok=True)
    for part in PARTS:  # the file first: while it stands, a tail beside it belongs to it
        file = path.with_name(path.name + part)
        if file.exists():
            file.rename(folder / file.name)
    new.rename(path)
    _settle(path.parent)


def unfinished(path: Path) -> None:
    """Complete a replacing that was killed after the damaged file had moved."""
    new = path.with_name(path.name + ".mended")
    if new.exists() and not path.exists():
        folders = sorted(path.parent.glob(path.name + ".damaged-*"))
        replace(path, folders[-1] if folders else new_folder(path, time.time()), new)


def _settle(folder: Path) -> None:
    """A renaming is on disk once its folder is; not every system can say so."""
    if hasattr(os, "O_DIRECTORY"):
        handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


PAGE = 4096  # every log is made with pages of this size
USUAL_BYTES = 256_000_000  # SQLite folds a tail into the file every 4 MB
_HEADER, _FRAME_HEADER = 32, 24


class Frame(NamedTuple):
    """A page in the tail beside the file; `ends` where it is the last of a commit."""

    number: int
    ends: bool
    page: bytes


def salt_of(tail: Path) -> tuple[bytes, bool]:
    """Return the salt of the tail's frames, and whether the tail's header holds good.

    Where it does not, the salt is that of the first frame.
    """
    content = _read(tail)
    holds = len(content) >= _HEADER and _sum(content[:24]) == content[24:32]
    return (content[16:24] if holds else content[40:48]), holds


def committed(tail: Path, salt: bytes) -> list[Frame]:
    """Return the frames of the tail with this salt, up to the last commit among them."""
    content, frames = _read(tail), []
    for start in range(_HEADER, len(content) - PAGE - _FRAME_HEADER + 1, PAGE + _FRAME_HEADER):
        number, size = struct.unpack_from(">II", content, start)
        if number and content[start + 8 : start + 16] == salt:  # there is no page 0
            body = start + _FRAME_HEADER
            frames.append(Frame(number, size > 0, content[body : body + PAGE]))
    while frames and not frames[-1].ends:
        frames.pop()
    return frames


INDEXES = 64  # so many stay open: more logs than anybody reads at once
_indexes: dict[Path, int] = {}  # the open file of each, the one looked at last at the end
_one_at_a_time = Lock()


def start_of_index(file: Path, size: int) -> bytes:
    """Return the first bytes of a tail's index, b"" where there is none.

    It stays open here: closing it would give up every lock that SQLite holds on it for this
    process (sqlite.org/howtocorrupt.html, 2.2), and a station that starts then would make the
    index anew under whoever reads. One that is no longer at its path nobody else can meet.
    """
    with _one_at_a_time:
        index = _indexes.pop(file, None)
        if index is not None and not _stands(index, file):
            os.close(index)
            index = None
        try:
            _indexes[file] = index = _opened(file) if index is None else index
        except FileNotFoundError:
            return b""
        if len(_indexes) > INDEXES:
            os.close(_indexes.pop(next(iter(_indexes))))
        os.lseek(index, 0, os.SEEK_SET)
        return os.read(index, size)


def _opened(file: Path) -> int:
    return os.open(file, os.O_RDONLY | getattr(os, "O_BINARY", 0))  # Windows reads text else


def _stands(index: int, file: Path) -> bool:
    with suppress(OSError):
        return os.path.samestat(os.fstat(index), file.stat())
    return False


def _sum(header: bytes) -> bytes:
    """Return the checksum of a tail's header; the lowest bit of its magic names the byte order."""
    words = struct.unpack(f"{'>' if header[3] & 1 else '<'}6I", header)
    first = second = 0
    for one, two in zip(words[::2], words[1::2], strict=True):
        first = (first + one + second) & 0xFFFFFFFF
        second = (second + two + first) & 0xFFFFFFFF
    return struct.pack(">II", first, second)


def _read(tail: Path) -> bytes | mmap.mmap:
    """Return the content: as of one moment, for a station may be writing it.

    An absurdly long one is mapped instead, so that it does not fill the memory, and only as far
    as something was written.
    """
    if not tail.is_file():
        return b""
    if tail.stat().st_size <= USUAL_BYTES:
        return tail.read_bytes()
    with tail.open("rb") as file:
        written = _written(file.fileno())
        return mmap.mmap(file.fileno(), written, access=mmap.ACCESS_READ) if written else b""


def _written(file: int) -> int:
    """Return where the last hole of a file begins, bytes: behind it are zeros and no page."""
    end = 0
    with suppress(OSError):  # ENXIO: nothing is written behind `end`
        while True:
            end = os.lseek(file, os.lseek(file, end, os.SEEK_DATA), os.SEEK_HOLE)
    return end
